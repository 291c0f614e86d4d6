"""Many applicants in one call of the engine, each with a row for every world that is possible.

Dates known in part are enumerated for one applicant at a time in `core.eligibility.worlds`; here
the worlds of many applicants stand side by side, as if each were an applicant of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.eligibility.triple import Days
from comity.core.facts.columns import Columns, columns_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from typing import Any

    from comity.core.days.calendar import Bools, Day, Ints
    from comity.core.days.period import Period
    from comity.core.facts.model import Applicant
    from comity.core.facts.sections import World
    from comity.core.facts.table import Case, Section


_MOST_CORNERS: Final = 64


def corners(worlds: tuple[World, ...]) -> tuple[World, ...]:
    """Return the worlds in which every date is as early, or as late, as it may be.

    Of very many dates only the two are returned in which all are.

    Parameters
    ----------
    worlds : tuple of World
        As `possible_worlds` returns them: the first has the earliest days, the last the latest.
    """
    earliest, latest = worlds[0], worlds[-1]
    if len(worlds) == 1 or 2 ** len(earliest) > _MOST_CORNERS:
        return worlds if len(worlds) == 1 else (earliest, latest)
    ends = [sorted({earliest[spot], latest[spot]}) for spot in earliest]
    return tuple(dict(zip(earliest, days, strict=True)) for days in product(*ends))


@dataclass(frozen=True, slots=True)
class PossibleRows:
    """Applicants with their worlds, and where each one's rows begin.

    Parameters
    ----------
    worlds : tuple of tuple of World
        Of each applicant, one at least.
    of_row : ndarray of shape (n_rows,)
        The applicant of each row.
    """

    applicants: tuple[Applicant, ...]
    worlds: tuple[tuple[World, ...], ...]
    of_row: Ints
    first_rows: Ints

    @classmethod
    def of(
        cls, applicants: Sequence[Applicant], worlds: Sequence[tuple[World, ...]]
    ) -> PossibleRows:
        """Return the rows of some applicants in those worlds of each."""
        counts = np.array([len(each) for each in worlds], np.int64)
        of_row = np.repeat(np.arange(len(applicants), dtype=np.int64), counts)
        return cls(tuple(applicants), tuple(worlds), of_row, np.cumsum(counts) - counts)

    @property
    def n_rows(self) -> int:
        """How many rows there are, each of them once certain and once possible."""
        return int(self.of_row.size)

    def columns(self, margin: Period | None, *, today: Day) -> Columns:
        """Return the facts in all rows, posts taken to go on."""
        plain = columns_of(self.applicants, today=today, margin=margin)
        if self.n_rows == len(self.applicants):
            return plain

        def section_named(name: str) -> Section:
            return _PossibleSection.of(name, plain.section(name), self)

        return Columns(section_named, plain.cases, self.n_rows)

    def folded(self, days: Days) -> Days:
        """Return one row an applicant: what holds in every world, what may hold in one."""
        n_applicants = len(self.applicants)
        if self.n_rows == n_applicants:
            return days
        groups = np.concatenate([self.of_row, self.of_row + n_applicants])
        is_certain = DaySet.where(np.arange(2 * n_applicants) < n_applicants)

        def fold(sets: DaySet) -> DaySet:
            surely = sets.fold(groups, 2 * n_applicants, every=True) & is_certain
            return surely | (sets.fold(groups, 2 * n_applicants, every=False) - is_certain)

        yes = fold(days.yes)
        ok = yes if days.ok is days.yes else fold(days.ok)
        return Days(yes, ok, None if days.na is None else fold(days.na))


@dataclass(slots=True)
class _PossibleSection:
    """A section of the facts in which every world repeats its applicant's entries."""

    name: str
    plain: Section
    rows: PossibleRows
    applicants: Ints
    absent: Bools
    confirmed: Bools
    places: Ints
    first_lines: Ints
    _bounds: dict[str, tuple[Ints, Ints]] = field(default_factory=dict)

    @classmethod
    def of(cls, name: str, plain: Section, rows: PossibleRows) -> _PossibleSection:
        """Return the section of all rows from that of their applicants, entry after entry."""
        counts = np.bincount(plain.applicants, minlength=len(rows.applicants))
        starts = np.cumsum(counts) - counts
        per_row = counts[rows.of_row]
        first_lines = np.cumsum(per_row) - per_row
        line = np.arange(int(per_row.sum()), dtype=np.int64)
        applicants = np.repeat(np.arange(rows.n_rows, dtype=np.int64), per_row)
        places = line - first_lines[applicants] + starts[rows.of_row][applicants]
        return cls(
            name,
            plain,
            rows,
            applicants,
            plain.absent[rows.of_row],
            plain.confirmed[places],
            places,
            first_lines,
        )

    def bounds(self, name: str, case: Case) -> tuple[Ints, Ints]:
        """Return the earliest and latest day of a date in every entry."""
        known = self._bounds.get(name)
        if known is None:
            earliest, latest = (each[self.places] for each in self.plain.bounds(name, case))
            for lines, days in self._certain_days(name):
                earliest[lines] = latest[lines] = days
            known = self._bounds[name] = earliest, latest
        return known

    def _certain_days(self, name: str) -> Iterator[tuple[Ints, list[Day]]]:
        """Yield the lines in which worlds make a date certain, with its day in each."""
        for applicant, worlds in enumerate(self.rows.worlds):
            for spot in worlds[0]:
                section, index, field_name = spot
                if (section, field_name) == (self.name, name):
                    first = int(self.rows.first_rows[applicant])
                    lines = self.first_lines[first : first + len(worlds)] + index
                    yield lines, [world[spot] for world in worlds]

    def is_same_in_all(self, _name: str, cases: Sequence[Case]) -> bool:
        """Tell whether a date has the same bounds in all cases: there is one."""
        return len(cases) == 1

    def coded(self, name: str) -> tuple[Ints, Sequence[Any]]:
        """Return a code for every entry, -1 where unknown, and the values they stand for."""
        codes, values = self.plain.coded(name)
        return codes[self.places], values


def of_rows(days: Days, places: Sequence[int]) -> Days:
    """Return the days of some applicants, certain rows first."""
    rows = np.asarray(places, dtype=np.int64)
    both = np.concatenate([rows, rows + days.yes.n_rows // 2])
    yes = days.yes.take(both)
    return Days(yes, yes if days.ok is days.yes else days.ok.take(both))


def differing(days: Days) -> list[int]:
    """Return the rows in which something may hold that does not hold for certain."""
    return differing_from(days, Days(days.yes.swap_halves(), days.ok.swap_halves()))


def differing_from(days: Days, others: Days) -> list[int]:
    """Return the applicants whose days, certain or possible, are not the same in both."""
    differ = np.zeros(days.yes.n_rows, bool)
    for mine, theirs in ((days.yes, others.yes), (days.ok, others.ok)):
        differ |= (mine - theirs).has_days() | (theirs - mine).has_days()
    certain, possible = np.split(differ, 2)
    return [int(row) for row in np.flatnonzero(certain | possible)]
