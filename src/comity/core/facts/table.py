"""One section of the facts over all rows: days, codes and numbers of its entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Day, Ints
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.facts.sections import World


class Section(Protocol):
    """One section of the facts of all applicants, entry after entry."""

    applicants: Ints
    absent: Bools
    confirmed: Bools

    def bounds(self, name: str, case: Case) -> tuple[Ints, Ints]:
        """Return the earliest and latest day of a date in every entry, in one case."""
        ...

    def is_same_in_all(self, name: str, cases: Sequence[Case]) -> bool:
        """Tell whether a date has the same bounds in all cases."""
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

    def is_same_in_all(self, name: str, cases: Sequence[Case]) -> bool:
        """Tell whether a date has the same bounds in all cases.

        Only the ends of practice follow the assumption, only dates that a world names its day.
        """
        if self._is_post_end(name):
            return len(cases) == 1
        return not any(case.world for case in cases)

    def _is_post_end(self, name: str) -> bool:
        return self.name == "practice" and name == "end"

    def _bounds_of(self, index: int, name: str, case: Case) -> tuple[Day, Day]:
        known = case.world.get((self.name, index, name))
        if known is not None:
            return known, known
        value: PartialDate | None = getattr(self.entries[index], name)
        if self._is_post_end(name) and case.assumption == "stops":
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
            pairs = self._bounds(name)
            earliest = [pair[0] for pair in pairs]
            latest = [pair[1] for pair in pairs]
            since = self._kept(np.concatenate(latest + earliest))
            until = self._kept(np.concatenate(earliest + latest))
            known = self._since[name] = since, until
        return known

    def _bounds(self, name: str) -> list[tuple[Ints, Ints]]:
        """Return the bounds of a date case by case; worked out once where no case changes them."""
        if self.section.is_same_in_all(name, self.cases):
            return [self.section.bounds(name, self.cases[0])] * len(self.cases)
        return [self.section.bounds(name, case) for case in self.cases]

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
