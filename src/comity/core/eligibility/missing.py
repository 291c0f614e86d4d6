"""Which facts would decide what is unknown, as paths into the applicant file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import folded
from comity.core.eligibility.findings_combined import keys_of
from comity.core.eligibility.reading import BOUND, OVER, reads_of
from comity.core.eligibility.view import View
from comity.core.facts.model import Applicant, Supervisor
from comity.core.facts.sections import entries_of
from comity.core.rulebook.editions import target_of, walk
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import ByHand, ForEach, SameAs
from comity.core.rulebook.kinds.qualifying import Declared, Elapsed
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageProved,
    PaperHeld,
)
from comity.core.rulebook.phrases import together


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
        relevant = _speaks_of(requirement, section)
        yield from _unknown_fields(section, names, view, relevant=relevant)
    for path, part in requirement.parts():
        if path[0] in {"when", "unless"} or not isinstance(requirement, ForEach):
            yield from missing_facts(part, view)


def _missing_for_each(requirement: ForEach, view: View) -> Iterator[str]:
    section, name = OVER[requirement.over]
    yield from _unknown_fields(section, (name, "start", "end"), view)
    for _path, part in walk(requirement.of):
        yield from _unbound_entries(part, name, view)
    for each in keys_of(requirement, view):
        yield from missing_facts(requirement.of, view.bound_to(each))


def _unbound_entries(part: Requirement, name: str, view: View) -> Iterator[str]:
    """Yield for entries of which nobody said of which country or authority they are."""
    for section, _names in reads_of(part):
        told_by = BOUND.get(section, {}).get(name)
        if told_by is not None:
            relevant = _speaks_of(part, section)
            yield from _unknown_fields(section, (told_by,), view, relevant=relevant)


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
            if _is_open_question(getattr(entry, name), name, section):
                yield f"{prefix}/{name}"


def _is_open_question(value: object, name: str, section: str) -> bool:
    if value is None:
        return name != "expires" or section == "papers"
    if isinstance(value, Supervisor):
        told = (value.registered_since, value.same_profession, value.sanctioned)
        return any(_is_open_question(each, name, section) for each in told)
    return isinstance(value, PartialDate) and not value.is_exact and not value.is_open


def _speaks_of(requirement: Requirement, section: str) -> Callable[[Any], bool]:
    """Return a test whether an entry of a section speaks of what the requirement asks for.

    An examination that counts after an event reads the event's section too, and all of that.
    """
    if isinstance(requirement, CertificateHeld):
        return lambda entry: entry.of == requirement.of
    if isinstance(requirement, PaperHeld):
        return lambda entry: folded(entry.kind) == folded(requirement.paper)
    if isinstance(requirement, ExaminationPassed) and section == "examinations":
        return lambda entry: entry.examination == requirement.examination
    if isinstance(requirement, LanguageProved):
        tests = {folded(test.test) for test in requirement.tests}
        return lambda entry: folded(entry.test) in tests
    if isinstance(requirement, Elapsed):
        return lambda entry: entry.milestone.rsplit("/", 1)[-1] == requirement.since
    return lambda _entry: True


ORDER_OF_ASKING: Final = (
    "person",
    "practice",
    "qualifications",
    "registrations",
    "stays",
    "language",
    "examinations",
    "declarations",
    "progress",
    "updating",
    "education",
    "certificates",
    "papers",
    "reviews",
)
"""What people know by heart is asked for first, what they have to look up last."""

_FIELD_WORDS: Final = {
    "start": "first day",
    "end": "last day",
    "hours_a_week": "hours a week",
    "completed": "day of completion",
    "issued": "day of issue",
    "expires": "last day of validity",
    "taken": "day of the sitting",
    "earned": "day on which it ended",
    "how": "kind of updating",
    "born": "date of birth",
    "accredited_by": "accreditation",
    "equivalent_to": "equivalence found",
    "registered": "whether registered there",
    "supervised": "whether under supervision",
    "sent": "how it is sent",
    "parts": "results of the parts",
    "overall": "overall result",
    "translated_by": "translator",
    "certified_by": "who certified the copy",
    "on": "day",
}
_SECTION_WORDS: Final = {
    "qualifications": "degrees and diplomas",
    "practice": "all posts held",
    "registrations": "all registrations held",
    "certificates": "certificates at hand",
    "stays": "countries lived in",
    "updating": "updating done",
    "education": "continuing education done",
    "papers": "papers at hand",
    "language": "language tests sat",
    "examinations": "examinations sat",
    "declarations": "answers to the authority's questions",
    "progress": "what has happened so far",
}


def named(paths: Sequence[str], applicant: Applicant) -> tuple[str, ...]:
    """Return missing facts as people name them; those of one entry together.

    ``practice`` is "all posts held"; ``practice/post-2/start`` and ``practice/post-2/end`` are
    "the first day and last day of City Hospital".
    """
    groups: dict[tuple[str, str], list[str]] = {}
    for path in sorted(paths, key=_rank):
        section, entry, field = (*path.split("/", 2), "", "")[:3]
        groups.setdefault((section, entry), []).append(field)
    return tuple(
        _group_in_words(section, entry, fields=fields, applicant=applicant)
        for (section, entry), fields in groups.items()
    )


def _rank(path: str) -> int:
    return ORDER_OF_ASKING.index(path.split("/", maxsplit=1)[0])


def _group_in_words(
    section: str, entry: str, *, fields: Sequence[str], applicant: Applicant
) -> str:
    if section == "reviews":
        return "what an adviser finds on looking at it"
    if section == "person":
        return f"the {_field(entry)}"
    if not entry:
        return _SECTION_WORDS[section]
    if section == "declarations":
        return f"the answer on {entry.replace('-', ' ')}"
    name = _name_of(section, entry, applicant)
    asked = [_field(field) for field in fields if field]
    if not asked:
        return f"a confirmation of {name}"
    first = asked[0] if asked[0].startswith(("whether", "who", "how ")) else f"the {asked[0]}"
    return f"{together([first, *asked[1:]])} of {name}"


def _field(name: str) -> str:
    return _FIELD_WORDS.get(name, name.replace("_", " "))


def _name_of(section: str, entry_id: str, applicant: Applicant) -> str:
    """Return what people call an entry."""
    for entry in entries_of(applicant, section) or ():
        if entry.id != entry_id:
            continue
        for field in ("employer", "title", "test", "institution", "authority", "kind"):
            value = getattr(entry, field, None)
            if value:
                return str(value)
    return entry_id.replace("-", " ")
