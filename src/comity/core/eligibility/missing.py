"""Which facts would decide what is unknown, as paths into the applicant file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import folded
from comity.core.eligibility.findings_combined import keys_of
from comity.core.eligibility.reading import OVER, reads_of
from comity.core.eligibility.view import View
from comity.core.facts.columns import entries_of
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
    for section, names in reads_of(requirement):
        yield from _missing_in(section, names, requirement=requirement, view=view)


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
