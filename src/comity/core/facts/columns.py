"""The facts of many applicants as columns, in the rows on which the engine works.

For `n` cases (applicants × assumptions × possible worlds) there are `2 n` rows: row `i` holds the
facts as they are certain, row `n + i` as they are possible. A date known only in part is its latest
day where something begins to hold in a certain row, its earliest day in a possible one, and the
other way round where something ceases to hold. So one evaluation answers both.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final, Protocol

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Day, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.facts.model import Applicant

Spot = tuple[str, int, str]
"""A fact of one applicant: section, index of the entry, field."""

World = Mapping[Spot, Day]
"""Partly known dates of one applicant, each taken to be one of its days."""

ASSUMPTIONS: Final = ("continues", "stops")

_SECTIONS: Final[Mapping[str, Callable[[Applicant], Sequence[Any] | None]]] = {
    "person": lambda applicant: (applicant.facts.person,),
    "qualifications": lambda applicant: applicant.facts.qualifications,
    "practice": lambda applicant: applicant.facts.practice,
    "registrations": lambda applicant: applicant.facts.registrations,
    "certificates": lambda applicant: applicant.facts.certificates,
    "stays": lambda applicant: applicant.facts.stays,
    "updating": lambda applicant: applicant.facts.updating,
    "education": lambda applicant: applicant.facts.education,
    "declarations": lambda applicant: applicant.facts.declarations,
    "papers": lambda applicant: applicant.papers,
    "language": lambda applicant: applicant.results.language,
    "examinations": lambda applicant: applicant.results.examinations,
    "reviews": lambda applicant: applicant.results.reviews,
    "progress": lambda applicant: applicant.progress,
}
SECTIONS: Final = tuple(_SECTIONS)


def entries_of(applicant: Applicant, section: str) -> Sequence[Any] | None:
    """Return the entries of a section, None while nobody has said."""
    return _SECTIONS[section](applicant)


class Section(Protocol):
    """One section of the facts of all applicants, entry after entry."""

    applicants: Ints
    absent: Bools
    confirmed: Bools

    def bounds(self, name: str, case: Case) -> tuple[Ints, Ints]:
        """Return the earliest and latest day of a date in every entry, in one case."""
        ...

    def coded(self, name: str) -> tuple[Ints, Sequence[Any]]:
        """Return a code for every entry, -1 where unknown, and the values they stand for."""
        ...


@dataclass(frozen=True, slots=True)
class Case:
    """How what is open is read: an assumption about practice, and one possible world."""

    assumption: str
    today: Day
    world: World = field(default_factory=dict)
    margin: Period | None = None


@dataclass(slots=True)
class EntrySection:
    """A section read from applicant files."""

    name: str
    entries: tuple[Any, ...]
    as_of: tuple[Day | None, ...]
    applicants: Ints
    absent: Bools
    confirmed: Bools

    def bounds(self, name: str, case: Case) -> tuple[Ints, Ints]:
        """Return the earliest and latest day of a date in every entry, in one case."""
        pairs = [self._bounds_of(index, name, case) for index in range(len(self.entries))]
        earliest, latest = np.array(pairs, np.int64).reshape(-1, 2).T
        return earliest, latest

    def _bounds_of(self, index: int, name: str, case: Case) -> tuple[Day, Day]:
        known = case.world.get((self.name, index, name))
        if known is not None:
            return known, known
        value: PartialDate | None = getattr(self.entries[index], name)
        is_post_end = self.name == "practice" and name == "end"
        if is_post_end and case.assumption == "stops":
            return _ended_today(value, as_of=self.as_of[index], today=case.today)
        if value is None:
            return 0, FOREVER
        if case.margin is not None:
            value = value.widened(case.margin)
        return value.earliest, value.latest

    def coded(self, name: str) -> tuple[Ints, Sequence[Any]]:
        """Return a code for every entry, -1 where unknown, and the values they stand for."""
        values: list[Any] = []
        codes = np.full(len(self.entries), -1, np.int64)
        seen: dict[Any, int] = {}
        for index, entry in enumerate(self.entries):
            value = getattr(entry, name)
            if value is None:
                continue
            key = tuple(value.items()) if isinstance(value, Mapping) else value
            code = seen.setdefault(key, len(values))
            if code == len(values):
                values.append(value)
            codes[index] = code
        return codes, values


def _ended_today(value: PartialDate | None, *, as_of: Day | None, today: Day) -> tuple[Day, Day]:
    """Return the bounds of a post's end if practice stops today."""
    if value is None or value.is_unknown:
        return 0, today
    if not value.is_open:
        return value.earliest, value.latest
    return min(today if as_of is None else as_of, today), today


@dataclass(slots=True)
class Table:
    """A section over all rows: what holds in certain rows first, then in possible ones.

    `places` holds for every line of the table the place of its entry in the section; `kept` which
    lines are left where only confirmed entries count. `counts` tells which lines count in favour
    (confirmed ones, and any in possible rows), `against` which count against (the other way round).
    """

    section: Section
    cases: tuple[Case, ...]
    rows: Ints
    is_possible: Bools
    places: Ints
    kept: Ints | None
    counts: Bools
    against: Bools
    _since: dict[str, tuple[Ints, Ints]] = field(default_factory=dict)
    _coded: dict[str, tuple[Ints, Sequence[Any]]] = field(default_factory=dict)
    _maybe: dict[str, Bools] = field(default_factory=dict)
    _lasts: dict[str, Ints] = field(default_factory=dict)

    def since(self, name: str) -> Ints:
        """Return for every entry the day from which a date has surely (possibly) come."""
        return self._dates(name)[0]

    def until(self, name: str) -> Ints:
        """Return for every entry the day up to which a date is surely (possibly) not passed."""
        return self._dates(name)[1]

    def last_days(self, name: str) -> Ints:
        """Return for every entry its last day of validity; the end of time where it names none."""
        known = self._lasts.get(name)
        if known is None:
            named = self._codes(name)[0] >= 0
            known = self._lasts[name] = np.where(named, self.until(name), FOREVER - 1)
        return known

    def _dates(self, name: str) -> tuple[Ints, Ints]:
        known = self._since.get(name)
        if known is None:
            pairs = [self.section.bounds(name, case) for case in self.cases]
            earliest = [pair[0] for pair in pairs]
            latest = [pair[1] for pair in pairs]
            since = self._kept(np.concatenate(latest + earliest))
            until = self._kept(np.concatenate(earliest + latest))
            known = self._since[name] = since, until
        return known

    def where(self, name: str, holds: Callable[[Any], bool]) -> Bools:
        """Return which entries have a value that does; unknown ones do in possible rows only."""
        maybe = self._maybe.get(name)
        if maybe is None:
            maybe = self._maybe[name] = (self._codes(name)[0] < 0) & self.is_possible
        return self.surely(name, holds) | maybe

    def surely(self, name: str, holds: Callable[[Any], bool]) -> Bools:
        """Return which entries have a known value that does."""
        codes, values = self._codes(name)
        answers: Bools = np.array([holds(value) for value in values] + [False])[codes]
        return answers

    def numbers(
        self, name: str, number: Callable[[Any], int] = int, *, least: int, most: int
    ) -> Ints:
        """Return a number for every entry; unknown is `least` if certain, `most` if possible."""
        codes, values = self._codes(name)
        known = np.array([number(value) for value in values] + [0], np.int64)[codes]
        return np.where(codes >= 0, known, np.where(self.is_possible, most, least))

    def codes(self, name: str) -> tuple[Ints, Sequence[Any]]:
        """Return a code for every entry, -1 where unknown, and the values they stand for."""
        return self._codes(name)

    def _codes(self, name: str) -> tuple[Ints, Sequence[Any]]:
        known = self._coded.get(name)
        if known is None:
            codes, values = self.section.coded(name)
            known = self._coded[name] = codes[self.places], values
        return known

    def _kept(self, values: Ints) -> Ints:
        return values if self.kept is None else values[self.kept]


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
        n_tiles = 2 * len(self.cases)
        n_entries = section.applicants.size
        place = np.arange(n_tiles * n_entries, dtype=np.int64)
        tile, place = np.divmod(place, max(n_entries, 1))
        is_possible = tile >= len(self.cases)
        kept = None
        counts = is_possible | section.confirmed[place]
        against = ~is_possible | section.confirmed[place]
        if not self.confirmed_only:
            counts = against = np.ones_like(counts)
        elif not every_entry and not counts.all():
            kept = np.flatnonzero(counts)
            tile, place, is_possible = tile[kept], place[kept], is_possible[kept]
            counts, against = counts[kept], against[kept]
        rows = tile * self.n_applicants + section.applicants[place]
        return Table(section, self.cases, rows, is_possible, place, kept, counts, against)


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
