"""The days of a case to keep in mind: what lapses, what opens and closes, what is booked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.partial import PartialDate
    from comity.core.eligibility.assessment import Assessment
    from comity.core.facts.model import Applicant

DateSort = Literal[
    "paper lapses",
    "certificate lapses",
    "registration ends",
    "practice ends",
    "sitting",
    "event",
    "window opens",
    "window closes",
    "other rules",
]

AHEAD_DAYS: Final = 731
"""Two years: what lies farther ahead is no concern of today's."""
BEHIND_DAYS: Final = 92
"""What lapsed within a quarter still wants renewing."""
_CERTIFICATES: Final = {
    "good standing": "certificate of good standing",
    "criminal record": "criminal record certificate",
    "health": "health certificate",
}


@dataclass(frozen=True, slots=True)
class ComingDate:
    """A day to keep in mind.

    Parameters
    ----------
    day : Day
        When; of a date known in part, its first day.
    sort : str
        What happens.
    subject : str
        To what: a paper, a post, a title.
    is_past : bool
        Whether it is over.
    is_about : bool
        Whether the day is not known exactly.
    entry : str
        Where the fact stands, as ``papers/passport``; empty for what was worked out.
    """

    day: Day
    sort: DateSort
    subject: str
    is_past: bool = False
    is_about: bool = False
    entry: str = ""


def coming_dates(
    applicant: Applicant, answers: Sequence[Assessment], *, today: Day
) -> tuple[ComingDate, ...]:
    """Return the days of an applicant's facts and of some answers, the nearest first.

    Parameters
    ----------
    applicant : Applicant
        Whose papers, registrations, posts and sittings have days.
    answers : sequence of Assessment
        Whose open dates begin and end.
    today : Day
        Days from a quarter before it to two years after it are returned.
    """
    found = [*_of_facts(applicant, today), *_of_answers(answers, today)]
    near = {each for each in found if today - BEHIND_DAYS <= each.day <= today + AHEAD_DAYS}
    return tuple(sorted(near, key=lambda each: (each.day, each.sort, each.subject)))


def _of_facts(applicant: Applicant, today: Day) -> Iterator[ComingDate]:
    facts = applicant.facts
    dated: list[tuple[PartialDate | None, DateSort, str, str]] = [
        *((each.expires, "paper lapses", each.kind, f"papers/{each.id}")
          for each in applicant.papers or ()),
        *((each.expires, "certificate lapses", certificate_name(each.of), f"certificates/{each.id}")
          for each in facts.certificates or ()),
        *((each.end, "registration ends", each.authority or "", f"registrations/{each.id}")
          for each in facts.registrations or ()),
    ]  # fmt: skip
    for date, sort, subject, entry in dated:
        if date is not None and not date.is_open:
            yield _coming(date, sort, subject, today=today, entry=entry)
    yield from _ahead(applicant, today)


def _ahead(applicant: Applicant, today: Day) -> Iterator[ComingDate]:
    """Yield what has been agreed and lies ahead; behind, it is history."""
    dated: list[tuple[PartialDate | None, DateSort, str, str]] = [
        *((each.end, "practice ends", each.employer or each.title or "", f"practice/{each.id}")
          for each in applicant.facts.practice or ()),
        *((each.taken, "sitting", each.examination.replace("-", " "), f"examinations/{each.id}")
          for each in applicant.results.examinations or ()),
        *((each.taken, "sitting", each.test, f"language/{each.id}")
          for each in applicant.results.language or ()),
        *((each.on, "event", _spoken(each.milestone), f"progress/{each.id}")
          for each in applicant.progress),
    ]  # fmt: skip
    for date, sort, subject, entry in dated:
        if date is not None and not date.is_open and date.earliest >= today:
            yield _coming(date, sort, subject, today=today, entry=entry)


def _spoken(path: str) -> str:
    return path.rsplit("/", 1)[-1].replace("-", " ")


def _coming(
    date: PartialDate, sort: DateSort, subject: str, *, today: Day, entry: str
) -> ComingDate:
    return ComingDate(
        date.earliest,
        sort,
        subject,
        is_past=date.latest < today,
        is_about=not date.is_exact,
        entry=entry,
    )


def _of_answers(answers: Sequence[Assessment], today: Day) -> Iterator[ComingDate]:
    for answer in answers:
        subject = f"{answer.title_name}, {answer.authority_name}"
        for window in answer.windows:
            if window.certainty == "certain":
                if window.start is not None and window.start > today:
                    yield ComingDate(window.start, "window opens", subject)
                if window.until is not None and window.until >= today:
                    yield ComingDate(window.until, "window closes", subject)
        for change in answer.coming:
            yield ComingDate(change.start, "other rules", answer.authority_name)


def certificate_name(of: str) -> str:
    """Return what people call a certificate.

    Examples
    --------
    >>> certificate_name("health")
    'health certificate'
    """
    return _CERTIFICATES.get(of, of)
