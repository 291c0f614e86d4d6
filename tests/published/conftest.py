"""So that a failing case shows what differs."""

import pytest

pytest.register_assert_rewrite("tests.published.sets")
