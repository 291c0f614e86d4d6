"""Days of the kind about language tests."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet
from comity.core.eligibility.context import (
    Context,
    all_masks,
    folded,
    is_none_of,
    leaf_days,
)
from comity.core.eligibility.pairs import ordered_pairs
from comity.core.eligibility.triple import Days
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.testing import (
    LanguageProved,
    LanguageTest,
)


@lru_cache(maxsize=4096)
def is_at_least(result: str, needed: str, scale: tuple[str, ...] | None) -> bool:
    """Tell whether a result is as good as needed, by the scale or as numbers.

    A result that is not on the scale, or no number where numbers are asked, is not.
    """
    if scale is not None:
        grades = [folded(grade) for grade in scale]
        got, least = folded(result), folded(needed)
        return got in grades and grades.index(got) >= grades.index(least)
    try:
        return Fraction(result.strip()) >= Fraction(needed.strip())
    except ValueError:
        return False


@leaf_days.register
def _language(requirement: LanguageProved, context: Context) -> Days:
    yes = DaySet.empty(context.n_rows)
    for test in requirement.tests:
        sittings = Sittings.of(test, context)
        if not np.count_nonzero(sittings.kept):
            continue
        yes = yes | sittings.single(requirement) | sittings.combined(requirement)
    return Days.of(context.known("language", yes))


class Sittings:
    """The sittings of one accepted test, with what each proves."""

    def __init__(self, test: LanguageTest, table: Table, context: Context) -> None:
        """Take the sittings of the test; see `of`."""
        names = {folded(test.test)}
        self.test = test
        self.table = table
        self.n_rows = context.n_rows
        self.kept = all_masks(
            table,
            table.where("test", lambda name: folded(name) in names),
            is_none_of(table, "place", test.excluded_places),
        )
        self.since = table.since("taken")
        self.until = table.until("taken")

    @classmethod
    def of(cls, test: LanguageTest, context: Context) -> Sittings:
        """Return the sittings of a test among all applicants' language results."""
        return cls(test, context.columns.table("language"), context)

    def part(self, name: str, needed: str) -> Bools:
        """Return which sittings have a part as good as needed."""
        wanted = folded(name)

        def passes(parts: Mapping[str, str]) -> bool:
            given = {folded(key): value for key, value in parts.items()}
            return wanted in given and is_at_least(given[wanted], needed, self.test.scale)

        return self.table.where("parts", passes)

    def overall(self, needed: str | None) -> Bools:
        """Return which sittings are as good as needed overall."""
        if needed is None:
            return self.table.rows >= 0
        return self.table.where(
            "overall", lambda result: is_at_least(result, needed, self.test.scale)
        )

    def single(self, requirement: LanguageProved) -> DaySet:
        """Return the days on which one sitting proves everything."""
        parts = [self.part(name, needed) for name, needed in (self.test.parts or {}).items()]
        passing = all_masks(self.table, self.kept, self.overall(self.test.overall), *parts)
        return self._valid(np.flatnonzero(passing), np.flatnonzero(passing), requirement)

    def combined(self, requirement: LanguageProved) -> DaySet:
        """Return the days on which the better parts of two sittings prove everything."""
        combining = self.test.combining
        if combining is None or not self.test.parts:
            return DaySet.empty(self.n_rows)
        allowed = all_masks(
            self.table,
            self.kept,
            self.overall(combining.least_overall),
            *(self.part(name, needed) for name, needed in (combining.floor or {}).items()),
        )
        first, second = ordered_pairs(self.table.rows, np.flatnonzero(allowed))
        if not first.size:
            return DaySet.empty(self.n_rows)
        near = combining.within.after(self.until[first]) >= self.since[second]
        fits = near & (self.until[second] >= self.since[first])
        passes_overall = self.overall(self.test.overall)
        fits = fits & (passes_overall[first] | passes_overall[second])
        for name, needed in self.test.parts.items():
            passes = self.part(name, needed)
            fits = fits & (passes[first] | passes[second])
        return self._valid(first[fits], second[fits], requirement)

    def _valid(self, older: Ints, newer: Ints, requirement: LanguageProved) -> DaySet:
        """Return the days from the newer sitting until the older one is too old."""
        ends = np.full(older.size, FOREVER, np.int64)
        if requirement.greatest_age is not None:
            ends = requirement.greatest_age.after(self.until[older]) + 1
        return DaySet.from_runs(
            self.n_rows, self.table.rows[newer], starts=self.since[newer], ends=ends
        )
