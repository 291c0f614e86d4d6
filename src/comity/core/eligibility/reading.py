"""Which sections and fields of the facts a requirement reads."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import wraps
from typing import Any, Final, TypeVar

from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import Bands, ByHand, ForEach, SameAs
from comity.core.rulebook.kinds.educating import ContinuingEducation
from comity.core.rulebook.kinds.practising import (
    Interruption,
    Practice,
    Recency,
    RegistrationScope,
    Scope,
    UpdatingOwed,
)
from comity.core.rulebook.kinds.qualifying import (
    AgeReached,
    Declared,
    Elapsed,
    NationalityHeld,
    QualificationHeld,
    RegistrationHeld,
    ResidenceHeld,
)
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageProved,
    PaperHeld,
)

Reads = Iterator[tuple[str, tuple[str, ...]]]
"""Sections a requirement reads, each with the fields it looks at."""

_SCOPE_FIELDS: Final = (
    ("settings", "setting"),
    ("excluded_settings", "setting"),
    ("titles", "title"),
    ("countries", "country"),
    ("excluded_countries", "country"),
    ("registered", "registered"),
    ("supervised", "supervised"),
    ("least_hours_a_week", "hours_a_week"),
)
_QUALIFICATION_FIELDS: Final = (
    ("titles", "title"),
    ("following", "title"),
    ("least_level", "level"),
    ("fields", "field"),
    ("excluded_fields", "field"),
    ("least_length", "length"),
    ("countries", "country"),
    ("excluded_countries", "country"),
    ("accredited_by", "accredited_by"),
    ("equivalent_to", "equivalent_to"),
    ("least_hours", "hours"),
    ("total_hours", "hours"),
    ("shares", "hours"),
)
_REGISTRATION_FIELDS: Final = (
    ("authorities", "authority"),
    ("countries", "country"),
    ("titles", "title"),
    ("categories", "category"),
    ("excluded_categories", "category"),
)
_PAPER_FIELDS: Final = (
    ("forms", "form"),
    ("certified_by", "certified_by"),
    ("issuers", "issuer"),
    ("countries", "country"),
    ("languages", "language"),
    ("translated_by", "translated_by"),
    ("legalised", "legalised"),
    ("greatest_age", "issued"),
    ("remaining_validity", "expires"),
)
_LANGUAGE_FIELDS: Final = (
    ("overall", "overall"),
    ("parts", "parts"),
    ("excluded_places", "place"),
)
_DATES: Final = {
    "practice": ("practice", ("start", "end")),
    "qualification": ("qualifications", ("completed",)),
    "registration": ("registrations", ("start", "end")),
}


def _asked(requirement: object, pairs: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """Return the fields which parameters of a requirement look at, each once."""
    found = (field for name, field in pairs if getattr(requirement, name) not in (None, ()))
    return tuple(dict.fromkeys(found))


def _spells(scope: Scope | None, *more: str) -> tuple[str, tuple[str, ...]]:
    asked = () if scope is None else _asked(scope, _SCOPE_FIELDS)
    return "practice", tuple(dict.fromkeys(("start", "end", *more, *asked)))


def _registration_fields(scope: RegistrationScope | None) -> tuple[str, ...]:
    return () if scope is None else _asked(scope, _REGISTRATION_FIELDS)


def _practice(requirement: Practice) -> Reads:
    # In one run a day of less than full time is a break, where full time is stated.
    has_hours = requirement.run == "total" or requirement.full_time is not None
    yield _spells(requirement.scope, *(("hours_a_week",) if has_hours else ()))
    if requirement.after is not None:
        yield _DATES[requirement.after]


def _interruption(requirement: Interruption) -> Reads:
    yield _spells(requirement.scope)
    if requirement.since == "qualification":
        yield _DATES["qualification"]


def _counting(requirement: Recency | Bands) -> Reads:
    for counted in requirement.counts:
        if counted == "practice":
            yield _spells(requirement.scope)
            continue
        section, dates = _DATES[counted]
        scope = requirement.registrations if counted == "registration" else None
        yield section, (*dates, *_registration_fields(scope))


def _updating(requirement: UpdatingOwed) -> Reads:
    supervisor = ("supervisor",) if requirement.supervisor else ()
    yield "updating", ("how", "hours", "start", "end", *supervisor)


def _education(requirement: ContinuingEducation) -> Reads:
    category = ("category",) if requirement.minima or requirement.caps else ()
    yield "education", ("units", "earned", *category)
    first = requirement.cycle.first_starts if requirement.cycle else None
    if first == "examination":
        yield "examinations", ("taken", "outcome")
    elif first is not None:
        yield _DATES[first]


def _qualification(requirement: QualificationHeld) -> Reads:
    yield "qualifications", ("completed", *_asked(requirement, _QUALIFICATION_FIELDS))


def _registration(requirement: RegistrationHeld) -> Reads:
    yield "registrations", ("start", "end", *_asked(requirement, _REGISTRATION_FIELDS))


EVENTS: Final = {
    "qualification": ("qualifications", "completed"),
    "registration ended": ("registrations", "end"),
    "last practice": ("practice", "end"),
}
"""After what attempts at an examination may have to be: section and field."""


def _examination(requirement: ExaminationPassed) -> Reads:
    if requirement.after is not None:
        section, name = EVENTS[requirement.after]
        is_of_registration = section == "registrations"
        scope = requirement.registrations if is_of_registration else None
        yield section, (name, *_registration_fields(scope))
    stage = ("stage",) if requirement.stages else ()
    score = ("score",) if requirement.least_score is not None else ()
    yield "examinations", ("outcome", "taken", *stage, *score)


def _certificate(requirement: CertificateHeld) -> Reads:
    sent = ("sent",) if requirement.sent else ()
    pairs = (("authorities", "authority"), ("countries", "country"))
    yield "certificates", ("issued", *_asked(requirement, pairs), *sent)


def _language(requirement: LanguageProved) -> Reads:
    asked = (_asked(test, _LANGUAGE_FIELDS) for test in requirement.tests)
    yield "language", ("taken", *dict.fromkeys(field for fields in asked for field in fields))


def _paper(requirement: PaperHeld) -> Reads:
    photo = ("width_mm", "height_mm", "face_share") if requirement.photo else ()
    yield "papers", (*_asked(requirement, _PAPER_FIELDS), *photo)


def _for_each(requirement: ForEach) -> Reads:
    if requirement.from_age is not None:
        yield "person", ("born",)


_READS: Final[Mapping[type, Callable[[Any], Reads]]] = {
    Practice: _practice,
    Interruption: _interruption,
    Recency: _counting,
    Bands: _counting,
    UpdatingOwed: _updating,
    ContinuingEducation: _education,
    QualificationHeld: _qualification,
    RegistrationHeld: _registration,
    NationalityHeld: lambda _requirement: iter([("person", ("nationality",))]),
    ResidenceHeld: lambda _requirement: iter([("person", ("residence",))]),
    AgeReached: lambda _requirement: iter([("person", ("born",))]),
    Elapsed: lambda _requirement: iter([("progress", ("on",))]),
    LanguageProved: _language,
    ExaminationPassed: _examination,
    CertificateHeld: _certificate,
    PaperHeld: _paper,
    ForEach: _for_each,
}


Thing = TypeVar("Thing")
Found = TypeVar("Found")
_MOST_REMEMBERED: Final = 4096


def by_identity(work: Callable[[Thing], Found]) -> Callable[[Thing], Found]:
    """Return a function which remembers its answers by the very object asked about.

    For declared rulebooks, which are never changed and take long to compare. The object is kept
    with its answer, so that no other one can take its place.
    """
    known: dict[int, tuple[Thing, Found]] = {}

    @wraps(work)
    def once(thing: Thing) -> Found:
        if id(thing) not in known:
            if len(known) >= _MOST_REMEMBERED:
                known.clear()
            known[id(thing)] = thing, work(thing)
        return known[id(thing)][1]

    return once


def reads_of(requirement: Requirement) -> Reads:
    """Return the sections which a requirement itself reads, with the fields it looks at."""
    reads = _READS.get(type(requirement))
    return reads(requirement) if reads else iter(())


OVER: Final = {
    "country of stay": ("stays", "country"),
    "country of practice": ("practice", "country"),
    "authority of registration": ("registrations", "authority"),
}
"""What a `for each` goes through: section and field."""
BOUND: Final[Mapping[str, Mapping[str, str]]] = {
    "certificates": {"country": "country", "authority": "authority"},
    "registrations": {"country": "country", "authority": "authority"},
    "papers": {"country": "country", "authority": "issuer"},
    "qualifications": {"country": "country"},
    "practice": {"country": "country"},
}
"""By which field an entry is told to be of the country or authority in turn."""


@by_identity
def sections_of(requirement: Requirement) -> frozenset[str] | None:
    """Return all sections that can change a requirement's days; None where others decide too."""
    found = {section for section, _names in reads_of(requirement)}
    if isinstance(requirement, SameAs):
        return None
    if isinstance(requirement, ByHand):
        found.add("reviews")
    if isinstance(requirement, Declared):
        found.add("declarations")
    if isinstance(requirement, ForEach):
        found.add(OVER[requirement.over][0])
    for _path, part in requirement.parts():
        inner = sections_of(part)
        if inner is None:
            return None
        found |= inner
    return frozenset(found)
