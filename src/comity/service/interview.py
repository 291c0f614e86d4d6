"""An intake question as fields to fill in, what was filled in as an answer, and the close.

Whoever shows the fields needs to know nothing of facts: a field has its sort and its offers, and
what comes back by its name becomes the text that an intake takes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final, Literal

from babel import Locale, UnknownLocaleError

from comity.core.eligibility.assessment import Assessment, Verdict
from comity.service.answers import AnswerError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import PlainStep
    from comity.core.eligibility.questions import Question
    from comity.core.eligibility.vocabulary import Vocabulary

FieldSort = Literal[
    "pick one", "pick several", "how often", "line", "lines", "number", "day", "yes or no"
]
Filled = Mapping[str, Sequence[str]]
"""What was filled in, by the names of fields."""

CHOSEN: Final = "chosen"
WRITTEN: Final = "written"
NONE: Final = "none"
STILL: Final = "still"
DONT_KNOW: Final = "?"
MOST_TIMES: Final = 20
"""Nobody has sat an examination more often."""
_YES_OR_NO: Final = (("yes", "Yes"), ("no", "No"))
_CODE: Final = re.compile(r"[A-Za-z]{2}")
_TAG: Final = re.compile(r"[A-Za-z]{2,3}")
_SORTS: Final[Mapping[str, FieldSort]] = {
    "day": "day",
    "number": "number",
    "hours": "number",
    "share": "number",
}
_LISTS: Final = frozenset(("names", "texts", "countries"))


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to fill in.

    Parameters
    ----------
    name : str
        By which it comes back.
    sort : str
        How it is filled in.
    label : str
        What it is, where the question alone does not say.
    offers : tuple of (str, str)
        Words to choose from or to complete to, each with what people read.
    """

    name: str
    sort: FieldSort
    label: str = ""
    offers: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A question as a page shows it.

    Parameters
    ----------
    fields : tuple of Field
        What to fill in, in order.
    hint : str
        How to fill it in.
    none, still : str
        Words of the button for "there are none" and for "it still goes on"; empty without one.
    """

    fields: tuple[Field, ...]
    hint: str = ""
    none: str = ""
    still: str = ""


# ---------------------------------------------------------------------------------- questions


def sheet_for(question: Question, vocabulary: Vocabulary, *, language: str = "en") -> Sheet:
    """Return the fields of a question.

    Parameters
    ----------
    question : Question
        As the intake asks it.
    vocabulary : Vocabulary
        Names of countries that the rulebooks give.
    language : str
        In which countries and languages are named.
    """
    if question.path == "stays" or question.kind in {"country", "countries"}:
        return _countries(question, vocabulary, language)
    if question.kind == "language":
        offers = tuple((name, name) for name in _languages(language))
        return Sheet((Field(WRITTEN, "line", offers=offers),), "Its name.")
    if question.kind in {"names", "texts"}:
        return _several(question)
    if question.kind in {"choice", "text"} and question.choices:
        return _one_of(question)
    return _plain(question)


def _countries(question: Question, vocabulary: Vocabulary, language: str) -> Sheet:
    offers = tuple((name, name) for name in _names_of_countries(vocabulary, language))
    if question.kind == "country":
        return Sheet((Field(WRITTEN, "line", offers=offers),), "Its name.")
    hint = "One country on each line."
    if question.path == "stays":
        hint = f"{hint} A country that you came back to stands twice."
    return Sheet((Field(WRITTEN, "lines"),), hint)


def _several(question: Question) -> Sheet:
    if question.path == "examinations":
        times = tuple(Field(f"times-{word}", "how often", read) for word, read in question.choices)
        return Sheet(times, "How often, for each.", "None of them")
    fields = []
    if question.choices:
        fields.append(Field(CHOSEN, "pick several", offers=question.choices))
    if question.is_open:
        label = "Others, one on each line" if question.choices else "One on each line"
        fields.append(Field(WRITTEN, "lines", label))
    return Sheet(tuple(fields), _without_signs(question.hint), "There are none")


def _without_signs(hint: str) -> str:
    """Return a hint without what it says on signs between entries: here each has a line."""
    kept = [part for part in hint.split(". ") if "semicolon" not in part]
    return ". ".join(kept)


def _one_of(question: Question) -> Sheet:
    chosen = Field(CHOSEN, "pick one", offers=question.choices)
    if not question.is_open:
        return Sheet((chosen,), question.hint)
    return Sheet((chosen, Field(WRITTEN, "line", "or in your own words")), question.hint)


def _plain(question: Question) -> Sheet:
    hint = question.hint
    match question.kind:
        case "yes or no" | "listed":
            return Sheet((Field(CHOSEN, "yes or no", offers=_YES_OR_NO),))
        case "hours by part" if question.choices:
            fields = tuple(Field(f"part-{word}", "number", read) for word, read in question.choices)
            return Sheet(fields, "Leave out what there was none of.")
        case "supervisor":
            return _supervisor()
        case "last day":
            hint = hint.partition(" Write still")[0]
            return Sheet((Field(WRITTEN, "day"),), hint, still="It still goes on")
        case _:
            return Sheet((Field(WRITTEN, _SORTS.get(question.kind, "line")),), hint)


def _supervisor() -> Sheet:
    return Sheet(
        (
            Field("since", "day", "On the register since"),
            Field("profession", "pick one", "Of your own profession", _YES_OR_NO),
            Field("sanctioned", "pick one", "Ever under proceedings or a sanction", _YES_OR_NO),
        ),
        "Leave out what you do not know.",
    )


# ------------------------------------------------------------------------------------ answers


def typed_from(
    question: Question, filled: Filled, vocabulary: Vocabulary, *, language: str = "en"
) -> str:
    """Return what was filled in as the text that an intake takes as the answer.

    Raises
    ------
    AnswerError
        When nothing was filled in, or a country has no such name.
    """
    if NONE in filled:
        return "none"
    if STILL in filled:
        return "still"
    typed = _typed(question, filled, _coder(question, vocabulary, language=language))
    if not typed:
        msg = 'please fill something in, or choose "I don\'t know"'
        raise AnswerError(msg)
    return typed


def _coder(
    question: Question, vocabulary: Vocabulary, *, language: str
) -> Callable[[str], str] | None:
    """Return what turns a written name into a code, for questions that codes answer."""
    if question.path == "stays" or question.kind in {"country", "countries"}:
        return lambda name: code_of(name, vocabulary, language=language)
    if question.kind == "language":
        return lambda name: _language_code(name, language)
    return None


def _typed(question: Question, filled: Filled, to_code: Callable[[str], str] | None) -> str:
    written = _lines(filled.get(WRITTEN, ()))
    if to_code is not None:
        return _ended("; ".join(to_code(line) for line in written), question)
    if question.path == "examinations":
        return "; ".join(_as_often(question, filled))
    if question.kind in _IN_PARTS and (question.choices or question.kind == "supervisor"):
        return _IN_PARTS[question.kind](question, filled)
    chosen = list(filled.get(CHOSEN, ()))
    if question.kind in _LISTS:
        return _ended("; ".join((*chosen, *written)), question)
    return (written or chosen or [""])[0]


def _supervised(_question: Question, filled: Filled) -> str:
    names = ("since", "profession", "sanctioned")
    parts = [(_lines(filled.get(name, ())) or ["?"])[0] for name in names]
    return "" if parts == ["?"] * len(parts) else ", ".join(parts)


def _by_part(question: Question, filled: Filled) -> str:
    return "; ".join(
        f"{word} {hours[0]}"
        for word, _read in question.choices
        if (hours := _lines(filled.get(f"part-{word}", ())))
    )


_IN_PARTS: Final[Mapping[str, Callable[[Question, Filled], str]]] = {
    "supervisor": _supervised,
    "hours by part": _by_part,
}


def _as_often(question: Question, filled: Filled) -> Iterator[str]:
    """Yield each examination as often as it was sat."""
    for word, read in question.choices:
        for times in _lines(filled.get(f"times-{word}", ())):
            if not times.isdecimal() or int(times) > MOST_TIMES:
                msg = f"how often for {read}? A number up to {MOST_TIMES} is expected"
                raise AnswerError(msg)
            yield from [word] * int(times)


def _ended(text: str, question: Question) -> str:
    """Return a list with a sign that says it is one: else a comma in a name would part it."""
    is_one = question.kind in _LISTS and text and ";" not in text
    return f"{text};" if is_one else text


def _lines(several: Iterable[str]) -> list[str]:
    lines = [line for each in several for line in re.split(r"[\r\n;]+", each)]
    return [" ".join(line.split()) for line in lines if line.strip()]


# -------------------------------------------------------------------------------------- names


def code_of(name: str, vocabulary: Vocabulary, *, language: str = "en") -> str:
    """Return the code of a country, by its code or its name in any case of letters.

    Raises
    ------
    AnswerError
        When no country has this name.
    """
    if _CODE.fullmatch(name):
        return name.upper()
    known = {
        read.casefold(): code for code, read in vocabulary.names.items() if _CODE.fullmatch(code)
    }
    found = known.get(name.casefold()) or _countries_of(language).get(name.casefold())
    if found is None:
        msg = f"no country is known as {name!r}; write its name, or its two letters"
        raise AnswerError(msg)
    return found


def _language_code(name: str, language: str) -> str:
    if _TAG.fullmatch(name):
        return name.lower()
    for code, read in Locale.parse(_known(language)).languages.items():
        if read.casefold() == name.casefold():
            return str(code)
    msg = f"no language is known as {name!r}; write its name, or its code"
    raise AnswerError(msg)


def _names_of_countries(vocabulary: Vocabulary, language: str) -> list[str]:
    """Return the countries' names, those of the rulebooks first."""
    own = sorted(read for code, read in vocabulary.names.items() if _CODE.fullmatch(code))
    return [*own, *_country_names(language)]


@lru_cache(maxsize=8)
def _country_names(language: str) -> tuple[str, ...]:
    locale = Locale.parse(_known(language))
    return tuple(sorted(name for code, name in locale.territories.items() if _CODE.fullmatch(code)))


@lru_cache(maxsize=8)
def _countries_of(language: str) -> Mapping[str, str]:
    names = {}
    for tag in ("en", _known(language)):
        for code, name in Locale.parse(tag).territories.items():
            if _CODE.fullmatch(code):
                names[name.casefold()] = code
    return names


@lru_cache(maxsize=8)
def _languages(language: str) -> tuple[str, ...]:
    return tuple(sorted(set(Locale.parse(_known(language)).languages.values())))


def _known(language: str) -> str:
    """Return the part of a language tag that names are kept under; English for unknown ones."""
    tag = language.partition("-")[0]
    try:
        Locale.parse(tag)
    except (ValueError, UnknownLocaleError):
        return "en"
    return tag


# -------------------------------------------------------------------------------------- close


@dataclass(frozen=True, slots=True)
class Fix:
    """The nearest thing that would turn an answer into yes; `day` is the first one it could."""

    says: str
    day: Day | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """The close on one title: never a bare no.

    Parameters
    ----------
    assessment : Assessment
        What it rests on.
    fix : Fix or None
        Stands beside everything that is no plain yes; None where only a person can say.
    steps : tuple of PlainStep
        What else is to be done.
    """

    assessment: Assessment
    fix: Fix | None = None
    steps: tuple[PlainStep, ...] = ()


@dataclass(frozen=True, slots=True)
class Close:
    """How an intake ends: the answers, the best first, and the cautions of all of them once."""

    told: tuple[Told, ...]
    cautions: tuple[str, ...]

    @property
    def best(self) -> Told | None:
        """The title that is nearest."""
        return self.told[0] if self.told else None

    @property
    def others(self) -> tuple[Told, ...]:
        """The other titles."""
        return self.told[1:]


_RANK: Final = {
    Verdict.MET: 0,
    Verdict.UNKNOWN: 1,
    Verdict.REFER: 2,
    Verdict.NOT_MET: 3,
    Verdict.NOT_APPLICABLE: 4,
}
_NEVER: Final = 1 << 20


def close_of(assessments: Sequence[Assessment]) -> Close:
    """Return how an intake ends.

    Titles one could apply for come first, then those that lie nearest in time; those that nothing
    leads to come last.
    """
    told = tuple(_told(each) for each in sorted(assessments, key=_nearness))
    cautions = tuple(dict.fromkeys(caution for each in assessments for caution in each.cautions))
    return Close(told, cautions)


def _nearness(each: Assessment) -> tuple[bool, bool, Day, int]:
    is_open = each.verdict in {Verdict.MET, Verdict.UNKNOWN}
    leads_nowhere = not is_open and not (each.answer.leads_on and each.answer.steps)
    earliest = _NEVER if each.earliest is None else each.earliest
    rank = _RANK[each.verdict]
    return each.verdict is not Verdict.MET, leads_nowhere, 0 if is_open else earliest, rank


def _told(assessment: Assessment) -> Told:
    steps = assessment.answer.steps
    if assessment.verdict is Verdict.MET:
        return Told(assessment, None, steps)
    if not assessment.answer.leads_on:
        # What could be done besides would not help: a person has to say what else is open.
        return Told(assessment)
    if steps:
        return Told(assessment, Fix(steps[0].says, steps[0].day), steps[1:])
    remedy = next((each for each in assessment.remedies if each.plain), None)
    return Told(assessment, Fix(remedy.plain, remedy.earliest) if remedy else None)
