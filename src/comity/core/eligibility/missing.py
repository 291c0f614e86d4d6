"""Which facts would decide what is unknown, as paths into the applicant file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from typing import Any, Final

from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import folded
from comity.core.eligibility.findings_combined import keys_of
from comity.core.eligibility.view import View
from comity.core.facts.columns import entries_of
from comity.core.rulebook.editions import target_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import Bands, ByHand, ForEach, SameAs
from comity.core.rulebook.kinds.educating import ContinuingEducation
from comity.core.rulebook.kinds.practising import (
    Interruption,
    Practice,
    Recency,
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
_DATES: Final = {
    "practice": ("practice", ("start", "end")),
    "qualification": ("qualifications", ("completed",)),
    "registration": ("registrations", ("start", "end")),
}


def _asked(requirement: Any, pairs: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """Return the fields which parameters of a requirement look at, each once."""
    found = (field for name, field in pairs if getattr(requirement, name) not in {None, ()})
    return tuple(dict.fromkeys(found))


def _spells(scope: Scope | None, *more: str) -> tuple[str, tuple[str, ...]]:
    asked = () if scope is None else _asked(scope, _SCOPE_FIELDS)
    return "practice", tuple(dict.fromkeys(("start", "end", *more, *asked)))


def _practice(requirement: Practice) -> Reads:
    yield _spells(requirement.scope, *(("hours_a_week",) if requirement.run == "total" else ()))
    if requirement.after is not None:
        yield _DATES[requirement.after]


def _interruption(requirement: Interruption) -> Reads:
    yield _spells(requirement.scope)
    if requirement.since == "qualification":
        yield _DATES["qualification"]


def _counting(requirement: Recency | Bands) -> Reads:
    for counted in requirement.counts:
        yield _spells(requirement.scope) if counted == "practice" else _DATES[counted]


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


def _examination(requirement: ExaminationPassed) -> Reads:
    score = ("score",) if requirement.least_score is not None else ()
    yield "examinations", ("outcome", "taken", *score)


def _certificate(requirement: CertificateHeld) -> Reads:
    sent = ("sent",) if requirement.sent else ()
    pairs = (("authorities", "authority"), ("countries", "country"))
    yield "certificates", ("issued", *_asked(requirement, pairs), *sent)


def _language(_requirement: LanguageProved) -> Reads:
    yield "language", ("taken", "overall", "parts")


def _paper(requirement: PaperHeld) -> Reads:
    photo = ("width_mm", "height_mm", "face_share") if requirement.photo else ()
    yield "papers", (*_asked(requirement, _PAPER_FIELDS), *photo)


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
}


def missing_facts(requirement: Requirement, view: View) -> tuple[str, ...]:
    """Return the paths of the facts which would decide an unknown requirement.

    A path is a section that nobody has filled (``practice``), a field of an entry
    (``practice/post-2/start``), a declaration (``declarations/no-sanctions``) or a review owed
    (``reviews/authority/title/requirement``).
    """
    if view.verdict(requirement) is not Verdict.UNKNOWN:
        return ()
    return tuple(dict.fromkeys(_missing(requirement, view)))


def _missing(requirement: Requirement, view: View) -> Iterator[str]:
    for path, part in requirement.parts():
        if path[0] in {"when", "unless"} or not isinstance(requirement, ForEach):
            yield from missing_facts(part, view)
    if isinstance(requirement, ByHand):
        yield f"reviews/{view.context.prefix}/{requirement.id}"
    elif isinstance(requirement, Declared):
        yield f"declarations/{requirement.declaration}"
    elif isinstance(requirement, SameAs):
        found = target_of(view.edition, view.title, name=requirement.requirement)
        yield from missing_facts(found[1].requirement, view) if found else ()
    elif isinstance(requirement, ForEach):
        yield from _missing_for_each(requirement, view)
    reads = _READS.get(type(requirement))
    for section, names in reads(requirement) if reads else ():
        yield from _missing_in(section, names, requirement, view)


def _missing_for_each(requirement: ForEach, view: View) -> Iterator[str]:
    section = {
        "country of stay": "stays",
        "country of practice": "practice",
        "authority of registration": "registrations",
    }[requirement.over]
    name = "authority" if section == "registrations" else "country"
    yield from _unknown_fields(section, (name, "start", "end"), view)
    for each in keys_of(requirement, view):
        yield from missing_facts(requirement.of, view.bound_to(each))


def _missing_in(
    section: str, names: tuple[str, ...], requirement: Requirement, view: View
) -> Iterator[str]:
    relevant = _same_kind(requirement)
    yield from _unknown_fields(section, names, view, relevant=relevant)


def _unknown_fields(
    section: str,
    names: tuple[str, ...],
    view: View,
    *,
    relevant: Callable[[Any], bool] = lambda _entry: True,
) -> Iterator[str]:
    entries = entries_of(view.applicant, section)
    if entries is None:
        yield section
        return
    for entry in entries:
        if not relevant(entry):
            continue
        prefix = section if section == "person" else f"{section}/{entry.id}"
        if view.confirmed_only and entry.evidence != "confirmed":
            yield prefix
        for name in names:
            if _is_open_question(getattr(entry, name), name):
                yield f"{prefix}/{name}"


def _is_open_question(value: Any, name: str) -> bool:
    if value is None:
        return name != "expires"
    return isinstance(value, PartialDate) and not value.is_exact and not value.is_open


def _same_kind(requirement: Requirement) -> Callable[[Any], bool]:
    """Return a test whether an entry speaks of what the requirement asks for."""
    if isinstance(requirement, CertificateHeld):
        return lambda entry: entry.of == requirement.of
    if isinstance(requirement, PaperHeld):
        return lambda entry: folded(entry.kind) == folded(requirement.paper)
    if isinstance(requirement, ExaminationPassed):
        return lambda entry: entry.examination == requirement.examination
    if isinstance(requirement, LanguageProved):
        tests = {folded(test.test) for test in requirement.tests}
        return lambda entry: folded(entry.test) in tests
    if isinstance(requirement, Elapsed):
        return lambda entry: entry.milestone.rsplit("/", 1)[-1] == requirement.since
    return lambda _entry: True


