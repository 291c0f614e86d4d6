"""Sentences with values put in: ``{weight}`` is the number with its unit."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

_PLACEHOLDER: Final = re.compile(r"\{([^{}]*)\}|[{}]")
_NAME: Final = re.compile(r"[a-z][a-z0-9_]*(\.number)?", re.ASCII)


def amiss_in(text: str, names: Collection[str]) -> list[tuple[str, tuple[int, int]]]:
    """Return each placeholder that names nothing, with its place in the text."""
    found = []
    for match in _PLACEHOLDER.finditer(text):
        inner = match[1]
        if inner is None or not _NAME.fullmatch(inner) or inner.partition(".")[0] not in names:
            found.append((match[0], match.span()))
    return found


def filled(text: str, shown: Mapping[str, tuple[str, str]]) -> str:
    """Return a text with its values; `shown` holds number and unit of each name."""

    def value_of(match: re.Match[str]) -> str:
        name, _, part = match[1].partition(".")
        number, unit = shown[name]
        return number if part or not unit else with_unit(number, unit)

    return " ".join(_PLACEHOLDER.sub(value_of, text).split())


def with_unit(number: str, unit: str | None) -> str:
    """Return a number with its unit beside it."""
    return f"{number} {unit}" if unit else number
