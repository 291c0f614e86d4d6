"""Which facts would decide what is unknown, as paths into the applicant file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import folded
from comity.core.eligibility.findings_combined import keys_of
from comity.core.eligibility.reading import OVER, reads_of
from comity.core.eligibility.view import View
from comity.core.facts.columns import entries_of
from comity.core.facts.model import Applicant
from comity.core.rulebook.editions import target_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import ByHand, ForEach, SameAs
from comity.core.rulebook.kinds.qualifying import Declared, Elapsed
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageProved,
    PaperHeld,
)


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
    if isinstance(requirement, ByHand):
        yield f"reviews/{view.context.prefix}/{requirement.id}"
    elif isinstance(requirement, Declared):
        yield f"declarations/{requirement.declaration}"
    elif isinstance(requirement, SameAs):
        found = target_of(view.edition, view.title, name=requirement.requirement)
        yield from missing_facts(found[1].requirement, view) if found else ()
    elif isinstance(requirement, ForEach):
        yield from _missing_for_each(requirement, view)
    for section, names in reads_of(requirement):
        yield from _missing_in(section, names, requirement=requirement, view=view)
    for path, part in requirement.parts():
        if path[0] in {"when", "unless"} or not isinstance(requirement, ForEach):
            yield from missing_facts(part, view)


def _missing_for_each(requirement: ForEach, view: View) -> Iterator[str]:
    section, name = OVER[requirement.over]
    yield from _unknown_fields(section, (name, "start", "end"), view)
    for each in keys_of(requirement, view):
        yield from missing_facts(requirement.of, view.bound_to(each))


def _missing_in(
    section: str, names: tuple[str, ...], *, requirement: Requirement, view: View
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


def _is_open_question(value: object, name: str) -> bool:
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


_FIELD_WORDS: Final = {
    "start": "the first day",
    "end": "the last day",
    "hours_a_week": "the hours a week",
    "completed": "the day of completion",
    "issued": "the day of issue",
    "expires": "the last day of validity",
    "taken": "the day of the sitting",
    "earned": "the day on which it ended",
    "how": "the kind of updating",
    "born": "the date of birth",
    "of": "what it certifies",
}
_SECTION_WORDS: Final = {
    "qualifications": "the qualifications",
    "practice": "the posts held",
    "registrations": "the registrations held",
    "certificates": "the certificates at hand",
    "stays": "the countries lived in",
    "updating": "the updating done",
    "education": "the continuing education done",
    "papers": "the papers at hand",
    "language": "the language tests sat",
    "examinations": "the examinations sat",
}


def in_words(path: str, applicant: Applicant) -> str:
    """Return a missing fact as people would name it."""
    section, *rest = path.split("/")
    if section == "reviews":
        return "a look by hand"
    if section == "declarations":
        return f"the answer on {rest[0].replace('-', ' ')}"
    if section == "person":
        return _FIELD_WORDS.get(rest[-1], f"the {rest[-1]}")
    if not rest:
        return _SECTION_WORDS.get(section, section)
    entries = entries_of(applicant, section) or ()
    name = next((_entry_name(entry) for entry in entries if entry.id == rest[0]), rest[0])
    if len(rest) == 1:
        return f"a confirmation of {name}"
    return f"{_FIELD_WORDS.get(rest[1], 'the ' + rest[1].replace('_', ' '))} of {name}"


def _entry_name(entry: Any) -> str:  # noqa: ANN401 - an entry of any section
    for field in ("employer", "title", "test", "institution", "authority", "kind"):
        value = getattr(entry, field, None)
        if value:
            return str(value)
    return str(entry.id)
