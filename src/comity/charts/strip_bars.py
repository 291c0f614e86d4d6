"""What of the windows can be seen within the span of a strip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.charts.strip_layout import BAR_HEIGHT, PLOT_WIDTH
from comity.core.days.calendar import FOREVER

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.charts.span import Span
    from comity.charts.strip_layout import Row
    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Window

LEAST_BAR: Final = 2.5
MS_PER_DAY: Final = 86_400_000
EPOCH_DAY: Final = 25_567


@dataclass(frozen=True, slots=True)
class Scale:
    """Days to pixels and back, and to the milliseconds in which Vega counts time."""

    span: Span

    def pixels(self, day: float) -> float:
        """Return where a day begins, in pixels from the plot's left edge."""
        return (day - self.span.start) / self.span.n_days * PLOT_WIDTH

    def time(self, pixels: float) -> int:
        """Return the time at a place, in milliseconds since 1 January 1970."""
        return self.time_of(self.span.start + pixels / PLOT_WIDTH * self.span.n_days)

    @staticmethod
    def time_of(day: float) -> int:
        """Return when a day begins, in milliseconds since 1 January 1970."""
        return round((day - EPOCH_DAY) * MS_PER_DAY)


@dataclass(frozen=True, slots=True)
class Bar:
    """The visible part of one window, edges in pixels."""

    row: Row
    window: Window
    left: float
    right: float
    began_before: bool
    goes_on: bool

    @property
    def top(self) -> float:
        """Return the bar's upper edge."""
        return self.row.middle - self.half_height

    @property
    def bottom(self) -> float:
        """Return the bar's lower edge."""
        return self.row.middle + self.half_height

    @property
    def half_height(self) -> float:
        """Return half the bar's height; all together stands out by a taller bar."""
        return (BAR_HEIGHT + (4 if self.row.kind == "together" else 0)) / 2


def bars_of(row: Row, *, scale: Scale) -> Iterator[Bar]:
    """Yield the visible bars of a row; a very short window still shows."""
    for window in row.windows:
        start, end = run_of(window)
        if start < scale.span.end and end > scale.span.start:
            left = max(scale.pixels(start), 0.0)
            right = min(scale.pixels(end), PLOT_WIDTH)
            yield Bar(
                row,
                window,
                left=min(left, PLOT_WIDTH - LEAST_BAR),
                right=min(max(right, left + LEAST_BAR), PLOT_WIDTH),
                began_before=start < scale.span.start,
                goes_on=end > scale.span.end,
            )


def run_of(window: Window) -> tuple[Day, Day]:
    """Return the window as a half-open run."""
    start = 0 if window.start is None else window.start
    return start, FOREVER if window.until is None else window.until + 1
