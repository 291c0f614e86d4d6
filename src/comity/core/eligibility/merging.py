"""How the editions of a title share the days among them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.dayset import DaySet, at_least
from comity.core.eligibility.edition_days import EditionDays
from comity.core.eligibility.stacking import repeated, stacked, unstacked
from comity.core.eligibility.triple import Days
from comity.core.facts.columns import Columns
from comity.core.rulebook import editions
from comity.core.rulebook.model import Edition


@dataclass(frozen=True, slots=True)
class Merging:
    """How the editions share the days among them.

    `by_id` holds for each edition the days of its requirements; `possible` the days on which each
    edition may apply, those left out on which another one applies for certain; `uncovered` the days
    of none, in possible rows only: there anything may hold. Last among the editions come
    `n_without` which have not got the title.
    """

    by_id: tuple[Mapping[str, Days], ...]
    n_without: int
    possible: tuple[DaySet, ...]
    covered: DaySet
    uncovered: DaySet
    is_exact: bool
    certain_rows: DaySet

    @classmethod
    def of(
        cls,
        evaluated: Sequence[EditionDays],
        without: Sequence[Edition],
        *,
        columns: Columns,
        events: Mapping[str, Day],
        by: str | None = None,
    ) -> Merging:
        """Return the sharing of days among evaluated editions and those without the title.

        An event `by` which a requirement names goes before the editions' own.
        """
        n_rows = columns.n_rows
        shared = [*(days.edition for days in evaluated), *without]
        runs = [_runs_of(edition, events.get(by or edition.applies.by)) for edition in shared]
        ranges = [DaySet.between(*run.possible, n_rows=n_rows) for run in runs]
        covered = at_least(1, ranges) if ranges else DaySet.empty(n_rows)
        certain_rows = DaySet.where(~columns.possible)
        ordered = sorted(run.possible for run in runs if run.possible.start < run.possible.end)
        is_exact = all(first.end <= second.start for first, second in pairwise(ordered))
        if not is_exact:
            own = [DaySet.between(*run.certain, n_rows=n_rows) for run in runs]
            sure = at_least(1, own)
            ranges = [may - (sure - mine) for may, mine in zip(ranges, own, strict=True)]
        uncovered = covered.complement() - certain_rows
        return cls(
            by_id=tuple(_by_id(days) for days in evaluated),
            n_without=len(without),
            possible=tuple(ranges),
            covered=covered,
            uncovered=uncovered,
            is_exact=is_exact,
            certain_rows=certain_rows,
        )

    def requirements(self, names: Sequence[str]) -> dict[str, Days]:
        """Return the days of requirements over all editions; where absent one does not apply."""
        if not names:
            return {}
        full = DaySet.full(self.covered.n_rows)
        absent = Days(full, full, full)
        parts = [stacked([days.get(name, absent) for name in names]) for days in self.by_id]
        parts.extend([stacked([absent] * len(names))] * self.n_without)
        found = unstacked(self._repeated(len(names)).over(parts), len(names))
        return dict(zip(names, found, strict=True))

    def _repeated(self, times: int) -> Merging:
        """Return the same sharing of days, for as many requirements stacked."""
        return replace(
            self,
            possible=tuple(repeated(days, times) for days in self.possible),
            covered=repeated(self.covered, times),
            uncovered=repeated(self.uncovered, times),
            certain_rows=repeated(self.certain_rows, times),
        )

    def over(self, parts: Sequence[Days]) -> Days:
        """Return days which are each edition's own where it applies."""
        yes = self._shared([part.yes for part in parts])
        ok = yes
        if any(part.ok is not part.yes for part in parts):
            ok = self._shared([part.ok for part in parts])
        na = None
        if any(part.na is not None for part in parts):
            empty = DaySet.empty(self.covered.n_rows)
            sets = [empty if part.na is None else part.na for part in parts]
            na = self._shared(sets) & self.covered
        return Days(yes, ok, na)

    def _shared(self, sets: Sequence[DaySet]) -> DaySet:
        """Return what holds in every edition that may apply (certain), or in one (possible)."""
        if len(sets) == 1 and not self.uncovered.keys.size:
            return sets[0]  # the one edition applies on every day
        if len(sets) == 1:
            # Twice, so that it counts alone; elsewhere the requirement and its edition count.
            return at_least(2, [sets[0], self.covered, self.uncovered, self.uncovered])
        within = [days & run for days, run in zip(sets, self.possible, strict=True)]
        maybe = at_least(1, [*within, self.uncovered])
        if self.is_exact:
            return maybe
        surely = [days | run.complement() for days, run in zip(sets, self.possible, strict=True)]
        certain = at_least(len(surely), [*surely]) & self.covered & self.certain_rows
        return certain | (maybe - self.certain_rows)


def _by_id(days: EditionDays) -> dict[str, Days]:
    """Return the days of an edition's requirements by id; of two with one id, of the first."""
    return {top.id: top.days for top in reversed(days.tops)}


def _runs_of(edition: Edition, event: Day | None) -> editions.Applicability:
    """Return the days on which an edition applies; an event past chooses for good."""
    runs = editions.days_of(edition.applies)
    if event is None:
        return runs
    chosen = editions.Days(0, FOREVER if event in runs.possible else 0)
    return editions.Applicability(
        certain=chosen if event in runs.certain else editions.Days(0, 0), possible=chosen
    )
