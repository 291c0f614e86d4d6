"""The runs of days on which applicants can apply, worked out for many of them at once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.days.dayset import DaySet
from comity.core.eligibility.title_days import title_days
from comity.core.eligibility.worlds import possible_worlds
from comity.core.facts.columns import columns_of
from comity.service.edition_runs import (
    choosing_events,
    choosing_milestones,
    days_by_margin,
    edition_on,
    runs_of_editions,
)
from comity.service.possible_rows import (
    PossibleRows,
    corners,
    differing,
    differing_from,
    of_rows,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.days.period import Period
    from comity.core.eligibility.triple import Days
    from comity.core.facts.columns import Columns
    from comity.core.facts.model import Applicant
    from comity.core.facts.sections import World
    from comity.core.rulebook.model import Edition, Rulebook
    from comity.service.edition_runs import Events

    Choice = Callable[[tuple[World, ...]], tuple[World, ...]]

ROWS: Final = 8000
"""Rows worked out together, so that what is between stays small."""


@dataclass(frozen=True, slots=True)
class TitleSpans:
    """The days of one title for one applicant whose open posts go on.

    Parameters
    ----------
    authority, title : str
        Ids.
    certain, possible, referred : tuple of (start, end)
        Half-open runs in order. On a certain day the verdict on submitting is *met*, on another
        possible day *unknown*, on a referred day *refer*, on any other *not met*.
    """

    authority: str
    title: str
    certain: tuple[Run, ...]
    possible: tuple[Run, ...]
    referred: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class _Sets:
    """What the verdict on each day is read from, one row an applicant."""

    certain: DaySet
    possible: DaySet
    referred: DaySet

    @classmethod
    def none(cls, n_rows: int) -> _Sets:
        return cls(*[DaySet.empty(n_rows)] * 3)

    def joined(self, other: _Sets) -> _Sets:
        """Return the days in either."""
        return _Sets(
            self.certain | other.certain,
            self.possible | other.possible,
            self.referred | other.referred,
        )

    def replaced(self, parts: Sequence[tuple[Sequence[int], _Sets]], others: DaySet) -> _Sets:
        """Return the sets with some rows taken from parts, the other rows as they are."""

        def put(name: str) -> DaySet:
            days: DaySet = getattr(self, name)
            some = [(places, getattr(sets, name)) for places, sets in parts]
            return (days & others) | _scattered(some, days.n_rows)

        return _Sets(put("certain"), put("possible"), put("referred"))

    def within(self, runs: Sequence[Run]) -> _Sets:
        """Return the days inside some runs, the same in every row."""
        if list(runs) == [(0, FOREVER)]:
            return self
        kept = _same_days(runs, self.certain.n_rows)
        return _Sets(self.certain & kept, self.possible & kept, self.referred & kept)

    def of(self, row: int, authority: str, *, title: str) -> TitleSpans:
        runs = (each.runs_of(row) for each in (self.certain, self.possible, self.referred))
        return TitleSpans(authority, title, *runs)


def spans_of(
    applicants: Sequence[Applicant], rulebooks: Sequence[Rulebook], *, today: Day = 0
) -> list[tuple[TitleSpans, ...]]:
    """Return for each applicant the spans of every title, in the order of the rulebooks.

    Parameters
    ----------
    applicants : sequence of Applicant
        Any number; they are worked out in blocks.
    rulebooks : sequence of Rulebook
        One an authority.
    today : Day, optional
        Moves nothing, as posts are taken to go on; the engine wants one.
    """
    found: list[tuple[TitleSpans, ...]] = [()] * len(applicants)
    choosing = frozenset().union(*map(choosing_milestones, rulebooks))
    for events, places in _by_events(applicants, choosing).items():
        for first in range(0, len(places), ROWS):
            block = places[first : first + ROWS]
            group = _Group([applicants[place] for place in block], dict(events), today)
            for place, spans in zip(block, group.spans(rulebooks), strict=True):
                found[place] = spans
    return found


def _by_events(
    applicants: Sequence[Applicant], choosing: frozenset[str]
) -> Mapping[Events, list[int]]:
    """Return the applicants' places by the events that choose their editions.

    Such an event holds for a whole call of the engine.
    """
    groups: dict[Events, list[int]] = defaultdict(list)
    for place, applicant in enumerate(applicants):
        groups[choosing_events(applicant, choosing)].append(place)
    return groups


@dataclass(frozen=True, slots=True)
class _Facts:
    """The facts of a group as columns, and the worlds of each applicant."""

    applicants: Sequence[Applicant]
    columns: Columns
    worlds: tuple[tuple[World, ...], ...]
    margin: Period | None
    today: Day

    @classmethod
    def of(cls, applicants: Sequence[Applicant], margin: Period | None, *, today: Day) -> _Facts:
        columns = columns_of(applicants, today=today, margin=margin)
        worlds = tuple(possible_worlds(each, margin) for each in applicants)
        return cls(applicants, columns, worlds, margin, today)

    def over(
        self, places: Sequence[int], chosen: Choice, days_of: Callable[[Columns], Days]
    ) -> Days:
        """Return the days of some applicants over those of their worlds that are chosen."""
        rows = PossibleRows.of(
            [self.applicants[place] for place in places],
            [chosen(self.worlds[place]) for place in places],
        )
        return rows.folded(days_of(rows.columns(self.margin, today=self.today)))

    def blocks(self, places: Sequence[int], chosen: Choice) -> Iterator[list[int]]:
        """Yield places together while their chosen worlds are few enough."""
        block: list[int] = []
        n_rows = 0
        for place in places:
            n_more = len(chosen(self.worlds[place]))
            if block and n_rows + n_more > ROWS:
                yield block
                block, n_rows = [], 0
            block.append(place)
            n_rows += n_more
        if block:
            yield block


class _Group:
    """Applicants who can be worked out in the same calls of the engine."""

    def __init__(
        self, applicants: Sequence[Applicant], events: Mapping[str, Day], today: Day
    ) -> None:
        self.applicants = applicants
        self.events = events
        self.today = today
        self._known: dict[Period | None, _Facts] = {}

    def spans(self, rulebooks: Iterable[Rulebook]) -> Iterator[tuple[TitleSpans, ...]]:
        """Yield each applicant's spans."""
        titles = [
            (rulebook.authority.id, title, self._sets(rulebook, title))
            for rulebook in rulebooks
            for title in rulebook.titles()
        ]
        for row in range(len(self.applicants)):
            yield tuple(sets.of(row, authority, title=title) for authority, title, sets in titles)

    def _sets(self, rulebook: Rulebook, title: str) -> _Sets:
        """Return a title's sets, put together where editions differ in their margin."""
        whole = _Sets.none(len(self.applicants))
        for margin, runs in days_by_margin(rulebook).items():
            sets = self._sets_by(margin, rulebook.editions, title)
            whole = whole.joined(sets.within(runs))
        return self._best_of_unread(whole, rulebook, title)

    def _sets_by(self, margin: Period | None, editions: Sequence[Edition], title: str) -> _Sets:
        """Return a title's sets; every possible world is looked at only where it has to be.

        What holds for certain over all worlds holds at least where the certain row says so, and at
        most where it does in the corners: the worlds whose dates are all as early or as late as
        can be. Where the two agree nothing is left to find out; the same for possible days.
        """
        known = self._known.get(margin)
        if known is None:
            known = self._known[margin] = _Facts.of(self.applicants, margin, today=self.today)

        def days_of(columns: Columns) -> Days:
            return title_days(editions, title, columns, events=self.events).submission

        days = days_of(known.columns)
        sets = _read_off(days, len(self.applicants))
        parts, others = [], np.ones(len(self.applicants), bool)
        doubtful = [row for row in differing(days) if len(known.worlds[row]) > 1]
        for places in known.blocks(doubtful, corners):
            found = known.over(places, corners, days_of)
            open_places = [places[at] for at in differing_from(of_rows(days, places), found)]
            for rest in known.blocks(open_places, tuple):
                parts.append((rest, _read_off(known.over(rest, tuple, days_of), len(rest))))
                others[rest] = False
        return sets.replaced(parts, DaySet.where(others)) if parts else sets

    def _best_of_unread(self, sets: _Sets, rulebook: Rulebook, title: str) -> _Sets:
        """Take back what is certain on days whose edition has not been wholly read."""
        unread = [
            run
            for run in runs_of_editions(rulebook)
            if not edition_on(rulebook, title, day=run[0], events=self.events).wholly_read
        ]
        if not unread:
            return sets
        days = _same_days(unread, len(self.applicants))
        return _Sets(sets.certain - days, sets.possible, sets.referred)


def _read_off(days: Days, n_rows: int) -> _Sets:
    """Return the sets by which verdicts are told, from certain and possible rows.

    They tell the same verdicts as `core.eligibility.triple.Days.verdict`.
    """
    first, second = np.arange(n_rows), np.arange(n_rows, 2 * n_rows)
    certain, maybe = days.yes.take(first), days.yes.take(second)
    settled, open_to_both = days.ok.take(first), days.ok.take(second)
    referred = settled - maybe
    return _Sets(certain, open_to_both - referred, referred)


def _scattered(parts: Iterable[tuple[Sequence[int], DaySet]], n_rows: int) -> DaySet:
    """Return sets of some rows each at their places among all rows."""
    rows, starts, ends = [], [], []
    for places, days in parts:
        rows.append(np.asarray(places, dtype=np.int64)[days.rows])
        starts.append(days.starts)
        ends.append(days.ends)
    return DaySet.from_runs(
        n_rows, np.concatenate(rows), starts=np.concatenate(starts), ends=np.concatenate(ends)
    )


def _same_days(runs: Sequence[Run], n_rows: int) -> DaySet:
    found = DaySet.empty(n_rows)
    for start, end in runs:
        found = found | DaySet.between(start, end, n_rows=n_rows)
    return found
