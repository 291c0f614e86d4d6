"""What can hardly be meant in an applicant file: slips of a year or a digit, told as warnings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring import Complaint
from comity.core.declaring.fields import Path
from comity.core.facts.model import Applicant, Certificate, Paper

YOUNGEST: Final = Period(months=15 * 12)
"""Nobody completes a professional training below this age."""
MOST_HOURS: Final = 100
"""A week has 168 hours, and people sleep in some of them."""
FARTHEST: Final = Period(months=10 * 12)
"""Nobody plans to complete a training later than this."""


def doubts(applicant: Applicant, *, today: Day) -> Iterator[Complaint]:
    """Yield what can hardly be meant, seen from a day."""
    yield from _too_young(applicant)
    yield from _too_many_hours(applicant)
    facts = applicant.facts
    for index, certificate in enumerate(facts.certificates or ()):
        yield from _days_of_a_paper(certificate, ("facts", "certificates", index), today)
    for index, paper in enumerate(applicant.papers or ()):
        yield from _days_of_a_paper(paper, ("papers", index), today)
    yield from _far_ahead(applicant, today)
    yield from _payments(applicant, today)


def _too_young(applicant: Applicant) -> Iterator[Complaint]:
    born = applicant.facts.person.born
    if born is None or born.is_unknown:
        return
    for index, entry in enumerate(applicant.facts.qualifications or ()):
        if entry.completed and entry.completed.latest < YOUNGEST.after(born.earliest):
            yield Complaint(
                "F321",
                ("facts", "qualifications", index, "completed"),
                "a qualification completed before the age of fifteen",
                expected=f"a day after {iso(YOUNGEST.after(born.earliest))}",
                hint="compare both years with the papers that show them",
                related=((("facts", "person", "born"), "the day of birth"),),
            )


def _too_many_hours(applicant: Applicant) -> Iterator[Complaint]:
    for index, post in enumerate(applicant.facts.practice or ()):
        if post.hours_a_week is not None and post.hours_a_week > MOST_HOURS * 60:
            yield Complaint(
                "F322",
                ("facts", "practice", index, "hours_a_week"),
                "more hours a week than one person works",
                got=str(post.hours_a_week // 60),
                expected=f"up to {MOST_HOURS}, as 37.5",
                hint="write the hours of a week, not of a month",
            )


def _days_of_a_paper(entry: Certificate | Paper, path: Path, today: Day) -> Iterator[Complaint]:
    issued, expires = entry.issued, entry.expires
    if issued and expires and expires.latest < issued.earliest:
        yield Complaint(
            "F323",
            (*path, "expires"),
            "it expires before it was issued",
            expected=f"a day on or after {issued}",
            hint="compare both days with the paper",
            related=(((*path, "issued"), "the day of issue"),),
        )
    is_asked_for = isinstance(entry, Paper) and entry.status == "requested"
    if issued and not is_asked_for and _is_ahead(issued, today):
        yield Complaint(
            "F324",
            (*path, "issued"),
            "the day of issue lies ahead",
            expected=f"a day up to {iso(today)}",
            hint="compare the year with the paper",
        )


def _far_ahead(applicant: Applicant, today: Day) -> Iterator[Complaint]:
    if applicant.as_of is not None and applicant.as_of > today:
        yield Complaint(
            "F324",
            ("as_of",),
            "the day on which the facts were gone through lies ahead",
            got=iso(applicant.as_of),
            expected=f"a day up to {iso(today)}",
            hint="write the day on which somebody last looked at them",
        )
    for index, entry in enumerate(applicant.facts.qualifications or ()):
        if entry.completed and _is_ahead(entry.completed, FARTHEST.after(today)):
            yield Complaint(
                "F324",
                ("facts", "qualifications", index, "completed"),
                "the day of completion lies far ahead",
                expected=f"a day up to {iso(FARTHEST.after(today))}",
                hint="compare the year with the diploma, or with the plan of studies",
            )


def _is_ahead(day: PartialDate, limit: Day) -> bool:
    return not day.is_unknown and day.earliest > limit


def _payments(applicant: Applicant, today: Day) -> Iterator[Complaint]:
    """Yield payments that lie ahead, and the same thing paid for twice."""
    first: dict[tuple[str, int | None], int] = {}
    for index, payment in enumerate(applicant.payments):
        if payment.on > today:
            yield Complaint(
                "F324",
                ("payments", index, "on"),
                "the day of the payment lies ahead",
                got=iso(payment.on),
                expected=f"a day up to {iso(today)}",
                hint="write down a payment once it has been made",
            )
        if payment.refunded is not None:
            continue
        key = (payment.purpose.casefold(), payment.attempt)
        if key in first and payment.amount == applicant.payments[first[key]].amount:
            yield Complaint(
                "P302",
                ("payments", index),
                "the same is paid for a second time",
                got=f"{payment.amount} for {payment.purpose}",
                expected="one payment for one thing, or an attempt for each",
                hint="ask for it back if it was paid by mistake; say `attempt` where it is another",
                related=((("payments", first[key]), "the first payment"),),
            )
        first.setdefault(key, index)
