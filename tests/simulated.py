"""A person who answers questions from a file of their own, as if they knew it by heart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from comity.core.declaring.fields import fields_of
from comity.core.declaring.shapes import ListShape, MappingShape, ScalarShape, Shape, YesNoShape
from comity.core.eligibility.question_words import NAMED_BY
from comity.core.eligibility.reading import OVER, reads_of
from comity.core.facts.model import Applicant, Person, Results, Supervisor
from comity.core.facts.sections import entries_of
from comity.core.rulebook.editions import everything_in
from comity.core.rulebook.kinds.combining import ForEach
from comity.core.rulebook.kinds.qualifying import Declared
from comity.core.rulebook.kinds.testing import CertificateHeld
from comity.files.dumping import dump_yaml
from comity.service.applicant_parts import RECORDS
from comity.service.intake import Intake

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.questions import Question
    from comity.core.rulebook.model import Rulebook

DONT_KNOW: Final = "?"
MOST_QUESTIONS: Final = 300
"""An intake that asks more never ends."""


@dataclass(slots=True)
class KnowingPerson:
    """Answers from a file; what stands in no field of it they do not know."""

    truth: Applicant
    asked: list[str] = field(default_factory=list)

    def answers(self, question: Question, so_far: Applicant) -> str:
        """Return what the person types."""
        self.asked.append(question.path)
        section, *rest = question.path.split("/")
        if section == "person":
            return _typed(getattr(self.truth.facts.person, rest[0]), Person, rest[0])
        entries = entries_of(self.truth, section)
        if not rest:
            return DONT_KNOW if entries is None else _names(section, entries)
        if section == "declarations":
            found = next((each for each in entries or () if each.id == rest[0]), None)
            return DONT_KNOW if found is None else _typed(found.answer, type(found), "answer")
        ids = [each.id for each in entries_of(so_far, section) or ()]
        entry = (entries or ())[ids.index(rest[0])]
        return _typed(getattr(entry, rest[1]), RECORDS[section], rest[1])


def _names(section: str, entries: Sequence[Any]) -> str:
    """Return the entries by name; one without the field goes by its id."""
    names = [str(getattr(each, NAMED_BY[section]) or each.id) for each in entries]
    return "; ".join(names) or "none"


def _typed(value: object, record: type, name: str) -> str:
    if value is None:
        return DONT_KNOW
    shape = next(each.shape for each in fields_of(record) if each.name == name)
    if isinstance(value, Supervisor):
        parts = (value.registered_since, value.same_profession, value.sanctioned)
        return ", ".join("?" if part is None else _word(part) for part in parts)
    return _as_typed(value, shape)


def _word(value: object) -> str:
    return ("no", "yes")[value] if isinstance(value, bool) else str(value)


def _as_typed(value: object, shape: Shape) -> str:
    if isinstance(shape, ListShape) and isinstance(value, tuple):
        return "; ".join(_as_typed(each, shape.item) for each in value) or "none"
    if isinstance(shape, MappingShape) and isinstance(value, Mapping):
        return ", ".join(f"{key} {_as_typed(value[key], shape.item)}" for key in value) or "none"
    if isinstance(shape, YesNoShape):
        return "yes" if value else "no"
    return shape.scalar.write(value) if isinstance(shape, ScalarShape) else str(value)


def interviewed(
    person: KnowingPerson, titles: Sequence[tuple[Rulebook, str]], *, today: Day
) -> Intake:
    """Return the intake of a person of whom nothing is known at first, when it has ended.

    What advisers have found on looking at it stands in the file from the beginning.
    """
    reviews = Results(reviews=person.truth.results.reviews)
    begun = Applicant(applicant=person.truth.applicant, results=reviews)
    text = dump_yaml(begun)
    intake = Intake(None, text, begun, titles, lambda _time_zone: today)
    for _ in range(MOST_QUESTIONS):
        question = intake.next_question()
        if question is None:
            return intake
        intake.answer(question, person.answers(question, intake.applicant))
    raise AssertionError(person.asked)


def n_fixed_questions(rulebooks: Iterable[Rulebook], truth: Applicant) -> int:
    """Return how many questions a form asks that asks for every fact some rulebook reads.

    One for each section (which entries are there?), then every field read of every entry.
    """
    facts = set(_facts_read(rulebooks))
    sections = {section for section, _name in facts} - {"person", "declarations", "progress"}
    count = len(sections)
    for section, name in facts:
        if section in {"person", "declarations"}:
            count += 1
        elif name != NAMED_BY.get(section):
            count += len(entries_of(truth, section) or ())
    return count


def _facts_read(rulebooks: Iterable[Rulebook]) -> Iterator[tuple[str, str]]:
    for edition in (edition for rulebook in rulebooks for edition in rulebook.editions):
        for title in edition.titles:
            for listed in everything_in(title):
                for section, names in reads_of(listed.requirement):
                    yield from ((section, name) for name in (*names, ""))
                if isinstance(listed.requirement, Declared):
                    yield "declarations", listed.requirement.declaration
                if isinstance(listed.requirement, ForEach):
                    section, name = OVER[listed.requirement.over]
                    yield from ((section, each) for each in (name, "start", "end"))
                    if isinstance(listed.requirement.of, CertificateHeld):
                        yield "certificates", name
