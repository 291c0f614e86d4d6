"""Facts of an applicant file changed by hand: forms out, answers in, the file's text back.

Forms derive from the declarations. An answer that cannot be taken comes back beside its field with
what was found, what was expected and how to mend it; nothing is changed then.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from comity.core.declaring.fields import DeclaredField, complaints_of, fields_of
from comity.core.declaring.shapes import RecordShape
from comity.core.eligibility.question_words import NAMED_BY
from comity.core.facts.model import Applicant, Person, Preferences, Review
from comity.core.facts.sections import entries_of
from comity.core.problems import has_errors
from comity.files.dumping import dump_yaml
from comity.service.applicant_parts import RECORDS, identifier_of
from comity.service.editing_fields import (
    Control,
    FieldError,
    FieldProblem,
    controls_for,
    read_field,
)
from comity.service.editing_text import keys_of, read_once, rewritten
from comity.service.editing_words import SECTION_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

Offers: TypeAlias = "Mapping[str, Sequence[tuple[str, str]]]"
"""Words to offer for open texts, by section and field, each with what people read."""

_ALL_RECORDS: Final[Mapping[str, type]] = {
    **RECORDS,
    "about": Applicant,
    "person": Person,
    "preferences": Preferences,
    "reviews": Review,
}
SINGLE: Final = frozenset({"about", "person", "preferences"})
"""Sections that are no list."""
LISTED: Final = tuple(name for name in SECTION_WORDS if name not in SINGLE)
WHOLE: Final = ""
"""The key of a problem that belongs to no field alone."""


@dataclass(frozen=True, slots=True)
class Edited:
    """A file after a change.

    Parameters
    ----------
    text : str
        What stands in it now.
    applicant : Applicant
        What it says now.
    entry : str
        Id of the entry that was changed; empty in a section that is no list.
    is_changed : bool
        Whether anything is different.
    """

    text: str
    applicant: Applicant
    entry: str
    is_changed: bool = True


@dataclass(frozen=True, slots=True)
class Refused:
    """Why nothing was changed, by field."""

    problems: Mapping[str, FieldProblem]


def read_document(text: str) -> Applicant:
    """Return the facts of a file that was sound when it was kept.

    Raises
    ------
    ValueError
        When it is not.
    """
    found = read_once(text)
    if found.applicant is None or has_errors(found.problems):
        first = found.problems[0]
        message = f"{first.place}: {first.message}"
        raise ValueError(message)
    return found.applicant


def record_of(applicant: Applicant, section: str, entry: str) -> Any:  # noqa: ANN401
    """Return an entry of a section, or the section itself where it is no list; None if not there.

    Raises
    ------
    KeyError
        When a file has no such section.
    """
    if section not in SECTION_WORDS:
        raise KeyError(section)
    if section in SINGLE:
        records = {"about": applicant, "person": applicant.facts.person}
        return records.get(section, applicant.preferences)
    return next((each for each in entries_of(applicant, section) or () if each.id == entry), None)


def mark_of(applicant: Applicant, section: str, entry: str) -> str:
    """Return a mark of an entry as it stands; it changes when anything in the entry does.

    Empty where there is no such entry.
    """
    record = record_of(applicant, section, entry)
    if record is None:
        return ""
    if section == "about":
        record = Applicant(applicant="x", name=applicant.name, as_of=applicant.as_of)
    return hashlib.sha256(dump_yaml(record).encode("utf-8")).hexdigest()[:24]


def controls_of(
    applicant: Applicant, section: str, *, entry: str = "", offers: Offers | None = None
) -> tuple[Control, ...]:
    """Return the form of an entry; of a new one where `entry` is empty.

    Raises
    ------
    KeyError
        When there is no such section.
    """
    value = record_of(applicant, section, entry)
    known = _offered(applicant, section, offers or {})
    found = controls_for(_ALL_RECORDS[section], section=section, value=value, offered=known)
    return (*_naming(section, value, known), *found)


def _naming(section: str, value: object, known: Offers) -> Iterator[Control]:
    """Yield the control by which a new declaration is chosen: its id says to what."""
    if section == "declarations" and value is None:
        choices = tuple(known.get("id", ()))
        yield Control("id", "To what", "", "choice", "", choices, is_required=True)


def _offered(applicant: Applicant, section: str, offers: Offers) -> dict[str, Any]:
    """Return the words to offer by field."""
    head = f"{section}/"
    found: dict[str, Any] = {
        fact.removeprefix(head): words for fact, words in offers.items() if fact.startswith(head)
    }
    if section in NAMED_BY and section in offers:
        found.setdefault(NAMED_BY[section], offers[section])
    found["papers"] = tuple((paper.id, paper.kind) for paper in applicant.papers or ())
    if section == "declarations":
        held = {each.id for each in applicant.facts.declarations or ()}
        found["id"] = tuple(each for each in offers.get(section, ()) if each[0] not in held)
    return found


# ---------------------------------------------------------------------------------------- changes


def changed_entry(
    text: str,
    section: str,
    typed: Mapping[str, str],
    *,
    entry: str = "",
    offers: Offers | None = None,
) -> Edited | Refused:
    """Return the file with the fields of an entry as typed.

    A new entry is added where `entry` is empty and the section is a list. Fields that were not on
    the form stay as they are.

    Raises
    ------
    KeyError
        When the file has no such section or entry.
    """
    before = read_document(text)
    record = record_of(before, section, entry)
    if record is None and entry:
        raise KeyError(entry)
    controls = controls_of(before, section, entry=entry, offers=offers)
    values, problems = _values(section, record, typed, controls=controls)
    if not problems and record is None:
        values["id"] = typed["id"] if "id" in typed else _new_id(before, section, values)
    if problems:
        return Refused(problems)
    kind = _ALL_RECORDS[section]
    new = kind(**values) if record is None else replace(record, **values)
    problems = _complaints(new) if section != "about" else {}
    if problems:
        return Refused(problems)
    key = "" if section in SINGLE else new.id
    return _edited(text, before, _with_record(before, section, new), section=section, entry=key)


def removed_entry(text: str, section: str, *, entry: str) -> Edited | Refused:
    """Return the file without an entry; what stays may be an empty list, which says: none.

    Raises
    ------
    KeyError
        When the file has no such entry.
    """
    before = read_document(text)
    if section in SINGLE or record_of(before, section, entry) is None:
        raise KeyError(entry)
    left = tuple(each for each in entries_of(before, section) or () if each.id != entry)
    return _edited(text, before, with_entries(before, section, left), section=section, entry=entry)


def with_none(text: str, section: str) -> Edited | Refused:
    """Return the file in which a section that nobody has filled says: none."""
    before = read_document(text)
    if entries_of(before, section):
        return Edited(text, before, "", is_changed=False)
    return _edited(text, before, with_entries(before, section, ()), section=section, entry="")


def with_entries(applicant: Applicant, section: str, entries: Sequence[Any]) -> Applicant:
    """Return the applicant with other entries in a section."""
    part = keys_of(section)[0]
    changed: dict[str, Any] = {section: tuple(entries)}
    if part == section:
        return replace(applicant, **changed)
    inner: dict[str, Any] = {part: replace(getattr(applicant, part), **changed)}
    return replace(applicant, **inner)


def _edited(
    text: str, before: Applicant, after: Applicant, *, section: str, entry: str
) -> Edited | Refused:
    if after == before:
        return Edited(text, before, entry, is_changed=False)
    new = rewritten(text, before=before, after=after, section=section, entry=entry)
    found = read_once(new)
    errors = [each for each in found.problems if each.severity == "error"]
    if errors:
        first = errors[0]
        problem = FieldProblem(first.got.strip("'"), first.expected, first.hint, first.message)
        return Refused({WHOLE: problem})
    return Edited(new, after, entry)


def _with_record(applicant: Applicant, section: str, record: Any) -> Applicant:  # noqa: ANN401
    if section == "about":
        about: Applicant = record
        return about
    if section == "person":
        return replace(applicant, facts=replace(applicant.facts, person=record))
    if section == "preferences":
        return replace(applicant, preferences=record)
    held = tuple(entries_of(applicant, section) or ())
    if all(each.id != record.id for each in held):
        return with_entries(applicant, section, (*held, record))
    entries = tuple(record if each.id == record.id else each for each in held)
    return with_entries(applicant, section, entries)


def _new_id(applicant: Applicant, section: str, values: Mapping[str, Any]) -> str:
    named = values.get(NAMED_BY.get(section, "milestone"))
    base = identifier_of(str(named or "")) or identifier_of(SECTION_WORDS[section].one)
    held = {each.id for each in entries_of(applicant, section) or ()}
    tries = (base, *(f"{base}-{number}" for number in range(2, len(held) + 3)))
    return next(each for each in tries if each not in held)


def _values(
    section: str,
    record: Any,  # noqa: ANN401
    typed: Mapping[str, str],
    *,
    controls: Sequence[Control],
) -> tuple[dict[str, Any], dict[str, FieldProblem]]:
    values: dict[str, Any] = {}
    problems: dict[str, FieldProblem] = {}
    choices = {each.name: each.choices for each in controls}
    if "id" in choices and typed.get("id") not in dict(choices["id"]):
        problems["id"] = FieldProblem(typed.get("id", ""), "one of the questions listed")
    for field in fields_of(_ALL_RECORDS[section]):
        if isinstance(field.shape, RecordShape) and section != "about":
            inner = getattr(record, field.name, None)
            values.update(_part(field, typed, inner=inner, problems=problems))
        elif field.name != "id" and field.name in choices and _is_asked(field, typed, record):
            text = typed.get(field.name, "")
            _take(field, field.name, text, choices=choices, into=(values, problems))
    return values, problems


def _is_asked(field: DeclaredField, typed: Mapping[str, str], record: object) -> bool:
    return field.name in typed or (record is None and field.is_required)


def _take(
    field: DeclaredField,
    name: str,
    text: str,
    *,
    choices: Mapping[str, Sequence[tuple[str, str]]],
    into: tuple[dict[str, Any], dict[str, FieldProblem]],
) -> None:
    values, problems = into
    try:
        values[field.name] = read_field(field, text, choices.get(name, ()))
    except FieldError as error:
        problems[name] = error.problem


def _part(
    field: DeclaredField,
    typed: Mapping[str, str],
    *,
    inner: Any,  # noqa: ANN401
    problems: dict[str, FieldProblem],
) -> dict[str, Any]:
    """Return a record inside an entry, as typed; None where nothing of it is known."""
    shape = field.shape
    head = f"{field.name}."
    if not isinstance(shape, RecordShape) or not any(name.startswith(head) for name in typed):
        return {}
    values: dict[str, Any] = {}
    for each in fields_of(shape.record):
        name = f"{head}{each.name}"
        values[each.name] = getattr(inner, each.name, None)
        if name in typed:
            _take(each, name, typed[name], choices={}, into=(values, problems))
    is_empty = all(value is None for value in values.values())
    return {field.name: None if is_empty else shape.record(**values)}


def _complaints(record: object) -> dict[str, FieldProblem]:
    found: dict[str, FieldProblem] = {}
    for each in complaints_of(record):
        name = str(each.path[0]) if each.path else WHOLE
        found.setdefault(name, FieldProblem(each.got, each.expected, each.hint, each.message))
    return found
