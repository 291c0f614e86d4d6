"""Checks of values taken together: bands, grades, days of the year, ends."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import singledispatch
from itertools import pairwise

from comity.core.days.period import Period
from comity.core.rulebook.findings import Finding, Path, Related, all_listed, titles_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import Band, Bands
from comity.core.rulebook.kinds.educating import ContinuingEducation
from comity.core.rulebook.kinds.qualifying import AgeReached, DatesOpen
from comity.core.rulebook.kinds.testing import LanguageProved, LanguageTest
from comity.core.rulebook.model import Edition
from comity.core.rulebook.phrases import is_month_and_day
from comity.core.rulebook.saying_combined import ends_of, length_of

_DAYS_IN_A_MONTH = 365.2425 / 12


def find_odd_values(edition: Edition) -> Iterator[Finding]:
    """Yield what is wrong with the values of each requirement, pathway, grant and case."""
    for _, listed, path in all_listed(edition):
        yield from _odd(listed.requirement, path)
    for title, path in titles_of(edition):
        yield from _profession(title.profession, (*path, "profession"))
        for index, pathway in enumerate(title.pathways[:-1]):
            if pathway.when is None:
                yield _never_reached((*path, "pathways", index), title.pathways[index + 1].id)
        end = title.grants.until_every_year if title.grants else None
        yield from _month_and_day(end, (*path, "grants", "until_every_year"))
    for index, case in enumerate(edition.cases):
        if case.expect is None and not case.requirements and not case.plan:
            yield Finding(
                code="R140",
                path=("cases", index),
                message="the case expects nothing, so it proves nothing",
                expected="e.g. expect: met",
                hint="say a verdict, on the whole or on some requirements, or a milestone's day",
            )


def _profession(code: str, path: Path) -> Iterator[Finding]:
    if re.fullmatch(r"[0-9]{4}", code) is None:
        yield Finding(
            code="R141",
            path=path,
            message="the profession is no unit group of ISCO-08",
            got=f"'{code}'",
            expected="four digits, e.g. 2265 for dietitians and nutritionists",
        )


def _never_reached(path: Path, next_id: str) -> Finding:
    return Finding(
        code="R123",
        path=path,
        message="the first pathway that fits applies, so those after this one are never reached",
        got="a pathway without `when`",
        expected="it as the last one",
        hint=f"say for whom it is, or move it below {next_id}",
    )


@singledispatch
def _odd(requirement: Requirement, path: Path) -> Iterator[Finding]:
    del requirement, path
    return iter(())


# ------------------------------------------------------------------------------------- bands


@_odd.register
def _odd_bands(requirement: Bands, path: Path) -> Iterator[Finding]:
    bands = requirement.bands
    here = (*path, "bands")
    for index, band in enumerate(bands):
        lower, upper = ends_of(band)
        if lower is not None and upper is not None and _length(upper) < _length(lower):
            yield Finding(
                code="R134",
                path=(*here, index),
                message="the band ends before it begins",
                got=length_of(band),
                expected="an upper end above the lower one",
            )
    for index, (band, following) in enumerate(pairwise(bands)):
        yield from _seam(band, following, (*here, index))
    if bands:
        yield from _outer_ends(bands[0], bands[-1], (*here, len(bands) - 1))


def _seam(band: Band, following: Band, path: Path) -> Iterator[Finding]:
    """Yield what is wrong where one band ends and the next begins."""
    next_path = (*path[:-1], int(path[-1]) + 1)
    upper, lower = ends_of(band)[1], ends_of(following)[0]
    gap = 0.0 if upper is None or lower is None else _length(lower) - _length(upper)
    both = band.up_to is not None and following.from_ is not None
    neither = band.below is not None and following.more_than is not None
    got = f"first {length_of(band)}, then {length_of(following)}"
    related = (Related(0, path, "the band before"),)
    if upper is None or lower is None or gap < 0 or (gap == 0 and both):
        yield Finding(
            code="R131",
            path=next_path,
            message="the band overlaps the one before it",
            got=got,
            expected="bands from the shortest gap to the longest, each length in one of them",
            hint="`from` and `up_to` include their end, `more_than` and `below` do not",
            related=related,
        )
    elif gap > 0 or neither:
        yield Finding(
            code="R132",
            path=next_path,
            message="between the band and the one before it a length of gap is in neither",
            got=got,
            expected="bands without a hole",
            hint="`from` and `up_to` include their end, `more_than` and `below` do not",
            related=related,
        )


def _outer_ends(first: Band, last: Band, path: Path) -> Iterator[Finding]:
    if first.more_than is not None or (first.from_ is not None and _length(first.from_) > 0):
        yield Finding(
            code="R132",
            path=(*path[:-1], 0),
            message="a shorter gap than the first band's is in no band, so nobody could meet it",
            got=length_of(first),
            expected="a first band without a lower end",
            hint="put a band before it; with `requires: []` nothing is owed in it",
        )
    if ends_of(last)[1] is not None:
        yield Finding(
            code="R133",
            path=path,
            severity="warning",
            message="a longer gap than the last band's is in no band, so nobody can meet it",
            got=length_of(last),
            expected="a last band without an upper end",
            hint="if the authority says what is owed then, add a band",
        )


def _length(period: Period) -> float:
    """Return a period as a number for comparing; months and days never meet exactly."""
    return period.months * _DAYS_IN_A_MONTH + period.days


# ----------------------------------------------------------------------------------- language


@_odd.register
def _odd_language(requirement: LanguageProved, path: Path) -> Iterator[Finding]:
    for index, test in enumerate(requirement.tests):
        here = (*path, "tests", index)
        for grade, where in _grades(test):
            yield from _grade(test, grade, (*here, *where))
        floor = test.combining.floor if test.combining else None
        for part in floor or ():
            if part not in (test.parts or {}):
                yield Finding(
                    code="R136",
                    path=(*here, "combining", "floor", part),
                    message="the floor names a part of which the test asks no result",
                    got=f"'{part}'",
                    expected=f"one of {', '.join(test.parts)}" if test.parts else "`parts` first",
                )


def _grades(test: LanguageTest) -> Iterator[tuple[str, Path]]:
    """Yield every result that a test asks for, with its path."""
    singles: list[tuple[str | None, Path]] = [(test.overall, ("overall",))]
    groups: list[tuple[Mapping[str, str] | None, Path]] = [(test.parts, ("parts",))]
    if test.combining is not None:
        singles.append((test.combining.least_overall, ("combining", "least_overall")))
        groups.append((test.combining.floor, ("combining", "floor")))
    yield from ((grade, path) for grade, path in singles if grade is not None)
    for group, path in groups:
        yield from ((grade, (*path, part)) for part, grade in (group or {}).items())


def _grade(test: LanguageTest, grade: str, path: Path) -> Iterator[Finding]:
    if test.scale is not None and grade not in test.scale:
        yield Finding(
            code="R135",
            path=path,
            message="the result is not on the test's scale",
            got=f"'{grade}'",
            expected=f"one of {', '.join(test.scale)}",
        )
    if test.scale is None and not grade.replace(".", "", 1).isdecimal():
        yield Finding(
            code="R135",
            path=path,
            message="a result in letters needs the test's scale",
            got=f"'{grade}'",
            expected="a number, or `scale` with the grades from lowest to highest",
            hint="e.g. scale: [D, C, C+, B, A]",
        )


# ----------------------------------------------------------------------------- days and ends


@_odd.register
def _odd_education(requirement: ContinuingEducation, path: Path) -> Iterator[Finding]:
    ends_on = requirement.cycle.ends_on if requirement.cycle else None
    yield from _month_and_day(ends_on, (*path, "cycle", "ends_on"))


@_odd.register
def _odd_dates(requirement: DatesOpen, path: Path) -> Iterator[Finding]:
    start, end = requirement.every_year_from, requirement.every_year_until
    yield from _month_and_day(start, (*path, "every_year_from"))
    yield from _month_and_day(end, (*path, "every_year_until"))
    if (start is None) != (end is None):
        yield Finding(
            code="R138",
            path=path,
            message="days of every year need both ends",
            got="every_year_until alone" if start is None else "every_year_from alone",
            expected="`every_year_from` and `every_year_until`",
        )
    first, last = requirement.from_, requirement.until
    if first is not None and last is not None and last < first:
        yield Finding(
            code="R138",
            path=(*path, "until"),
            message="the last day lies before the first",
            expected="a day on or after it",
            related=(Related(0, (*path, "from"), "the first day"),),
        )
    if start is None and end is None and first is None and last is None:
        yield _no_ends(
            path, "the dates have neither a first nor a last day", "e.g. from: 2026-03-01"
        )


@_odd.register
def _odd_age(requirement: AgeReached, path: Path) -> Iterator[Finding]:
    if requirement.at_least is None and requirement.below is None:
        yield _no_ends(
            path, "the age has neither a lower nor an upper end", "e.g. at_least: 18 years"
        )


def _no_ends(path: Path, message: str, expected: str) -> Finding:
    return Finding(code="R139", path=path, message=message, expected=expected)


def _month_and_day(text: str | None, path: Path) -> Iterator[Finding]:
    if text is not None and not is_month_and_day(text):
        yield Finding(
            code="R137",
            path=path,
            message="the text is no day of every year",
            got=f"'{text}'",
            expected="month and day with two digits each, e.g. 03-31",
            hint="for the end of February write 02-28, or 03-01 for the day after"
            if text.startswith("02-")
            else "",
        )
