"""Whom an edition touches before it is put in force: found fast for many, then told with reasons.

Most answers do not change. So the runs of days of many applicants are worked out together under the
old and the new edition, and only those whose verdict on the day differs are assessed one by one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from comity.core.eligibility.assessment import Verdict
from comity.core.rulebook.editions import days_of
from comity.core.rulebook.model import Rulebook
from comity.service.affected import Days, affected, first_day_of
from comity.service.spans import spans_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition
    from comity.service.affected import Affected
    from comity.service.spans import TitleSpans


@dataclass(frozen=True, slots=True)
class Step:
    """The step from what answers rest on to another edition.

    Parameters
    ----------
    old : Edition or None
        What applies without the new one; None where nothing does.
    new : Edition
        The edition looked at.
    days : Days
        The day of submission asked about, and the day on which it is asked.
    """

    old: Edition | None
    new: Edition
    days: Days


def step_to(
    new: Edition, in_force: Iterable[Rulebook], *, today: Day, on: Day | None = None
) -> Step:
    """Return the step to an edition from what is in force of the same authority.

    Parameters
    ----------
    new : Edition
        The edition looked at.
    in_force : iterable of Rulebook
        What answers rest on now; an edition with the same id in it is the old one.
    today : Day
        The day it is at the authority's seat.
    on : Day, optional
        The day of submission; else the first on which the new edition applies, not before today.
    """
    day = max(first_day_of(new, today=today), today) if on is None else on
    mine = [each for each in in_force if each.authority.id == new.authority.id]
    editions = [edition for each in mine for edition in each.editions]
    return Step(_replaced(new, editions, day), new, Days(day, today))


def _replaced(new: Edition, editions: Sequence[Edition], day: Day) -> Edition | None:
    """Return what would apply on the day: itself as it stands in force, else the last to begin."""
    itself = [each for each in editions if each.rulebook == new.rulebook]
    applying = [each for each in editions if day in days_of(each.applies).possible]
    begun = [each for each in editions if days_of(each.applies).possible.start <= day]
    found = itself or applying or begun
    return found[-1] if found else None


def touched(step: Step, applicants: Sequence[Applicant]) -> tuple[Affected, ...]:
    """Return the applicants with another answer under the new edition, each with what changes it.

    Where no edition applied before there was no answer, and nobody's changes.
    """
    if step.old is None:
        return ()
    before, after = (
        _verdicts(edition, applicants, step.days.on) for edition in (step.old, step.new)
    )
    differing = [
        applicant
        for applicant, old, new in zip(applicants, before, after, strict=True)
        if old != new
    ]
    return affected(step.old, step.new, differing, days=step.days)


def _verdicts(
    edition: Edition, applicants: Sequence[Applicant], day: Day
) -> list[dict[str, Verdict]]:
    """Return each applicant's verdicts by title, the edition taken as if it applied on the day."""
    always = replace(edition, applies=replace(edition.applies, from_=None, until=None))
    rulebook = Rulebook(edition.authority, (always,))
    return [
        {spans.title: verdict_on(spans, day) for spans in titles}
        for titles in spans_of(applicants, (rulebook,), today=day)
    ]


def verdict_on(spans: TitleSpans, day: Day) -> Verdict:
    """Return what runs of days say of one of them."""
    if _holds(spans.certain, day):
        return Verdict.MET
    if _holds(spans.referred, day):
        return Verdict.REFER
    return Verdict.UNKNOWN if _holds(spans.possible, day) else Verdict.NOT_MET


def _holds(runs: Iterable[tuple[Day, Day]], day: Day) -> bool:
    return any(start <= day < end for start, end in runs)


@dataclass(frozen=True, slots=True)
class Turn:
    """How many answers on a title go from one verdict to another."""

    title_name: str
    before: Verdict | None
    after: Verdict | None
    n: int


def turns_of(several: Iterable[Affected]) -> Iterator[Turn]:
    """Yield how many answers turn which way, titles in the order in which they first come."""
    counted: dict[tuple[str, Verdict | None, Verdict | None], int] = {}
    for each in several:
        key = each.title_name, each.before, each.after
        counted[key] = counted.get(key, 0) + 1
    for (title, before, after), n in counted.items():
        yield Turn(title, before, after, n)
