"""The runs of days on which applicants can apply, worked out for many of them at once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.days.dayset import DaySet
from comity.core.eligibility.title_days import title_days
from comity.core.eligibility.worlds import folded_over_worlds, possible_worlds
from comity.core.facts.columns import columns_of
from comity.core.rulebook.editions import days_of, everything_in, possible_on, title_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.days.period import Period
    from comity.core.eligibility.triple import Days
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition, Rulebook

BLOCK: Final = 2000
"""Applicants worked out together, so that what is between stays small."""

Events = tuple[tuple[str, "Day"], ...]


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

    def of(self, row: int, authority: str, *, title: str) -> TitleSpans:
        runs = (each.runs_of(row) for each in (self.certain, self.possible, self.referred))
        return TitleSpans(authority, title, *runs)


def spans_of(
    applicants: Sequence[Applicant], rulebooks: Iterable[Rulebook], *, today: Day = 0
) -> list[tuple[TitleSpans, ...]]:
    """Return for each applicant the spans of every title, in the order of the rulebooks.

    Parameters
    ----------
    applicants : sequence of Applicant
        Any number; they are worked out in blocks.
    rulebooks : iterable of Rulebook
        One an authority.
    today : Day, optional
        Moves nothing, as posts are taken to go on; the engine wants one.
    """
    found: list[list[TitleSpans]] = [[] for _ in applicants]
    for rulebook in rulebooks:
        for first in range(0, len(applicants), BLOCK):
            block = applicants[first : first + BLOCK]
            for row, spans in _of_block(block, rulebook, today):
                found[first + row].append(spans)
    return [tuple(each) for each in found]


def _of_block(
    applicants: Sequence[Applicant], rulebook: Rulebook, today: Day
) -> Iterator[tuple[int, TitleSpans]]:
    authority = rulebook.authority.id
    for title in rulebook.titles():
        sets = _Assembly(applicants, rulebook, title=title, today=today).sets()
        for row in range(len(applicants)):
            yield row, sets.of(row, authority, title=title)


class _Assembly:
    """One title's sets, put together from groups of applicants who can be worked out together."""

    def __init__(
        self, applicants: Sequence[Applicant], rulebook: Rulebook, *, title: str, today: Day
    ) -> None:
        self.applicants = applicants
        self.rulebook = rulebook
        self.title = title
        self.today = today
        self.choosing = _choosing(rulebook, title)
        self.parts: list[tuple[Sequence[int], _Sets]] = []

    def sets(self) -> _Sets:
        """Return the sets of all applicants."""
        for margin, days in _days_by_margin(self.rulebook).items():
            for (events, _single), rows in self._groups(margin).items():
                found = _read_off(self._days(rows, margin, events), len(rows))
                found = self._best_of_unread(found, dict(events))
                self.parts.append((rows, _within(found, days)))
        n_rows = len(self.applicants)
        return _Sets(
            *(
                _scattered([(rows, getattr(sets, name)) for rows, sets in self.parts], n_rows)
                for name in ("certain", "possible", "referred")
            )
        )

    def _groups(self, margin: Period | None) -> Mapping[tuple[Events, int], list[int]]:
        """Return the rows by what keeps applicants apart.

        Events that choose an edition hold for a whole call of the engine; dates known in part need
        rows of their own, one for each day they may be.
        """
        groups: dict[tuple[Events, int], list[int]] = defaultdict(list)
        for row, applicant in enumerate(self.applicants):
            is_single = possible_worlds(applicant, margin) != ({},)
            groups[_events_of(applicant, self.choosing), row if is_single else -1].append(row)
        return groups

    def _days(self, rows: Sequence[int], margin: Period | None, events: Events) -> Days:
        applicants = [self.applicants[row] for row in rows]
        worlds = possible_worlds(applicants[0], margin) if len(rows) == 1 else ({},)
        columns = columns_of(applicants, today=self.today, worlds=worlds, margin=margin)
        found = title_days(self.rulebook.editions, self.title, columns, events=dict(events))
        days = found.submission
        return days if len(worlds) == 1 else folded_over_worlds(days, columns, 1)

    def _best_of_unread(self, sets: _Sets, events: Mapping[str, Day]) -> _Sets:
        """Take back what is certain on days whose edition has not been wholly read."""
        unread = [
            run
            for run in _pieces(self.rulebook)
            if not _edition_on(self.rulebook, self.title, day=run[0], events=events).wholly_read
        ]
        if not unread:
            return sets
        days = _same_days(unread, sets.certain.n_rows)
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


def _within(sets: _Sets, days: Sequence[Run]) -> _Sets:
    kept = _same_days(days, sets.certain.n_rows)
    return _Sets(sets.certain & kept, sets.possible & kept, sets.referred & kept)


def _same_days(runs: Sequence[Run], n_rows: int) -> DaySet:
    found = DaySet.empty(n_rows)
    for start, end in runs:
        found = found | DaySet.between(start, end, n_rows=n_rows)
    return found


def _scattered(parts: Iterable[tuple[Sequence[int], DaySet]], n_rows: int) -> DaySet:
    """Return sets of some rows each at their places among all rows."""
    rows, starts, ends = [], [], []
    for places, days in parts:
        rows.append(np.asarray(places, dtype=np.int64)[days.rows])
        starts.append(days.starts)
        ends.append(days.ends)
    if not rows:
        return DaySet.empty(n_rows)
    return DaySet.from_runs(
        n_rows, np.concatenate(rows), starts=np.concatenate(starts), ends=np.concatenate(ends)
    )


# ---------------------------------------------------------------------------- editions and events


def _choosing(rulebook: Rulebook, title_id: str) -> frozenset[str]:
    """Return the milestones whose day chooses an edition of a title, or of a part of it."""
    names = {edition.applies.by for edition in rulebook.editions}
    for edition in rulebook.editions:
        title = title_of(edition, title_id)
        for listed in () if title is None else everything_in(title):
            names.add(listed.requirement.applies_by or edition.applies.by)
    return frozenset(names)


def _events_of(applicant: Applicant, choosing: frozenset[str]) -> Events:
    """Return the events past that choose an edition; a day known only in part chooses none."""
    found = {
        step.milestone.rsplit("/", 1)[-1]: step.on.latest
        for step in applicant.progress
        if step.on.is_exact
    }
    return tuple(sorted((name, day) for name, day in found.items() if name in choosing))


def _pieces(rulebook: Rulebook) -> list[Run]:
    """Return the runs of days inside which the same editions apply."""
    ends = {0, FOREVER}
    for edition in rulebook.editions:
        for run in days_of(edition.applies):
            ends.update((run.start, run.end))
    return list(pairwise(sorted(ends)))


def _days_by_margin(rulebook: Rulebook) -> Mapping[Period | None, list[Run]]:
    """Return the days by how far off the edition of the day takes a doubtful date to be."""
    found: dict[Period | None, list[Run]] = defaultdict(list)
    for run in _pieces(rulebook):
        applying = possible_on(rulebook, run[0]) or rulebook.editions
        found[applying[-1].margin].append(run)
    return found


def _edition_on(rulebook: Rulebook, title: str, *, day: Day, events: Mapping[str, Day]) -> Edition:
    """Return the edition with the title whose word counts on a day, as an assessment picks it."""
    having = [each for each in rulebook.editions if title_of(each, title) is not None]
    newest_first = having[::-1]
    for edition in newest_first:
        if events.get(edition.applies.by) in days_of(edition.applies).possible:
            return edition
    for edition in newest_first:
        if day in days_of(edition.applies).certain:
            return edition
    for edition in newest_first:
        if day in days_of(edition.applies).possible:
            return edition
    later = [each for each in having if days_of(each.applies).possible.start > day]
    return later[0] if later else having[-1]
