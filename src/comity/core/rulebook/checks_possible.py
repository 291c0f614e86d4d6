"""Checks for what no applicant can meet: ages that exclude each other, more time than there is."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import singledispatch
from itertools import product
from typing import Final

from comity.core.days.period import Period
from comity.core.rulebook.editions import Listed, everything_in
from comity.core.rulebook.findings import Finding, Path, Related, all_listed, titles_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.practising import Practice
from comity.core.rulebook.kinds.qualifying import (
    AgeReached,
    Elapsed,
    QualificationHeld,
    RegistrationHeld,
)
from comity.core.rulebook.model import Edition, Title

_MONTH: Final = Fraction(365, 12)
_LONGEST_MONTH: Final = Fraction(366, 12)
_DAYS_OF: Final = {
    "days": Fraction(1),
    "weeks": Fraction(7),
    "months": _MONTH,
    "years": _MONTH * 12,
}


def find_impossible(edition: Edition) -> Iterator[Finding]:
    """Yield a warning for each requirement that no applicant can meet."""
    for _placed, listed, path in all_listed(edition):
        for key, message, expected in _impossible(listed.requirement):
            yield _never((*path, key), message, expected)
    for title, path in titles_of(edition):
        yield from _ages_apart(title, path)


def _never(path: Path, message: str, expected: str, *related: Related) -> Finding:
    return Finding(
        code="R142",
        path=path,
        severity="warning",
        message=f"no applicant can meet this: {message}",
        expected=expected,
        hint="compare both with the authority's text",
        related=related,
    )


@singledispatch
def _impossible(_requirement: Requirement) -> Iterator[tuple[str, str, str]]:
    """Yield the key at fault, what is impossible, and what would do."""
    yield from ()


@_impossible.register
def _impossible_practice(requirement: Practice) -> Iterator[tuple[str, str, str]]:
    window, unit = requirement.look_back, requirement.amount.unit
    if window is None or unit not in _DAYS_OF or requirement.hours_a_month is not None:
        return
    if requirement.hours_a_day is not None and unit == "days":
        return
    cap = Fraction(1) if requirement.run == "consecutive" else requirement.overlap_cap
    if requirement.amount.number * _DAYS_OF[unit] > cap * _most_days(window):
        yield (
            "amount",
            f"{requirement.amount} do not fit into {window}",
            f"at most {window}, or a longer look_back, or a greater overlap_cap",
        )


@_impossible.register
def _impossible_registration(requirement: RegistrationHeld) -> Iterator[tuple[str, str, str]]:
    asked, window = requirement.in_all, requirement.look_back
    if asked is not None and window is not None and _least_days(asked) > _most_days(window):
        yield "in_all", f"{asked} do not fit into {window}", f"at most {window}"


@_impossible.register
def _impossible_qualification(requirement: QualificationHeld) -> Iterator[tuple[str, str, str]]:
    yield from _crossed(requirement.at_least_ago, requirement.within, "at_least_ago")
    first, last = requirement.completed_from, requirement.completed_until
    if first is not None and last is not None and first > last:
        yield "completed_until", "it lies before completed_from", "a day on or after completed_from"


@_impossible.register
def _impossible_elapsed(requirement: Elapsed) -> Iterator[tuple[str, str, str]]:
    yield from _crossed(requirement.at_least, requirement.within, "at_least")


@_impossible.register
def _impossible_age(requirement: AgeReached) -> Iterator[tuple[str, str, str]]:
    least, below = requirement.at_least, requirement.below
    if least is not None and below is not None and _least_days(least) >= _least_days(below):
        yield "below", f"nobody is at least {least} and below {below} old", f"more than {least}"


def _crossed(least: Period | None, most: Period | None, key: str) -> Iterator[tuple[str, str, str]]:
    if least is not None and most is not None and _least_days(least) > _most_days(most):
        yield key, f"at least {least} is longer than at most {most}", f"at most {most}"


def _ages_apart(title: Title, path: Path) -> Iterator[Finding]:
    """Yield two ages which every applicant needs at one milestone, and nobody can have."""
    asked = [
        (listed, listed.requirement)
        for listed in everything_in(title)
        if isinstance(listed.requirement, AgeReached) and _is_asked_of_all(listed)
    ]
    lower = [(listed, age.at_least) for listed, age in asked if age.at_least is not None]
    upper = [(listed, age.below) for listed, age in asked if age.below is not None]
    for (low, least), (high, below) in product(lower, upper):
        if low is not high and low.at == high.at and _least_days(least) >= _least_days(below):
            yield _never(
                (*path, *high.path, "below"),
                f"nobody is at least {least} and below {below} old",
                f"more than {least}",
                Related(0, (*path, *low.path, "at_least"), "the other age"),
            )


def _is_asked_of_all(listed: Listed) -> bool:
    requirement = listed.requirement
    is_bare = requirement.when is None and requirement.unless is None
    return is_bare and listed.is_top and listed.path[:1] == ("requires",)


def _least_days(period: Period) -> Fraction:
    return period.months * _MONTH + period.days


def _most_days(period: Period) -> Fraction:
    """Return the days of the longest time of a length, so that nothing possible is called not."""
    return period.months * _LONGEST_MONTH + period.days + 2
