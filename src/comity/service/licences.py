"""Licences that are held: when to take one up, to renew it, what renewal asks, the practice gap."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import days_of
from comity.core.eligibility.edition_days import Top
from comity.core.eligibility.inquiry import Inquiry, Question
from comity.core.eligibility.results import judge
from comity.core.plan.after_licence import AfterLicence, after_licence
from comity.core.rulebook.editions import certain_on, everything_in, renewal_of, title_of
from comity.core.rulebook.kinds.educating import ContinuingEducation
from comity.core.rulebook.kinds.practising import Interruption, Recency
from comity.core.rulebook.phrases import together
from comity.service.plan_days import AFTER, DayOf, happened_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import RequirementResult
    from comity.core.facts.model import Applicant, EducationUnits
    from comity.core.rulebook.model import Rulebook, Title

DECISION: Final = "decision"
_A_MONTH: Final = 365.2425 / 12
TOO_OLD: Final = "practice"
"""Ends the key of the day on which practice is too old."""


@dataclass(frozen=True, slots=True)
class Balance:
    """A line of the ledger: what counts by the end of the licence, and what is still to be earned.

    Parameters
    ----------
    label : str
        What renewal asks.
    have, needed, left : float
        Units that count by then, asked for, to go.
    a_month : float
        To be earned each month until then, so that nothing is left.
    forecast : float
        What will count by then if units are earned as fast as in the last year.
    """

    label: str
    have: float
    needed: float
    left: float
    a_month: float
    forecast: float


@dataclass(frozen=True, slots=True)
class Licence:
    """A licence that is held, on a day.

    Parameters
    ----------
    what : str
        What it is, as registration.
    days : AfterLicence
        By when to take it up, when it ends and can be renewed, what renewal asks.
    ledger : tuple of Balance
        Continuing education.
    asked : tuple of RequirementResult
        What else renewal asks.
    earned : tuple of EducationUnits
        Units on file, newest first.
    too_old_on : Day or None
        The first day on which practice is too old, if none is added from today on.
    is_practising : bool
        Whether some practice goes on.
    """

    authority: str
    title: str
    title_name: str
    authority_name: str
    what: str
    days: AfterLicence
    ledger: tuple[Balance, ...] = ()
    asked: tuple[RequirementResult, ...] = ()
    earned: tuple[EducationUnits, ...] = ()
    too_old_on: Day | None = None
    is_practising: bool = True


def licences_of(
    applicant: Applicant, rulebooks: Sequence[Rulebook], *, today: Day
) -> tuple[Licence, ...]:
    """Return the licences that an applicant holds, by what the file says has happened.

    A licence is held once the milestone from which it counts has happened, or with a registration
    at the authority itself that has a first day. Those that ended before today are left out, unless
    they can still be renewed.
    """
    # Most people hold nothing with an authority whose rules are read: they cost no time.
    named = {each.milestone.partition("/")[0] for each in applicant.progress}
    named |= {each.authority or "" for each in applicant.facts.registrations or ()}
    return tuple(
        found
        for rulebook in rulebooks
        if rulebook.authority.id in named
        for name in rulebook.titles()
        if (found := _held(applicant, rulebook, name, today=today)) is not None
    )


def _held(applicant: Applicant, rulebook: Rulebook, name: str, *, today: Day) -> Licence | None:
    title = _title(rulebook, name, today)
    if title is None or (title.grants is None and title.renewal is None):
        return None
    authority = rulebook.authority.id
    happened = dict(happened_of(applicant, authority, name))
    granted = _granted(applicant, title, authority, happened=happened)
    if granted is None or granted > today:
        return None
    days = after_licence(
        applicant,
        rulebook,
        title,
        decided=happened.get(DECISION, granted),
        granted=granted,
        today=today,
    )
    if _is_taken_up(title, happened) or _is_registered(applicant, authority, name):
        days = replace(days, claim_by=None)
    over = days.ends if days.grace_until is None else days.grace_until
    if over is not None and over < today:
        return None
    bare = Licence(
        authority,
        name,
        title.name,
        rulebook.authority.name,
        title.grants.instrument if title.grants else "licence",
        days,
    )
    return _with_watch(bare, applicant, rulebook, title=title, today=today)


def _title(rulebook: Rulebook, name: str, today: Day) -> Title | None:
    editions = [*rulebook.editions, *certain_on(rulebook, today)]
    return next((t for e in reversed(editions) if (t := title_of(e, name)) is not None), None)


def _granted(
    applicant: Applicant, title: Title, authority: str, *, happened: dict[str, Day]
) -> Day | None:
    """Return the day from which a licence counts; None while it is not there."""
    after = title.grants.after if title.grants and title.grants.after else title.milestones[-1].id
    if after in happened:
        return happened[after]
    starts = [
        each.start.latest
        for each in applicant.facts.registrations or ()
        if each.state == "held" and each.authority == authority and each.title == title.id
        if each.start is not None
    ]
    return max(starts, default=None)


def _is_taken_up(title: Title, happened: dict[str, Day]) -> bool:
    """Tell whether anything has happened that comes after the decision."""
    names = [each.id for each in title.milestones]
    later = names[names.index(DECISION) + 1 :] if DECISION in names else names
    return any(name in happened for name in later)


def _is_registered(applicant: Applicant, authority: str, title: str) -> bool:
    return any(
        each.authority == authority and each.title == title and each.state == "held"
        for each in applicant.facts.registrations or ()
    )


def _with_watch(
    licence: Licence, applicant: Applicant, rulebook: Rulebook, *, title: Title, today: Day
) -> Licence:
    """Return a licence with its ledger and the watch on the practice gap."""
    asked = list(zip(renewal_of(title), licence.days.asked, strict=False))
    ends = licence.days.ends or today
    earned = sorted(
        applicant.facts.education or (),
        key=lambda each: each.earned.latest if each.earned else 0,
        reverse=True,
    )
    ledger = [
        line
        for listed, result in asked
        if isinstance(listed.requirement, ContinuingEducation)
        for line in _balances(listed.requirement, result, earned, licence=licence, today=today)
    ]
    return replace(
        licence,
        ledger=tuple(ledger),
        asked=tuple(r for e, r in asked if not isinstance(e.requirement, ContinuingEducation)),
        earned=tuple(e for e in earned if e.earned is None or e.earned.latest <= ends),
        too_old_on=_too_old_on(applicant, rulebook, title, today=today),
        is_practising=any(
            each.end is None or each.end.is_open or each.end.latest >= today
            for each in applicant.facts.practice or ()
        ),
    )


def _balances(
    requirement: ContinuingEducation,
    result: RequirementResult,
    earned: Sequence[EducationUnits],
    *,
    licence: Licence,
    today: Day,
) -> Iterator[Balance]:
    """Yield the lines of one requirement: all units, then those of each category asked for."""
    ends = licence.days.ends or today
    needed = float(requirement.units)
    left = needed if result.shortfall is None and not earned else result.shortfall or 0.0
    pace = _Pace(today, ends)
    yield pace.balance(result.label, needed - min(left, needed), needed, of=earned)
    look_back = requirement.look_back
    since = licence.days.granted if look_back is None else look_back.before(ends)
    for minimum in requirement.minima:
        of = [each for each in earned if each.category in minimum.categories]
        have = sum(
            float(each.units or 0) for each in of if each.earned and each.earned.latest > since
        )
        label = f"{result.label}: {together(minimum.categories)}"
        yield pace.balance(label, have, float(minimum.least), of=of)


@dataclass(frozen=True, slots=True)
class _Pace:
    """The time that is left, and how fast units came in the last year."""

    today: Day
    ends: Day

    def balance(
        self, label: str, have: float, needed: float, *, of: Sequence[EducationUnits]
    ) -> Balance:
        """Return a line of the ledger."""
        months = max((self.ends - self.today) / _A_MONTH, 1.0)
        lately = sum(
            float(each.units or 0)
            for each in of
            if each.earned is not None and self.today - 365 < each.earned.latest <= self.today
        )
        left = max(needed - have, 0.0)
        return Balance(label, have, needed, left, left / months, have + lately / 12 * months)


def _too_old_on(
    applicant: Applicant, rulebook: Rulebook, title: Title, *, today: Day
) -> Day | None:
    """Return the first day on which practice is too old for the title if it stops today."""
    asked = Inquiry(applicant, rulebook, Question(title.id, today, today, assumption="stops"))
    # What renewal asks is no part of the title's own list, so it is looked at in one edition.
    view = replace(asked.view, across=None)
    ends = []
    for each in everything_in(view.title):
        if isinstance(each.requirement, Recency | Interruption):
            days = days_of(each.requirement, view.context)
            result = judge(Top(each, days), days, view).result
            if result.verdict is Verdict.MET and result.until is not None:
                ends.append(result.until + 1)
    return min(ends, default=None)


def days_after(licence: Licence) -> tuple[DayOf, ...]:
    """Return the days of a licence that calendars and lists hold, those gone by included.

    That practice grows too old is watched once none goes on.
    """
    days = licence.days
    found = (
        ("claim", days.claim_by, f"Last day to take up the {licence.what}"),
        ("renewal-opens", days.opens, f"Renewal of the {licence.what} can be asked for"),
        ("ends", days.ends, f"Last day of the {licence.what}"),
        ("grace", days.grace_until, f"Last day to ask for renewal of the {licence.what}"),
        (
            TOO_OLD,
            None if licence.is_practising else licence.too_old_on,
            "Practice is too old from this day on, unless some is added",
        ),
    )
    return tuple(
        DayOf(
            licence.authority,
            licence.title,
            f"{licence.authority}/{licence.title}/{AFTER}/{key}",
            day,
            label,
        )
        for key, day, label in found
        if day is not None
    )
