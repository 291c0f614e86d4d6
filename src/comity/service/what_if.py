"""Facts tried without saving them, to see what the answers would be.

A closed set of trials. Each gives a file that differs from the real one in what is tried, so that
the answers come from the same place as always.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from comity.core.days.calendar import Day, add_months_clamp
from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Assessment, Verdict
from comity.core.eligibility.question_words import NAMED_BY
from comity.core.eligibility.view import plain_day
from comity.core.facts.model import Applicant, Certificate, Paper, PracticeSpell, Qualification
from comity.core.facts.sections import entries_of
from comity.files.dumping import dump_yaml
from comity.service.casework import Casework, Document, NamedTitle
from comity.service.editing import Refused, changed_entry, with_entries

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from comity.service.editing import Offers
    from comity.service.editing_fields import FieldProblem

FULL_WEEK_MINUTES: Final = 40 * 60
"""What a share is a share of, where nobody says: forty hours (ILO Convention 47 of 1935)."""
MOST_MONTHS: Final = 120
_ID: Final = "what-if"


@dataclass(frozen=True, slots=True)
class MorePractice:
    """Work for some months from today on, then stop; it takes the place of what goes on now.

    Parameters
    ----------
    n_months : int
        How many, from 1 to 120.
    minutes_a_week : int
        Hours a week, in minutes.
    """

    n_months: int
    minutes_a_week: int


@dataclass(frozen=True, slots=True)
class QualificationCounts:
    """A qualification is accredited or found equivalent by all whose word the rulebooks ask for."""

    entry: str


@dataclass(frozen=True, slots=True)
class PaperArrives:
    """A paper or certificate comes in on a day; `section` is ``papers`` or ``certificates``.

    Where `entry` is empty it is one that is not on file yet: `kind` says which.
    """

    section: str
    day: Day
    entry: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class FactWere:
    """Any entry of the file, with other values in it, or a new one."""

    section: str
    typed: Mapping[str, str]
    entry: str = ""


@dataclass(frozen=True, slots=True)
class ApplyOn:
    """The application is handed in on another day."""

    day: Day


Trial = MorePractice | QualificationCounts | PaperArrives | FactWere | ApplyOn


class TrialError(ValueError):
    """What was to be tried cannot be; carries the problems by field."""

    def __init__(self, problems: Mapping[str, FieldProblem]) -> None:
        super().__init__("; ".join(each.sentence for each in problems.values()))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Change:
    """One title before and after."""

    named: NamedTitle
    before: Assessment
    after: Assessment

    @property
    def is_other(self) -> bool:
        """Whether the answer is another one: its verdict, its open dates or the earliest day."""
        before, after = self.before, self.after
        return (before.verdict, before.windows, before.earliest) != (
            after.verdict,
            after.windows,
            after.earliest,
        )

    @property
    def is_better(self) -> bool:
        """Whether it is now met, and was not."""
        return self.after.verdict is Verdict.MET and self.before.verdict is not Verdict.MET


def share_of_week(share: Fraction, full_week_minutes: int = FULL_WEEK_MINUTES) -> int:
    """Return minutes a week for a share of a full week.

    Examples
    --------
    >>> from fractions import Fraction
    >>> share_of_week(Fraction(1, 2))
    1200
    """
    return int(share * full_week_minutes)


def tried(casework: Casework, trials: Sequence[Trial], *, offers: Offers | None = None) -> Casework:
    """Return the case as it would be if everything tried were so.

    Raises
    ------
    TrialError
        When a value cannot be read.
    KeyError
        When an entry is not in the file.
    """
    applicant, on = casework.applicant, casework.on
    today = casework.today_at(None)
    for trial in trials:
        match trial:
            case ApplyOn(day):
                on = day
            case MorePractice():
                applicant = _with_practice(applicant, trial, today)
            case QualificationCounts(entry):
                applicant = _with_counting(applicant, entry, casework)
            case PaperArrives():
                applicant = _with_paper(applicant, trial)
            case FactWere():
                applicant = _with_fact(applicant, trial, offers)
    return replace(casework, document=Document(dump_yaml(applicant), applicant), on=on)


def compared(before: Casework, after: Casework) -> tuple[Change, ...]:
    """Return every title before and after; what becomes another answer stands first."""
    changes = [
        Change(each, before.answer(each.key), after.answer(each.key)) for each in before.titles()
    ]
    return tuple(sorted(changes, key=lambda each: (not each.is_better, not each.is_other)))


def said(trial: Trial, casework: Casework) -> str:
    """Return what is tried in words, to follow "if"."""
    match trial:
        case MorePractice(n_months, minutes):
            months = "month" if n_months == 1 else "months"
            return f"{n_months} more {months} of practice at {_hours(minutes)} hours a week"
        case QualificationCounts(entry):
            return f"{_name(casework, 'qualifications', entry)} is recognised"
        case PaperArrives(section, day, entry, kind):
            name = kind or _name(casework, section, entry)
            return f"{name} arrives on {plain_day(day)}"
        case ApplyOn(day):
            return f"the application is handed in on {plain_day(day)}"
        case FactWere():
            return "a fact were as entered"


def _hours(minutes: int) -> str:
    return f"{minutes / 60:.2f}".rstrip("0").rstrip(".")


def _name(casework: Casework, section: str, entry: str) -> str:
    held = entries_of(casework.applicant, section) or ()
    found = next(each for each in held if each.id == entry)
    return str(getattr(found, NAMED_BY[section]) or found.id.replace("-", " "))


def _with_practice(applicant: Applicant, trial: MorePractice, today: Day) -> Applicant:
    held = applicant.facts.practice or ()
    last = max(held, key=lambda each: each.start.latest if each.start else 0, default=None)
    end = int(add_months_clamp(today, trial.n_months)) - 1
    spell = PracticeSpell(
        id=_ID,
        start=PartialDate.exact(today),
        end=PartialDate.exact(end),
        hours_a_week=trial.minutes_a_week,
        **_kept(last),
    )
    before = tuple(_ended(each, today) for each in held)
    return with_entries(applicant, "practice", (*(each for each in before if each), spell))


def _kept(last: PracticeSpell | None) -> dict[str, Any]:
    """Return what of the last post is taken to go on: the same work in the same place."""
    names = ("employer", "title", "setting", "country", "registered", "supervised")
    return {} if last is None else {name: getattr(last, name) for name in names}


def _ended(spell: PracticeSpell, today: Day) -> PracticeSpell | None:
    """Return a post that ends before today; None where it would not have begun."""
    if spell.end is None or not (spell.end.is_open or spell.end.latest >= today):
        return spell
    if spell.start is not None and spell.start.earliest >= today:
        return None
    return replace(spell, end=PartialDate.exact(today - 1))


def _with_counting(applicant: Applicant, entry: str, casework: Casework) -> Applicant:
    words = casework.vocabulary.words
    held = applicant.facts.qualifications or ()
    if all(each.id != entry for each in held):
        raise KeyError(entry)
    changed = tuple(_counting(each, words) if each.id == entry else each for each in held)
    return with_entries(applicant, "qualifications", changed)


def _counting(held: Qualification, words: Mapping[str, Sequence[str]]) -> Qualification:
    def more(known: tuple[str, ...] | None, field: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys((*(known or ()), *words.get(f"qualifications/{field}", ()))))

    return replace(
        held,
        accredited_by=more(held.accredited_by, "accredited_by"),
        equivalent_to=more(held.equivalent_to, "equivalent_to"),
    )


def _with_paper(applicant: Applicant, trial: PaperArrives) -> Applicant:
    issued = PartialDate.exact(trial.day)
    held = tuple(entries_of(applicant, trial.section) or ())
    if not trial.entry:
        new: Any = (
            Paper(id=_ID, kind=trial.kind, issued=issued)
            if trial.section == "papers"
            else Certificate(id=_ID, of=trial.kind, issued=issued, sent="directly")  # type: ignore[arg-type]  # (one of its words)
        )
        return with_entries(applicant, trial.section, (*held, new))
    if all(each.id != trial.entry for each in held):
        raise KeyError(trial.entry)
    changed = tuple(_arrived(each, issued) if each.id == trial.entry else each for each in held)
    return with_entries(applicant, trial.section, changed)


def _arrived(held: Paper | Certificate, issued: PartialDate) -> Paper | Certificate:
    """Return a paper issued anew on the day; its old end no longer counts."""
    is_over = held.expires is not None and held.expires.latest < issued.earliest
    expires = None if is_over else held.expires
    if isinstance(held, Paper):
        return replace(held, issued=issued, expires=expires, status="received")
    return replace(held, issued=issued, expires=expires)


def _with_fact(applicant: Applicant, trial: FactWere, offers: Offers | None) -> Applicant:
    text = dump_yaml(applicant)
    found = changed_entry(text, trial.section, trial.typed, entry=trial.entry, offers=offers)
    if isinstance(found, Refused):
        raise TrialError(found.problems)
    return found.applicant
