"""Requirements that give points, of which so many are needed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from comity.core.declaring import Complaint, declared
from comity.core.rulebook.kinds.base import Requirement

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """What gives points."""

    points: int = declared("Points for it.", at_least=1, example="10")
    for_: Requirement = declared("What must hold to get them.", key="for")


@dataclass(frozen=True, slots=True, kw_only=True)
class Points(Requirement):
    """The points of the parts that hold must reach a number. Points of several parts add up."""

    kind: ClassVar[str] = "points"

    needed: int = declared("Points that are needed.", at_least=1, example="60")
    of: tuple[Scored, ...] = declared("What gives points, each with its number.", at_least=1)

    def parts(self) -> Iterator[tuple[Path, Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        for index, scored in enumerate(self.of):
            yield ("of", index, "for"), scored.for_

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        most = sum(scored.points for scored in self.of)
        if self.needed > most:
            yield Complaint(
                "R201",
                ("needed",),
                "so many points cannot be reached",
                got=f"{self.needed}; all parts together give {most}",
                expected=f"a number from 1 to {most}",
            )
