"""What comes once the licence is there: take it up, renew it, and what renewal will ask."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, date_from_day, day_from_date
from comity.core.eligibility.context import days_of
from comity.core.eligibility.edition_days import Top
from comity.core.eligibility.inquiry import Inquiry, Question
from comity.core.eligibility.results import judge
from comity.core.rulebook.editions import renewal_of
from comity.core.rulebook.phrases import is_month_and_day

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Grant, Rulebook, Title


@dataclass(frozen=True, slots=True)
class AfterLicence:
    """The days that matter once a licence has been granted.

    Parameters
    ----------
    granted : Day
        The day from which it counts.
    claim_by : Day or None
        Last day to take it up after the decision.
    ends : Day or None
        Its last day; None without end.
    opens : Day or None
        First day on which renewal can be asked for; None where nothing is said.
    grace_until : Day or None
        Last day on which it can still be asked for after the end.
    asked : tuple of RequirementResult
        What renewal asks, as it would stand on the last day with what is on file today.
    """

    granted: Day
    claim_by: Day | None
    ends: Day | None
    opens: Day | None
    grace_until: Day | None
    asked: tuple[RequirementResult, ...]


def after_licence(
    applicant: Applicant,
    rulebook: Rulebook,
    title: Title,
    *,
    decided: Day | None,
    granted: Day,
    today: Day,
) -> AfterLicence:
    """Return what comes after a licence that is granted on a day.

    Parameters
    ----------
    applicant, rulebook, title : Applicant, Rulebook, Title
        The title as the edition has it that applies.
    decided, granted : Day or None, Day
        Of the decision, if it is known, and the day from which the licence counts.
    today : Day
        Practice that goes on is taken to go on.

    Notes
    -----
    What renewal asks is judged on the last day of the licence by the same rules as everything else:
    cycles, category minima, upper limits and carried-over units are those of the requirement.
    """
    grant = title.grants
    ends = None if grant is None else _last_day(grant, granted)
    if ends is None and title.renewal is not None:
        ends = title.renewal.every.after(granted)
    claim = grant.claim_within if grant else None
    renewal = title.renewal
    opens = renewal.opens.before(ends) if renewal and renewal.opens and ends is not None else None
    grace = renewal.grace.after(ends) if renewal and renewal.grace and ends is not None else None
    return AfterLicence(
        granted,
        claim.after(decided) if claim is not None and decided is not None else None,
        ends,
        opens,
        grace,
        () if ends is None else _asked(applicant, rulebook, title, ends=ends, today=today),
    )


def _last_day(grant: Grant, granted: Day) -> Day | None:
    """Return the last day of a licence: after its time, or at the end of its year."""
    ends = []
    if grant.lasts is not None:
        ends.append(grant.lasts.after(granted))
    if grant.until_every_year is not None and is_month_and_day(grant.until_every_year):
        ends.append(_next_of_year(grant.until_every_year, granted))
    return min(ends, default=None)


def _next_of_year(text: str, since: Day) -> Day:
    """Return the first day on or after another that has a month and day."""
    month, day = (int(part) for part in text.split("-"))
    year = date_from_day(since).year
    found = day_from_date(date(year, month, day))
    return found if found >= since else day_from_date(date(year + 1, month, day))


def _asked(
    applicant: Applicant, rulebook: Rulebook, title: Title, *, ends: Day, today: Day
) -> tuple[RequirementResult, ...]:
    inquiry = Inquiry(applicant, rulebook, Question(title.id, ends, today))
    # What renewal asks is no part of the title's own list, so it is looked at in one edition.
    view = replace(inquiry.view, across=None)
    tops = [Top(each, days_of(each.requirement, view.context)) for each in renewal_of(view.title)]
    return tuple(judge(top, top.days, view).result for top in tops)
