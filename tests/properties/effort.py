"""How many examples a property tries: few in the suite, many in the soak."""

from __future__ import annotations

from hypothesis import settings

# The suite's profile tries 100; a property says how many it wants beside that.
_IN_THE_SUITE = 100


def examples(count: int) -> settings:
    """Return settings that try so many examples in the suite, and its multiple in the soak."""
    profile = settings.get_profile(settings.get_current_profile_name())
    return settings(max_examples=max(1, count * profile.max_examples // _IN_THE_SUITE))
