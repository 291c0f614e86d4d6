"""An intake: the fewest questions to an applicant, each answer kept in their file at once."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from comity.core.days.partial import PartialDate
from comity.core.eligibility.assess import assess
from comity.core.eligibility.questions import Question, is_settled, next_question
from comity.core.eligibility.vocabulary import Vocabulary, vocabulary_of
from comity.core.facts.model import Applicant
from comity.core.problems import Problem, has_errors
from comity.files.applicants import LoadedApplicant, load_applicant, read_applicant
from comity.files.dumping import dump_yaml
from comity.files.writing import write_whole
from comity.service.amending import amended
from comity.service.answers import AnswerError, is_dont_know, read_answer
from comity.service.applicant_parts import identifier_of, with_answer
from comity.service.assessing import TodayAt

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment
    from comity.core.rulebook.model import Rulebook
    from comity.service.assessing import TodayAt

_NEW: Final = "applicant"
Title = tuple["Rulebook", str]


def load_or_begin(path: Path, *, today: Day) -> LoadedApplicant:
    """Return the applicant of a file, or a new one named as the file is where there is none yet."""
    if path.exists() or path.is_symlink():
        return load_applicant(path)
    new = Applicant(applicant=identifier_of(path.stem) or _NEW, as_of=today)
    return read_applicant(dump_yaml(new), str(path))


@dataclass(slots=True)
class Intake:
    """An intake under way.

    Parameters
    ----------
    path : Path
        The applicant's file; None keeps nothing.
    text : str
        What stands in it.
    applicant : Applicant
        What it says.
    titles : sequence of (Rulebook, str)
        The titles asked about.
    today_at : callable
        Gives the day it is at an authority's seat.
    """

    path: Path | None
    text: str
    applicant: Applicant
    titles: Sequence[Title]
    today_at: TodayAt
    vocabulary: Vocabulary = field(init=False)
    _before: list[tuple[str, Applicant]] = field(init=False, default_factory=list)
    _known: dict[tuple[str, str], Assessment] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Collect the words that the rulebooks use."""
        self.vocabulary = vocabulary_of(rulebook for rulebook, _title in self.titles)

    def assessments(self) -> tuple[Assessment, ...]:
        """Return the answer on every title, as the file stands.

        More facts never change what is settled, so only open titles are worked out again.
        """
        return tuple(self._assessment(rulebook, title) for rulebook, title in self.titles)

    def _assessment(self, rulebook: Rulebook, title: str) -> Assessment:
        key = (rulebook.authority.id, title)
        known = self._known.get(key)
        if known is None or not is_settled(known, self.vocabulary):
            today = self.today_at(rulebook.authority.time_zone)
            known = assess(self.applicant, rulebook, title=title, on=today, today=today)
            self._known[key] = known
        return known

    def final_assessments(self) -> tuple[Assessment, ...]:
        """Return the answer on every title, each worked out with all that is known now."""
        self._known.clear()
        return self.assessments()

    def next_question(self) -> Question | None:
        """Return what to ask next; None when nothing more can change an answer."""
        return next_question(
            self.assessments(),
            applicant=self.applicant,
            vocabulary=self.vocabulary,
            asked=self.applicant.asked,
        )

    def answer(self, question: Question, typed: str) -> None:
        """Take what was typed as the answer, and keep it.

        Raises
        ------
        AnswerError
            When it is no answer, or contradicts what is known; nothing is kept then.
        WritingError
            When the file cannot be written.
        """
        before = self.text, self.applicant
        if is_dont_know(typed):
            self._mark(question.path)
        else:
            value = read_answer(question, typed)
            self._keep(with_answer(self.applicant, question.path, value), question.path)
            if not _is_known(value):
                self._mark(question.path)
        self._write()
        self._before.append(before)

    @property
    def n_answers(self) -> int:
        """How many answers were given and not taken back."""
        return len(self._before)

    def take_back(self) -> bool:
        """Undo the last answer; False when there is none.

        Raises
        ------
        WritingError
            When the file cannot be written.
        """
        if not self._before:
            return False
        self.text, self.applicant = self._before.pop()
        self._known.clear()
        self._write()
        return True

    def _mark(self, path: str) -> None:
        """Remember that a fact was asked for and will not become better known."""
        if path not in self.applicant.asked:
            asked = replace(self.applicant, asked=(*self.applicant.asked, path))
            self._keep(asked, "asked")

    def _keep(self, applicant: Applicant, path: str) -> None:
        text = amended(self.text, applicant, path)
        found = read_applicant(text, str(self.path))
        if has_errors(found.problems):
            raise AnswerError(_in_a_sentence(found.problems))
        self.text, self.applicant = text, applicant

    def _write(self) -> None:
        if self.path is not None:
            write_whole(self.path, self.text)


def _is_known(value: object) -> bool:
    return not isinstance(value, PartialDate) or value.is_exact or value.is_open


def _in_a_sentence(problems: Sequence[Problem]) -> str:
    first = problems[0]
    got = f" ({first.got})" if first.got else ""
    return f"{first.message}{got}; expected {first.expected or 'something else'}"
