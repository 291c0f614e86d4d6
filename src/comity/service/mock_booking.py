"""What a rulebook tells of booking an examination: sittings ahead, fee of an attempt, waits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.exam.booking import BookingRules
from comity.core.plan.attempts_left import trying
from comity.core.plan.laying_out import attempts_rule
from comity.core.plan.network import EVERY_DAY
from comity.core.plan.taken import Taken

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.declaring.amounts import Money
    from comity.core.exam.booking import Booking, FirstSitting
    from comity.core.facts.model import Applicant
    from comity.core.plan.network import Sitting
    from comity.core.rulebook.model import Examination, Title

MOST_SITTINGS: Final = 6


@dataclass(frozen=True, slots=True)
class Bookable:
    """What can be booked, and on what terms.

    Parameters
    ----------
    sittings : tuple of Sitting
        For which one can still enter, the next ones.
    rules : BookingRules
    currency : str
        Of the fee; empty where none is known.
    """

    sittings: tuple[Sitting, ...]
    rules: BookingRules
    currency: str


@dataclass(frozen=True, slots=True)
class Choice:
    """Two sittings to take first, beside each other: the next one, and the best of the later."""

    now: FirstSitting
    later: FirstSitting
    closes: Day
    currency: str

    @property
    def now_fees(self) -> int:
        """Fees to expect with the next sitting first, in the currency's smallest unit."""
        return round(self.now.fees_minor)

    @property
    def later_fees(self) -> int:
        """Fees to expect with the later one first."""
        return round(self.later.fees_minor)


def bookable(
    title: Title,
    examination: Examination,
    applicant: Applicant,
    *,
    today: Day,
) -> Bookable | None:
    """Return what can be booked; None where there is no choice.

    Parameters
    ----------
    title, examination : Title, Examination
        Of the edition in force.
    applicant : Applicant
        With results so far, which use attempts up.
    today : Day

    Returns
    -------
    Bookable or None
        None where it is passed, a sitting is booked or awaits its result, days are by appointment,
        or no attempt is left.
    """
    mine = [
        each for each in applicant.results.examinations or () if each.examination == examination.id
    ]
    if examination.by_appointment or any(each.outcome == "passed" for each in mine):
        return None
    rule = attempts_rule(title, examination.id)
    tried = trying(examination, rule, applicant, taken=Taken(today), calendar=EVERY_DAY)
    if tried.booked is not None:
        return None
    ahead = [
        each
        for each in tried.sittings.dates
        if each.closes >= today and each.on >= tried.not_before
    ][:MOST_SITTINGS]
    if not ahead:
        return None
    fees = tuple(_fees(title, examination.id, today))
    currencies = {each.currency for each in fees}
    is_known = len(currencies) == 1
    first = ahead[0].on
    rules = BookingRules(
        sum(each.minor for each in fees) if is_known else 0,
        tried.sittings.attempts,
        wait_days=max(tried.sittings.wait.after(first) - first, 1),
    )
    return Bookable(tuple(ahead), rules, currencies.pop() if is_known else "")


def _fees(title: Title, examination: str, today: Day) -> Iterator[Money]:
    """Yield what an attempt costs today; the lower end where a fee is a range."""
    steps = {each.id for each in title.steps if each.sits == examination}
    for fee in title.fees:
        is_now = (fee.from_ is None or fee.from_ <= today) and (
            fee.until is None or today <= fee.until
        )
        if fee.each == "attempt" and fee.step in steps and is_now:
            yield fee.amount


def choice_of(booking: Booking, found: Bookable) -> Choice:
    """Return the next sitting and the best of the later ones, for a booking that could be made."""
    now, *rest = booking.options
    later = min(rest, key=lambda each: each.cost_minor)
    closes = next(each.closes for each in found.sittings if each.on == now.on)
    return Choice(now, later, closes, found.currency)
