"""Names people read in place of the codes and ids which a requirement holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar

Record = TypeVar("Record")
_CODED = frozenset(
    ("accredited_by", "authorities", "countries", "excluded", "excluded_countries", "issuers")
)
"""Fields which hold ids of authorities or codes of countries."""


def named(record: Record, names: Mapping[str, str]) -> Record:
    """Return a record with names for its codes, those of its parts included; for prose only.

    Parameters
    ----------
    record : Requirement
        Or any declared dataclass.
    names : mapping
        From codes to names; a code without one stays as it is.
    """
    if not names:
        return record
    return _renamed(record, names)  # type: ignore[return-value]  # (a record gives one of its type)


def _renamed(value: object, names: Mapping[str, str]) -> object:
    if isinstance(value, tuple):
        return tuple(_renamed(each, names) for each in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changes: dict[str, object] = {}
    for field in fields(value):
        old = getattr(value, field.name)
        if field.name not in _CODED:
            new = _renamed(old, names)
        else:
            new = None if old is None else tuple(names.get(code, code) for code in old)
        if new != old:
            changes[field.name] = new
    return replace(value, **changes)
