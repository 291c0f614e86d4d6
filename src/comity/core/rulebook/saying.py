"""How a kind of requirement is said; each kind enters its own words.

Three questions are asked of every kind: what it asks, in a phrase; how that is read day by day;
and, of one made of others, the words that open the list of its parts.
"""

from __future__ import annotations

from functools import singledispatch

from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.phrases import given, run_on, spoken

EMPLOYERS = "asked by employers, not by the authority: "


@singledispatch
def phrase(requirement: Requirement, at: str) -> str:
    """Return what the requirement asks, in small letters and without a full stop.

    Parameters
    ----------
    requirement : Requirement
        Of any kind.
    at : str
        The check point in words, as "submission".

    Raises
    ------
    TypeError
        When no words were entered for the kind: a mistake in the program.
    """
    del at
    message = f"no words were entered for {type(requirement).__name__}"
    raise TypeError(message)


@singledispatch
def readings(requirement: Requirement, at: str) -> tuple[str, ...]:
    """Return sentences on how the requirement is read day by day: conversions, ends, caps."""
    del requirement, at
    return ()


@singledispatch
def opening(requirement: Requirement, at: str) -> str:
    """Return the words before the list of its parts; empty for one that is said in a phrase."""
    del requirement, at
    return ""


def clause(requirement: Requirement, at: str) -> str:
    """Return the phrase with what limits it: when it applies, and who asks for it.

    Before a list of parts the limits come first, so that they are not taken for the last part's.
    """
    point = check_point(requirement, at)
    said = phrase(requirement, point)
    limits = run_on(
        given(requirement.when, lambda when: f"only where this holds: {clause(when, point)}"),
        given(requirement.unless, lambda bar: f"unless this holds: {clause(bar, point)}"),
        by=", ",
    )
    if limits and opening(requirement, point):
        said = f"({limits}) {said}"
    elif limits:
        said = f"{said}, {limits}"
    by = EMPLOYERS if requirement.demanded_by == "employers" else ""
    return f"{by}{said}"


def check_point(requirement: Requirement, at: str) -> str:
    """Return the requirement's own check point in words, or that of what stands around it."""
    return spoken(requirement.at or at)
