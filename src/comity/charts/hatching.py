"""Diagonal strokes across a bar, clipped to it: a pattern that survives black and white."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

SPACING: Final = 5.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels, y downwards."""

    left: float
    right: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line in pixels."""

    x: float
    y: float
    x2: float
    y2: float


def hatching(box: Box, *, spacing: float = SPACING) -> Iterator[Stroke]:
    """Yield strokes rising at 45 degrees, `spacing` apart, at least one for any box.

    Strokes start from multiples of the spacing, not from the box, so that the pattern of
    neighbouring boxes lines up.
    """
    height = box.bottom - box.top
    first = int((box.left - height) // spacing) + 1
    last = int(box.right // spacing)
    n_drawn = 0
    for step in range(first, last + 1):
        foot = step * spacing
        left, right = max(foot, box.left), min(foot + height, box.right)
        if left < right:
            n_drawn += 1
            yield Stroke(left, box.bottom - (left - foot), right, box.bottom - (right - foot))
    if not n_drawn:
        yield Stroke(box.left, box.bottom, box.right, box.top)
