"""What a requirement denotes: the days on which it holds, is for the authority, does not apply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from comity.core.days.calendar import Day
from comity.core.days.dayset import DaySet, at_least
from comity.core.eligibility.assessment import Verdict


@dataclass(frozen=True, slots=True)
class Days:
    """Three sets of days over the rows of `Columns`; certain rows first, then possible ones.

    Parameters
    ----------
    yes : DaySet
        Days on which the requirement holds.
    ok : DaySet
        Those, and the days on which the authority decides. The same object where nothing is
        referred.
    na : DaySet or None
        Days on which it does not apply; None for never.
    """

    yes: DaySet
    ok: DaySet
    na: DaySet | None = None

    @classmethod
    def of(cls, yes: DaySet) -> Days:
        """Return what applies always and refers nothing."""
        return cls(yes, yes)

    def first_yes(self, row: int, since: Day) -> Day | None:
        """Return the first day of a row from one on which the requirement holds."""
        return self.yes.first_day(row, since)

    def first_day(self, row: int, since: Day) -> Day | None:
        """Return the first day of a row from one on which it holds or does not apply."""
        held = self.yes if self.na is None else self.yes | self.na
        return held.first_day(row, since)

    def verdict(self, row: int, day: Day) -> Verdict:
        """Return the verdict on a day for a certain row and its possible row.

        See the table of verdicts in docs/reference/verdicts.md.
        """
        twin = row + self.yes.n_rows // 2
        may_not_apply = False
        if self.na is not None:
            if self.na.holds(row, day):
                return Verdict.NOT_APPLICABLE
            may_not_apply = self.na.holds(twin, day)
        if not self.ok.holds(twin, day):
            return Verdict.UNKNOWN if may_not_apply else Verdict.NOT_MET
        if not self.ok.holds(row, day):
            return Verdict.UNKNOWN
        if self.yes.holds(row, day):
            return Verdict.MET
        is_settled = not (may_not_apply or self.yes.holds(twin, day))
        return Verdict.REFER if is_settled else Verdict.UNKNOWN


def complemented(days: DaySet) -> DaySet:
    """Return the other days, certain and possible changing places."""
    return days.complement().swap_halves()


def every(parts: Sequence[Days], n_rows: int) -> Days:
    """Return where all parts hold; a part that does not apply drops out."""
    yes = _at_least(len(parts), [_or_na(part.yes, part.na) for part in parts], n_rows)
    ok = yes
    if any(part.ok is not part.yes for part in parts):
        ok = _at_least(len(parts), [_or_na(part.ok, part.na) for part in parts], n_rows)
    return Days(yes, ok, _all_na(parts, n_rows))


def some(k: int, parts: Sequence[Days], n_rows: int) -> Days:
    """Return where at least k parts hold; a part that does not apply drops out."""
    yes = _at_least(k, [_unless_na(part.yes, part.na) for part in parts], n_rows)
    ok = yes
    if any(part.ok is not part.yes for part in parts):
        ok = _at_least(k, [_unless_na(part.ok, part.na) for part in parts], n_rows)
    return Days(yes, ok, _all_na(parts, n_rows))


def negated(days: Days) -> Days:
    """Return where it does not hold; what is referred or unknown stays so."""
    yes = complemented(days.ok)
    ok = yes if days.ok is days.yes else complemented(days.yes)
    return Days(yes, ok, days.na)


def applying(days: Days, *, when: Days | None, unless: Days | None) -> Days:
    """Return what applies only on the days of one set and not on those of another."""
    na = days.na
    if when is not None:
        na = _joined(na, complemented(_unless_na(when.yes, when.na)))
    if unless is not None:
        na = _joined(na, _unless_na(unless.yes, unless.na))
    return Days(days.yes, days.ok, na)


def _joined(first: DaySet | None, second: DaySet) -> DaySet:
    return second if first is None else first | second


def _at_least(k: int, sets: Sequence[DaySet], n_rows: int) -> DaySet:
    if k <= 0:
        return DaySet.full(n_rows)
    if k > len(sets):
        return DaySet.empty(n_rows)
    return sets[0] if len(sets) == 1 else at_least(k, sets)


def _or_na(days: DaySet, na: DaySet | None) -> DaySet:
    return days if na is None else days | na


def _unless_na(days: DaySet, na: DaySet | None) -> DaySet:
    return days if na is None else days & complemented(na)


def _all_na(parts: Sequence[Days], n_rows: int) -> DaySet | None:
    sets = [part.na for part in parts]
    if not sets or any(na is None for na in sets):
        return None
    return _at_least(len(sets), [na for na in sets if na is not None], n_rows)
