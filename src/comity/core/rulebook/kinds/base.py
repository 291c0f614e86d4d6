"""What every requirement has, whatever its kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from comity.core.declaring import Date, Identifier, Tagged, Text, declared


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a requirement is written."""

    document: Text = declared(
        "Id of a document listed under `sources`, or its name.", example="registration-rules"
    )
    section: Text | None = declared("Section, paragraph, page or question.", default=None)
    edition: Text | None = declared("Edition or date of that document.", default=None)
    read: Date | None = declared("Day on which it was last read.", default=None)
    url: Text | None = declared("Where it can be read.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement(Tagged):
    """One condition with its source; what it asks depends on its `kind`.

    A requirement denotes, for one applicant, the set of days on which it holds.
    """

    id: Identifier | None = declared(
        "Id, kept from edition to edition; required for the requirements listed under a title.",
        default=None,
        example="recent-practice",
    )
    label: Text | None = declared("Short name people read.", default=None)
    source: Source | None = declared("Where it is written; parts inherit it.", default=None)
    at: Identifier | None = declared(
        "Milestone whose day must lie in its days; if left out the title's first one, or `renewal`"
        " for what renewal asks.",
        default=None,
    )
    when: Requirement | None = declared("Applies only on days on which this holds.", default=None)
    unless: Requirement | None = declared(
        "Does not apply on days on which this holds.", default=None
    )
    applies_by: Identifier | None = declared(
        "Event that chooses the edition for this requirement, if not the edition's own.",
        default=None,
    )
    demanded_by: Literal["authority", "employers"] = declared(
        "Who asks for it; what employers ask never decides the answer.", default="authority"
    )
    note: Text | None = declared("A remark for the adviser.", default=None)

    def parts(self) -> Iterator[tuple[tuple[str | int, ...], Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        if self.when is not None:
            yield ("when",), self.when
        if self.unless is not None:
            yield ("unless",), self.unless
