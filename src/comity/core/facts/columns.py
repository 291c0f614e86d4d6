"""The facts of many applicants as columns, in the rows on which the engine works.

For `n` cases (applicants × assumptions × possible worlds) there are `2 n` rows: row `i` holds the
facts as they are certain, row `n + i` as they are possible. A date known only in part is its latest
day where something begins to hold in a certain row, its earliest day in a possible one, and the
other way round where something ceases to hold. So one evaluation answers both.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final

import numpy as np

from comity.core.days.calendar import Bools, Day, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.facts.model import Applicant
from comity.core.facts.sections import World, entries_of
from comity.core.facts.table import Case, EntrySection, Section, Table

ASSUMPTIONS: Final = ("continues", "stops")


@dataclass(slots=True)
class Columns:
    """All sections of `n_cases` cases as `2 * n_cases` rows, and which rows are the possible ones.

    A case's row is ``(assumption and world) * n_applicants + applicant``; its possible row lies
    `n_cases` further on.
    """

    section_named: Callable[[str], Section]
    cases: tuple[Case, ...]
    n_applicants: int
    confirmed_only: bool = False
    _sections: dict[str, Section] = field(default_factory=dict)
    _tables: dict[str, Table] = field(default_factory=dict)
    _whole: dict[str, Table] = field(default_factory=dict)
    _absent: dict[str, Bools] = field(default_factory=dict)
    _absent_days: dict[str, DaySet | None] = field(default_factory=dict)

    @property
    def n_cases(self) -> int:
        """Number of certain rows."""
        return len(self.cases) * self.n_applicants

    @property
    def n_rows(self) -> int:
        """Number of rows, certain and possible."""
        return 2 * self.n_cases

    @property
    def possible(self) -> Bools:
        """Which rows are the possible ones."""
        return possible_rows(self.n_rows)

    def absent_days(self, name: str) -> DaySet | None:
        """Return every day of the possible rows of whom a section is not known; None for none."""
        if name not in self._absent_days:
            absent = self.absent(name)
            self._absent_days[name] = DaySet.where(absent) if absent.any() else None
        return self._absent_days[name]

    def share(self, other: Columns, names: Sequence[str]) -> None:
        """Take over the sections of other columns of the same cases which hold the same facts."""
        pairs: tuple[tuple[dict[str, Any], dict[str, Any]], ...] = (
            (self._sections, other._sections),
            (self._tables, other._tables),
            (self._whole, other._whole),
            (self._absent, other._absent),
            (self._absent_days, other._absent_days),
        )
        for mine, theirs in pairs:
            mine.update({name: theirs[name] for name in names if name in theirs})

    def section(self, name: str) -> Section:
        """Return a section of all applicants, made when first asked for."""
        known = self._sections.get(name)
        if known is None:
            known = self._sections[name] = self.section_named(name)
        return known

    def table(self, name: str) -> Table:
        """Return a section over all rows."""
        known = self._tables.get(name)
        if known is None:
            known = self._tables[name] = self._make(self.section(name))
        return known

    def whole_table(self, name: str) -> Table:
        """Return a section over all rows with every entry, for facts that count against.

        Where only confirmed facts count, `Table.counts` tells which entries count in favour.
        """
        if not self.confirmed_only:
            return self.table(name)
        known = self._whole.get(name)
        if known is None:
            known = self._whole[name] = self._make(self.section(name), every_entry=True)
        return known

    def absent(self, name: str) -> Bools:
        """Return the possible rows of applicants of whom a section is not known."""
        known = self._absent.get(name)
        if known is None:
            tiled = np.tile(self.section(name).absent, len(self.cases))
            known = self._absent[name] = np.concatenate([np.zeros_like(tiled), tiled])
        return known

    def _make(self, section: Section, *, every_entry: bool = False) -> Table:
        n_tiles, n_entries = 2 * len(self.cases), section.applicants.size
        bases = np.arange(n_tiles)[:, None] * self.n_applicants
        rows = (bases + section.applicants).reshape(-1)
        places = _tiled(n_tiles, n_entries)
        is_possible = rows >= self.n_cases
        if not self.confirmed_only:
            all_count = np.ones(rows.size, bool)
            return Table(section, self.cases, rows, is_possible, places, None, all_count, all_count)
        counts = is_possible | section.confirmed[places]
        against = ~is_possible | section.confirmed[places]
        if every_entry or counts.all():
            return Table(section, self.cases, rows, is_possible, places, None, counts, against)
        kept = np.flatnonzero(counts)
        return Table(
            section,
            self.cases,
            rows[kept],
            is_possible[kept],
            places[kept],
            kept,
            counts[kept],
            against[kept],
        )


@lru_cache(maxsize=64)
def _tiled(n_tiles: int, n_entries: int) -> Ints:
    """Return the places of some entries, over and over."""
    places: Ints = np.tile(np.arange(n_entries, dtype=np.int64), n_tiles)
    places.setflags(write=False)
    return places


@lru_cache(maxsize=64)
def possible_rows(n_rows: int) -> Bools:
    """Return which of some rows are the possible ones: the second half."""
    possible: Bools = np.arange(n_rows) >= n_rows // 2
    possible.setflags(write=False)
    return possible


def columns_of(
    applicants: Sequence[Applicant],
    *,
    today: Day,
    assumptions: Sequence[str] = ("continues",),
    worlds: Sequence[World] = ({},),
    confirmed_only: bool = False,
    margin: Period | None = None,
) -> Columns:
    """Return the facts of applicants as columns.

    Parameters
    ----------
    applicants : sequence of Applicant
        In the order of their rows.
    today : Day
        Open practice ends today where the assumption is ``stops``.
    assumptions : sequence of str
        ``continues``, ``stops``; one block of rows each.
    worlds : sequence of World
        For one applicant only: partly known dates taken to be certain days, a block each.
    confirmed_only : bool
        Entries that are not confirmed count in possible rows only.
    margin : Period, optional
        How far a date marked approximate or uncertain may be off, as the rulebook says.
    """
    cases = tuple(
        Case(assumption, today, world, margin) for assumption in assumptions for world in worlds
    )

    def section_named(name: str) -> Section:
        return _section(name, applicants)

    return Columns(section_named, cases, len(applicants), confirmed_only)


def _section(name: str, applicants: Sequence[Applicant]) -> EntrySection:
    listed = [entries_of(applicant, name) for applicant in applicants]
    counts = [len(entries or ()) for entries in listed]
    entries = tuple(entry for some in listed for entry in some or ())
    return EntrySection(
        name,
        entries,
        tuple(
            applicant.as_of
            for applicant, count in zip(applicants, counts, strict=True)
            for _ in range(count)
        ),
        np.repeat(np.arange(len(applicants), dtype=np.int64), counts),
        np.array([some is None for some in listed], bool),
        np.array([getattr(entry, "evidence", "") == "confirmed" for entry in entries], bool),
    )
