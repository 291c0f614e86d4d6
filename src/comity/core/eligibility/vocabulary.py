"""The words that rulebooks use for facts, so that questions can offer them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Final

from comity.core.rulebook.editions import everything_in
from comity.core.rulebook.kinds.educating import CategoryCap, CategoryMinimum
from comity.core.rulebook.kinds.practising import RegistrationScope, Scope
from comity.core.rulebook.kinds.qualifying import (
    Declared,
    LeastShare,
    QualificationHeld,
    RegistrationHeld,
)
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageTest,
    PaperHeld,
)
from comity.core.rulebook.model import Edition, Rulebook

_REGISTRATION: Final = {
    "authorities": "registrations/authority",
    "titles": "registrations/title",
    "categories": "registrations/category",
    "excluded_categories": "registrations/category",
}
_PLACES: Final[Mapping[type, Mapping[str, str]]] = {
    Scope: {
        "settings": "practice/setting",
        "excluded_settings": "practice/setting",
        "titles": "practice/title",
    },
    QualificationHeld: {
        "titles": "qualifications/title",
        "fields": "qualifications/field",
        "excluded_fields": "qualifications/field",
        "accredited_by": "qualifications/accredited_by",
        "equivalent_to": "qualifications/equivalent_to",
        "least_hours": "qualifications/hours",
    },
    LeastShare: {"category": "qualifications/hours"},
    RegistrationHeld: _REGISTRATION,
    RegistrationScope: _REGISTRATION,
    CertificateHeld: {"of": "certificates", "authorities": "certificates/authority"},
    LanguageTest: {
        "test": "language",
        "parts": "language/parts",
        "excluded_places": "language/place",
    },
    ExaminationPassed: {"examination": "examinations"},
    PaperHeld: {
        "paper": "papers",
        "issuers": "papers/issuer",
        "certified_by": "papers/certified_by",
        "languages": "papers/language",
        "translated_by": "papers/translated_by",
    },
    CategoryMinimum: {"categories": "education/category"},
    CategoryCap: {"categories": "education/category"},
}
"""Where the words of a rulebook's parameters stand in an applicant file."""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Words of rulebooks.

    Parameters
    ----------
    words : mapping
        From a fact, as ``practice/setting`` or ``papers``, to the words rulebooks use for it.
    names : mapping
        Names people read, by the ids of authorities and examinations and by codes of countries.
    declarations : mapping
        The authorities' questions, by the id of the declaration.
    asides : frozenset of str
        Full ids of requirements that never decide the answer, since no authority asks for them.
    """

    words: Mapping[str, tuple[str, ...]]
    names: Mapping[str, str]
    declarations: Mapping[str, str]
    asides: frozenset[str]

    def named(self, word: str) -> str:
        """Return what people call an id or a code."""
        return self.names.get(word, word)


def vocabulary_of(rulebooks: Iterable[Rulebook]) -> Vocabulary:
    """Return the words which rulebooks use, each once, in the order in which they come."""
    words: dict[str, dict[str, None]] = {}
    names: dict[str, str] = {}
    declarations: dict[str, str] = {}
    asides: set[str] = set()
    for edition in (edition for rulebook in rulebooks for edition in rulebook.editions):
        names.update(_names(edition))
        words.setdefault("registrations/authority", {}).setdefault(edition.authority.id)
        asides.update(_asides(edition))
        for record in _records(edition.titles):
            if isinstance(record, Declared):
                declarations.setdefault(record.declaration, record.question)
            for field, fact in _PLACES.get(type(record), {}).items():
                words.setdefault(fact, {}).update(dict.fromkeys(_texts(getattr(record, field))))
    found = {fact: tuple(known) for fact, known in words.items()}
    return Vocabulary(found, names, declarations, frozenset(asides))


def _names(edition: Edition) -> Iterator[tuple[str, str]]:
    yield from edition.names.items()
    yield edition.authority.id, edition.authority.name
    for title in edition.titles:
        yield from ((each.id, each.name) for each in title.examinations)


def _asides(edition: Edition) -> Iterator[str]:
    for title in edition.titles:
        for listed in everything_in(title):
            if listed.requirement.demanded_by != "authority":
                yield f"{edition.authority.id}/{title.id}/{listed.requirement.id}"


def _records(value: object) -> Iterator[Any]:
    """Yield all declared records inside a value, itself first."""
    if isinstance(value, tuple):
        for item in value:
            yield from _records(item)
    elif is_dataclass(value) and not isinstance(value, type):
        yield value
        for field in fields(value):
            yield from _records(getattr(value, field.name))


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | Mapping):
        yield from (str(item) for item in value)
