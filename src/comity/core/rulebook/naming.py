"""Names people read in place of the codes and ids which a requirement holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.phrases import spoken

Record = TypeVar("Record")
_CODED = frozenset(
    ("accredited_by", "authorities", "countries", "excluded", "excluded_countries", "issuers")
)
"""Fields which hold ids of authorities or codes of countries."""
_EXAMINED = "examination"
_NONE: Mapping[str, str] = MappingProxyType({})


class _Names(NamedTuple):
    """Names by code, and names of examinations by id."""

    codes: Mapping[str, str]
    examinations: Mapping[str, str]


def named(
    record: Record, names: Mapping[str, str], *, examinations: Mapping[str, str] = _NONE
) -> Record:
    """Return a record with names for its codes, those of its parts included; for prose only.

    Parameters
    ----------
    record : Requirement
        Or any declared dataclass.
    names : mapping
        From codes to names; a code without one stays as it is.
    examinations : mapping
        From ids of examinations to their names.
    """
    if not (names or examinations):
        return record
    known = _Names(names, examinations)
    return _renamed(record, known)  # type: ignore[return-value]  # (a record gives one of its type)


def names_of(edition: Edition, title: Title | None) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """Return the names that an edition gives to codes, and a title to its examinations."""
    examinations = () if title is None else title.examinations
    return edition.names, {each.id: each.name for each in examinations}


def examination_said(name: str) -> str:
    """Return an examination as it stands in a sentence: by its name, else by its id.

    Examples
    --------
    >>> examination_said("the Oral Examination of Xandria"), examination_said("oral-part")
    ('the Oral Examination of Xandria', 'the examination "oral part"')
    """
    return name if " " in name else f'the examination "{spoken(name)}"'


def _renamed(value: object, known: _Names) -> object:
    if isinstance(value, tuple):
        return tuple(_renamed(each, known) for each in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changes: dict[str, object] = {}
    for field in fields(value):
        old = getattr(value, field.name)
        new = _renamed_field(field.name, old, known)
        if new != old:
            changes[field.name] = new
    return replace(value, **changes) if changes else value


def _renamed_field(name: str, old: object, known: _Names) -> object:
    if name in _CODED and isinstance(old, tuple):
        return tuple(known.codes.get(code, code) for code in old)
    if name == _EXAMINED and isinstance(old, str) and old in known.examinations:
        # Ids hold no blank, so that the two can be told apart.
        return f"the {known.examinations[old].removeprefix('The ')}"
    return _renamed(old, known)
