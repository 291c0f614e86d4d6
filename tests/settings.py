"""The desk's settings for tests: a folder and keys of their own, quick passwords, plain HTTP."""

from __future__ import annotations

import os
from pathlib import Path

os.environ.setdefault(
    "COMITY_HOME", str(Path(__file__).resolve().parent.parent / "build" / "test-home")
)
os.environ.setdefault("COMITY_SIGNING_KEY", "5a" * 32)
os.environ.setdefault("COMITY_SEALING_KEY", "a5" * 32)
os.environ.setdefault("COMITY_LOCAL", "1")

from comity.desk.settings import *  # noqa: F403 - after the environment is set

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
ALLOWED_HOSTS = ["testserver", "127.0.0.1", "localhost"]
# A test may empty its database, which the audit trail's triggers refuse.
INSTALLED_APPS = [*INSTALLED_APPS, "tests.emptying"]  # noqa: F405
