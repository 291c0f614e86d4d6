"""The desk's own settings, and one page more: an empty one to compare with."""

from __future__ import annotations

from comity.desk.settings import *  # noqa: F403

ROOT_URLCONF = "tests.bench.desk.urls"
