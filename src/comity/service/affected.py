"""Whose answer a new edition of a rulebook changes, and which requirements change it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from comity.core.days.calendar import iso
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.core.problems import has_errors, sorted_by_place
from comity.core.rulebook.editions import days_of, title_of
from comity.core.rulebook.model import Rulebook
from comity.files.applicants import load_applicant
from comity.service.assessing import repeated_applicants

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment, RequirementResult
    from comity.core.facts.model import Applicant
    from comity.core.problems import Problem
    from comity.core.rulebook.model import Edition
    from comity.service.assessing import TodayAt

_SUFFIXES: Final = (".yaml", ".yml")
_HARMLESS: Final = frozenset((None, Verdict.MET, Verdict.NOT_APPLICABLE))


@dataclass(frozen=True, slots=True)
class Cause:
    """A requirement whose verdict is another one; None where an edition does not ask it."""

    requirement: str
    label: str
    before: Verdict | None
    after: Verdict | None
    reason: str

    @property
    def verdicts(self) -> tuple[Verdict | None, Verdict | None]:
        """Before and after."""
        return self.before, self.after


@dataclass(frozen=True, slots=True)
class Affected:
    """An applicant and a title with another answer; None where an edition has no such title."""

    applicant: str
    applicant_name: str
    title: str
    title_name: str
    before: Verdict | None
    after: Verdict | None
    causes: tuple[Cause, ...]


@dataclass(frozen=True, slots=True)
class Days:
    """The day of submission asked about, and the day on which it is asked."""

    on: Day
    today: Day


@dataclass(frozen=True, slots=True)
class Concerned:
    """The applicants of some files whose answer is another one, and on which day of submission."""

    days: Days
    read: ReadApplicants
    affected: tuple[Affected, ...]


@dataclass(frozen=True, slots=True)
class ReadApplicants:
    """Applicants from their files, with everything that is wrong in any of them."""

    applicants: tuple[Applicant, ...]
    problems: tuple[Problem, ...]
    texts: dict[str, str]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)


def first_day_of(edition: Edition, *, today: Day) -> Day:
    """Return the first day on which an edition applies for certain; today without one."""
    return days_of(edition.applies).certain.start or today


def affected(
    old: Edition, new: Edition, applicants: Iterable[Applicant], *, days: Days
) -> tuple[Affected, ...]:
    """Return whose answer under the new edition is another one than under the old.

    Each edition is taken as if it applied on the day asked, whatever days it gives itself, so that
    nothing but what is asked makes the difference.

    Parameters
    ----------
    old, new : Edition
        Of one authority.
    applicants : iterable of Applicant
        Told in this order, each with the titles in the new edition's order.
    days : Days
        The day of submission, and today.
    """
    titles = dict.fromkeys(title.id for edition in (new, old) for title in edition.titles)
    found = (
        _compared(applicant, _Pair(old, new, title), days)
        for applicant in applicants
        for title in titles
    )
    return tuple(each for each in found if each is not None)


@dataclass(frozen=True, slots=True)
class _Pair:
    """A title in two editions."""

    old: Edition
    new: Edition
    title: str


def _compared(applicant: Applicant, pair: _Pair, days: Days) -> Affected | None:
    before, after = (
        _answer(applicant, edition, pair.title, days=days) for edition in (pair.old, pair.new)
    )
    shown = after or before
    old, new = (None if each is None else each.verdict for each in (before, after))
    if shown is None or old is new:
        return None
    return Affected(
        applicant=shown.applicant,
        applicant_name=shown.applicant_name,
        title=pair.title,
        title_name=shown.title_name,
        before=old,
        after=new,
        causes=tuple(_causes(before, after)),
    )


def _answer(applicant: Applicant, edition: Edition, title: str, *, days: Days) -> Assessment | None:
    if title_of(edition, title) is None:
        return None
    always = replace(edition, applies=replace(edition.applies, from_=None, until=None))
    rulebook = Rulebook(edition.authority, (always,))
    return assess(applicant, rulebook, title=title, on=days.on, today=days.today)


def _causes(before: Assessment | None, after: Assessment | None) -> Iterator[Cause]:
    """Yield the requirements with another verdict of which one at least stands in the way."""
    if before is None or after is None:
        return
    olds, news = ({result.id: result for result in each.requirements} for each in (before, after))
    for key in {**news, **olds}:
        cause = _cause(key, olds.get(key), news.get(key))
        if cause.before is not cause.after and not _HARMLESS.issuperset(cause.verdicts):
            yield cause


def _cause(key: str, old: RequirementResult | None, new: RequirementResult | None) -> Cause:
    shown = new or old
    return Cause(
        requirement=key.rsplit("/", 1)[-1],
        label=shown.label if shown else key,
        before=None if old is None else old.verdict,
        after=None if new is None else new.verdict,
        reason="" if new is None else new.reason,
    )


# ------------------------------------------------------------------------------------- files


def concerned_by(
    editions: tuple[Edition, Edition], paths: Iterable[Path], *, on: Day | None, today_at: TodayAt
) -> Concerned:
    """Return the applicants of some files whom the step from one edition to the next concerns.

    Parameters
    ----------
    editions : two of Edition
        The old and the new one, of one authority.
    paths : iterable of Path
        Applicant files, or folders of them.
    on : Day or None
        The day of submission; None for the first on which the new edition applies.
    today_at : callable
        Gives the day it is at an authority's seat.
    """
    old, new = editions
    today = today_at(new.authority.time_zone)
    days = Days(first_day_of(new, today=today) if on is None else on, today)
    found = read_applicants(paths)
    those = affected(old, new, found.applicants, days=days) if found.is_sound else ()
    return Concerned(days, found, those)


def read_applicants(paths: Iterable[Path]) -> ReadApplicants:
    """Return the applicants of some files, or of all files in a folder, sorted by name."""
    files = [load_applicant(file) for path in paths for file in _files_in(path)]
    problems = [problem for each in files for problem in each.problems]
    problems += repeated_applicants(files)
    applicants = tuple(each.applicant for each in files if each.applicant is not None)
    texts = {each.file: each.text for each in files}
    return ReadApplicants(applicants, sorted_by_place(problems), texts)


def _files_in(path: Path) -> list[Path]:
    """Return the files meant; a folder without any is read like a file, which tells what it is."""
    found = path.iterdir() if path.is_dir() else ()
    return sorted(each for each in found if each.suffix in _SUFFIXES) or [path]


def concerned_as_json(concerned: Concerned) -> dict[str, Any]:
    """Return whom the new edition concerns as plain data."""
    return {
        "on": iso(concerned.days.on),
        "looked_at": len(concerned.read.applicants),
        "applicants": [_as_json(each) for each in concerned.affected],
    }


def _as_json(each: Affected) -> dict[str, Any]:
    return {
        "applicant": each.applicant,
        "applicant_name": each.applicant_name,
        "title": each.title,
        "title_name": each.title_name,
        "before": each.before,
        "after": each.after,
        "causes": [
            {
                "requirement": cause.requirement,
                "label": cause.label,
                "before": cause.before,
                "after": cause.after,
                "reason": cause.reason,
            }
            for cause in each.causes
        ],
    }
