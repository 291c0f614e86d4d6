"""The facts of an applicant file as people read them, section by section."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.core.declaring.fields import fields_of
from comity.core.declaring.shapes import ChoiceShape, RecordShape, YesNoShape
from comity.core.eligibility.question_words import NAMED_BY
from comity.core.facts.sections import entries_of
from comity.service.casework_dates import certificate_name
from comity.service.editing import LISTED, record_of
from comity.service.editing_fields import shown
from comity.service.editing_words import (
    EVIDENCE_WORDS,
    SECTION_WORDS,
    SectionWords,
    label_of,
    read_as,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from comity.core.declaring.fields import DeclaredField
    from comity.core.facts.model import Applicant

_APART: Final = {"id", "evidence", "papers", "note"}
_NAMED_BY: Final = {
    **NAMED_BY,
    "reviews": "requirement",
    "progress": "milestone",
    "payments": "purpose",
}


@dataclass(frozen=True, slots=True)
class ShownEntry:
    """One entry as it is read.

    Parameters
    ----------
    section, id : str
        Where it stands.
    name : str
        What people call it.
    lines : tuple of (str, str)
        What is known of it: label and value.
    evidence, evidence_said : str
        How it is known, as a word and in words; empty for what has none.
    papers : tuple of str
        Kinds of the papers that show it.
    note : str
        The adviser's remark.
    """

    section: str
    id: str
    name: str
    lines: tuple[tuple[str, str], ...]
    evidence: str = ""
    evidence_said: str = ""
    papers: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class ShownSection:
    """One section as it is read; `is_known` is false while nobody has said anything of it."""

    name: str
    words: SectionWords
    entries: tuple[ShownEntry, ...]
    is_known: bool
    is_list: bool = True


def shown_sections(
    applicant: Applicant, *, names: Mapping[str, str] | None = None
) -> tuple[ShownSection, ...]:
    """Return everything that is known of an applicant, in the order of the page.

    `names` gives what people call ids of authorities and examinations, countries' codes and
    declarations.
    """
    return tuple(shown_section(applicant, name, names=names or {}) for name in SECTION_WORDS)


def shown_section(applicant: Applicant, section: str, *, names: Mapping[str, str]) -> ShownSection:
    """Return what is known of one section.

    Raises
    ------
    KeyError
        When a file has no such section.
    """
    if section not in LISTED:
        record = record_of(applicant, section, "")
        entry = _entry(applicant, section, record, names=names)
        return ShownSection(section, SECTION_WORDS[section], (entry,), is_known=True, is_list=False)
    held = entries_of(applicant, section)
    entries = tuple(_entry(applicant, section, each, names=names) for each in held or ())
    return ShownSection(section, SECTION_WORDS[section], entries, is_known=held is not None)


def shown_entry(
    applicant: Applicant, section: str, *, entry: str, names: Mapping[str, str]
) -> ShownEntry | None:
    """Return one entry as it is read; None where it does not stand in the file."""
    record = record_of(applicant, section, entry)
    return None if record is None else _entry(applicant, section, record, names=names)


def _entry(
    applicant: Applicant,
    section: str,
    record: Any,  # noqa: ANN401
    *,
    names: Mapping[str, str],
) -> ShownEntry:
    papers = {paper.id: paper.kind for paper in applicant.papers or ()}
    evidence = "" if section in {"about", "preferences"} else record.evidence
    return ShownEntry(
        section,
        getattr(record, "id", ""),
        _name(section, record, names),
        tuple(_lines(section, record, names=names)),
        evidence,
        EVIDENCE_WORDS.get(evidence, ""),
        tuple(papers.get(each, each) for each in getattr(record, "papers", None) or ())
        if section != "about"
        else (),
        getattr(record, "note", None) or "",
    )


def _name(section: str, record: Any, names: Mapping[str, str]) -> str:  # noqa: ANN401
    if section not in LISTED:
        return SECTION_WORDS[section].heading
    if section == "declarations":
        return names.get(record.id, str(record.id).replace("-", " "))
    value = getattr(record, _NAMED_BY[section], None)
    if section == "certificates":
        return certificate_name(record.of)
    return names.get(str(value), str(value)) if value else str(record.id).replace("-", " ")


def _lines(
    section: str,
    record: Any,  # noqa: ANN401
    *,
    names: Mapping[str, str],
    label: str = "",
) -> Iterator[tuple[str, str]]:
    for field in fields_of(type(record)):
        value = getattr(record, field.name)
        is_named = section in LISTED and field.name == _NAMED_BY.get(section)
        is_other = section == "about" and field.name not in {"name", "as_of"}
        if value is None or is_named or is_other or (field.name in _APART and not label):
            continue
        if isinstance(field.shape, RecordShape):
            yield from _lines(section, value, names=names, label=field.name)
        else:
            yield label_of(section, field.name), _said(field, section, value, names=names)


def _said(field: DeclaredField, section: str, value: Any, *, names: Mapping[str, str]) -> str:  # noqa: ANN401
    text = shown(value, field.shape)
    if isinstance(field.shape, ChoiceShape):
        return read_as(section, field.name).get(text, text)
    if isinstance(field.shape, YesNoShape):
        return text
    if "\n" in text:
        return ", ".join(text.split("\n"))
    reads = read_as(section, field.name)
    return "; ".join(_word(part, names, reads) for part in text.split("; "))


def _word(part: str, names: Mapping[str, str], reads: Mapping[str, str]) -> str:
    said = names.get(part) or reads.get(part)
    return f"{said} ({part})" if said else part
