"""Days pointed at across the rows of a strip, and their labels above it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.charts.labels import estimated_width, wrapped
from comity.charts.strip_layout import FAR_RIGHT, SMALL_SIZE, SUBMISSION

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from comity.charts.strip_bars import Scale
    from comity.charts.wording import ChartWording
    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment

GAP: Final = 8.0
LEAST_LABEL: Final = 60.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A day to point at; with a milestone, the requirements checked there get a check point."""

    day: Day
    label: str
    milestone: str = ""


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with its label as far as there is room, on a level counted upwards from the plot."""

    mark: Mark
    label: str
    level: int


def marks_of(
    assessment: Assessment, *, further: Sequence[Mark], wording: ChartWording
) -> tuple[Mark, ...]:
    """Return the assessed day, the coming editions and the further marks, in order of time."""
    assessed = Mark(
        assessment.on,
        wording.assessed.format(day=wording.day(assessment.on)),
        milestone=SUBMISSION,
    )
    coming = [Mark(change.start, wording.new_edition) for change in assessment.coming]
    return (assessed, *sorted([*coming, *further], key=lambda mark: (mark.day, mark.label)))


def placed_marks(marks: Iterable[Mark], *, scale: Scale) -> tuple[PlacedMark, ...]:
    """Return the visible marks, in order of time.

    Labels stand to the right of their line. Each is placed on the lowest level on which it is
    crossed neither by another label nor by the line of a later mark.
    """
    placed: list[PlacedMark] = []
    for mark in sorted(marks, key=lambda mark: mark.day, reverse=True):
        if scale.span.start <= mark.day < scale.span.end:
            label = _shortened(mark, scale=scale)
            level = _free_level(scale.pixels(mark.day), label=label, placed=placed, scale=scale)
            placed.append(PlacedMark(mark, label, level))
    return tuple(reversed(placed))


def _shortened(mark: Mark, *, scale: Scale) -> str:
    """Return the label, elided at the right edge of the whole drawing."""
    room = max(FAR_RIGHT - scale.pixels(mark.day) - GAP, LEAST_LABEL)
    return wrapped(mark.label, width=room, size=SMALL_SIZE, most_lines=1)[0]


def _free_level(place: float, *, label: str, placed: Iterable[PlacedMark], scale: Scale) -> int:
    """Return the level above every later mark which the label would reach."""
    end = place + estimated_width(label, size=SMALL_SIZE) + GAP
    reached = [other.level for other in placed if scale.pixels(other.mark.day) < end]
    return max(reached, default=-1) + 1
