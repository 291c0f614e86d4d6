"""Which fact to ask next, over all titles at once, and how to ask for it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from comity.core.eligibility.assessment import Assessment, RequirementResult, Verdict
from comity.core.eligibility.missing import ORDER_OF_ASKING
from comity.core.eligibility.question_words import (
    FIELD_NAMES,
    FIELDS,
    NAMED_BY,
    SECTIONS,
    AnswerKind,
    Asked,
)
from comity.core.eligibility.vocabulary import Vocabulary
from comity.core.facts.model import Applicant
from comity.core.facts.sections import entries_of

_BY_PEOPLE: Final = "reviews"
"""What a person finds on looking at it is no question to the applicant."""
_WORDS_OFFERED: Final = {"text", "texts", "choice", "names", "language", "hours by part"}
_DETAILED: Final = 4
"""Digits of a detailed field in ISCED-F 2013."""
_CERTIFICATE: Final = {
    "good standing": "certificate of good standing",
    "criminal record": "criminal record certificate",
    "health": "health certificate",
}

_SOON_DAYS: Final = 730
"""What takes longer than two years to put right ends the questions on a title."""
_MENDABLE: Final = 0.5
"""How much less urgent a title is that is not met now and could be put right."""
_BY_ID: Final = {"examinations"}
"""Sections whose entries go by ids of the rulebooks, which nobody could make up."""
_YES_OR_NO: Final = {
    "qualifications/accredited_by": "Is the programme of {name} accredited by {one}?",
    "qualifications/equivalent_to": "Has an evaluating body found {name} equal to {one}?",
}
"""Lists of which the rulebooks ask for one thing only."""
_EASE: Final = {
    "declarations": 0.3,
    "papers": 0.3,
    "certificates": 0.3,
    "updating": 0.7,
    "education": 0.7,
}
"""What people have to look up, or do not like to be asked first, weighs less."""
_NUMBERED: Final = (" (the first)", " (the second)", " (the third)", " (a later one)")
"""Tells entries of one name apart."""


@dataclass(frozen=True, slots=True)
class Question:
    """A fact to ask for.

    Parameters
    ----------
    path : str
        Where the answer belongs in the applicant file, as ``practice/post-2/start``.
    text : str
        The question in plain words.
    kind : str
        What sort of answer is expected.
    choices : tuple of (str, str)
        Words to offer, each with what people read; other answers are taken where `is_open`.
    is_open : bool
        Whether an answer need not be among the choices.
    hint : str
        How to write the answer.
    because : tuple of str
        The requirements that wait for it, with their authorities.
    n_open : int
        How many titles are still open.
    """

    path: str
    text: str
    kind: AnswerKind
    choices: tuple[tuple[str, str], ...] = ()
    is_open: bool = True
    hint: str = ""
    because: tuple[str, ...] = ()
    n_open: int = 0

    @property
    def fact(self) -> str:
        """Section and field alone, as ``practice/start``; the section where nothing is known."""
        return fact_of(self.path)


def fact_of(path: str) -> str:
    """Return section and field of a path."""
    section, *rest = path.split("/")
    return f"{section}/{rest[-1]}" if rest else section


def next_question(
    assessments: Sequence[Assessment],
    *,
    applicant: Applicant,
    vocabulary: Vocabulary,
    asked: Collection[str] = (),
) -> Question | None:
    """Return the question most likely to settle the most open titles; None when none can.

    Of all facts that stand between open titles and their answers it is the one for which most
    titles wait and beside which the fewest others are missing. Facts that were asked for already,
    and what only a person can find on looking, are left out.

    Parameters
    ----------
    assessments : sequence of Assessment
        Of one applicant, over all titles.
    applicant : Applicant
        The file as it stands.
    vocabulary : Vocabulary
        Words of the rulebooks, to offer.
    asked : collection of str
        Paths not to ask for again.
    """
    weights: dict[str, float] = {}
    for assessment in assessments:
        for path, weight in _weights_in(assessment, vocabulary, asked):
            weights[path] = weights.get(path, 0.0) + weight
    if not weights:
        return None
    best = max(weights, key=lambda path: (round(weights[path], 9), -_rank(path)))
    because = tuple(_waiting(assessments, best, vocabulary))
    n_open = sum(bool(list(_weights_in(each, vocabulary, asked))) for each in assessments)
    return question_for(
        best, applicant=applicant, vocabulary=vocabulary, because=because, n_open=n_open
    )


def _weights_in(
    assessment: Assessment, vocabulary: Vocabulary, asked: Collection[str]
) -> Iterator[tuple[str, float]]:
    """Yield each missing fact of an open title with its weight there."""
    if is_settled(assessment, vocabulary):
        return
    found: dict[str, float] = {}
    urgency = 1.0 if assessment.verdict is Verdict.UNKNOWN else _MENDABLE
    for result in _deciding(assessment, vocabulary):
        paths = [path for path in result.missing if _is_askable(path, asked)]
        for path in paths:
            ease = _EASE.get(path.split("/", maxsplit=1)[0], 1.0)
            found[path] = max(found.get(path, 0.0), urgency * ease / len(paths))
    yield from found.items()


def is_settled(assessment: Assessment, vocabulary: Vocabulary) -> bool:
    """Tell whether no further fact can change what a person would be told about a title.

    A title that is not met stays open while all that fails could be put right soon: what else is
    missing then matters to whoever sets out to do so.
    """
    if assessment.verdict is Verdict.UNKNOWN:
        return False
    if assessment.verdict is not Verdict.NOT_MET:
        return True
    failing = [
        each for each in _deciding(assessment, vocabulary) if each.verdict is Verdict.NOT_MET
    ]
    return not all(_is_soon_mended(each, assessment) for each in failing)


def _deciding(assessment: Assessment, vocabulary: Vocabulary) -> Iterator[RequirementResult]:
    return (each for each in assessment.requirements if each.id not in vocabulary.asides)


def _is_soon_mended(result: RequirementResult, assessment: Assessment) -> bool:
    if result.remedy is None:
        return False
    earliest = result.remedy.earliest
    return earliest is None or earliest <= assessment.on + _SOON_DAYS


def _is_askable(path: str, asked: Collection[str]) -> bool:
    return path not in asked and not path.startswith(f"{_BY_PEOPLE}/")


def _rank(path: str) -> int:
    return ORDER_OF_ASKING.index(path.split("/", maxsplit=1)[0])


def _waiting(assessments: Iterable[Assessment], path: str, vocabulary: Vocabulary) -> Iterator[str]:
    for assessment in assessments:
        if not is_settled(assessment, vocabulary):
            for result in _deciding(assessment, vocabulary):
                if path in result.missing:
                    yield f"{result.label} ({assessment.title_name}, {assessment.authority_name})"


def question_for(
    path: str,
    *,
    applicant: Applicant,
    vocabulary: Vocabulary,
    because: tuple[str, ...] = (),
    n_open: int = 0,
) -> Question:
    """Return how a missing fact is asked for."""
    asked = _asked_as(path, vocabulary)
    offered = _offered(path, asked, vocabulary)
    if fact_of(path) in _YES_OR_NO and len(offered) == 1:
        one = _braced(offered[0][1])
        asked = Asked(_YES_OR_NO[fact_of(path)].format(name="{name}", one=one), "listed")
    is_choice = asked.choices and asked.kind in {"choice", "names"}
    is_closed = bool(is_choice or (path in _BY_ID and offered))
    if asked.kind == "listed":
        asked = asked._replace(hint="yes or no")
    return Question(
        path,
        asked.text.format(name=_name_of(path, applicant, vocabulary)),
        asked.kind,
        choices=offered,
        is_open=not is_closed or fact_of(path) == "qualifications/field",
        hint=asked.hint,
        because=because,
        n_open=n_open,
    )


def _asked_as(path: str, vocabulary: Vocabulary) -> Asked:
    section, _, rest = path.partition("/")
    if not rest:
        return SECTIONS[section]
    if section == "declarations":
        text = vocabulary.declarations.get(rest, f"Your answer on {rest.replace('-', ' ')}?")
        return Asked(_braced(text), "yes or no")
    return FIELDS[fact_of(path)]


def _braced(text: str) -> str:
    """Return a text of a rulebook with its braces doubled, so that they stay as they are."""
    return text.replace("{", "{{").replace("}", "}}")


def _offered(path: str, asked: Asked, vocabulary: Vocabulary) -> tuple[tuple[str, str], ...]:
    """Return the words to offer: our own, or those of the rulebooks."""
    fact = fact_of(path)
    known = vocabulary.words.get(fact, ())
    if fact == "registrations":
        known = vocabulary.words.get("registrations/authority", ())
    if fact == "qualifications/field":
        codes = dict.fromkeys(code for code in (*known, *FIELD_NAMES) if len(code) == _DETAILED)
        return tuple((code, FIELD_NAMES.get(code, code)) for code in codes)
    if asked.choices:
        return asked.choices
    if asked.kind not in _WORDS_OFFERED:
        return ()
    return tuple((word, vocabulary.named(word)) for word in known)


def _name_of(path: str, applicant: Applicant, vocabulary: Vocabulary) -> str:
    """Return what the applicant calls the entry that a path leads into."""
    section, *rest = path.split("/")
    if section == "progress" and rest:
        found = [each.milestone for each in applicant.progress if each.id == rest[0]]
        return (found or rest)[0].rsplit("/", 1)[-1].replace("-", " ")
    if not rest or section not in NAMED_BY:
        return ""
    names = {
        entry.id: str(getattr(entry, NAMED_BY[section]) or entry.id.replace("-", " "))
        for entry in entries_of(applicant, section) or ()
    }
    name = names[rest[0]]
    alike = [key for key, other in names.items() if other == name]
    words = _CERTIFICATE.get(name, vocabulary.named(name))
    number = alike.index(rest[0])
    return f"{words}{_NUMBERED[min(number, len(_NUMBERED) - 1)]}" if len(alike) > 1 else words
