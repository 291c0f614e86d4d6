"""Ask the evaluator and the oracle the same question, on the days where they may differ."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from typing import TYPE_CHECKING, Any

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.eligibility.days_of import Context, days_of
from comity.core.facts.columns import columns_of
from tests.properties.eligibility_strategies import OTHERS, PREFIX, TODAY, day
from tests.properties.oracle.judging import Answer, answer
from tests.properties.oracle.months import after, before, day_of, end_of_beginning, number_of
from tests.properties.oracle.world import World

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.eligibility.triple import Days
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.kinds.base import Requirement

FIRST, LAST = day("2016-01-01"), day("2029-12-31")
N_DAYS_IN_A_ROW = 35
MOST_DAYS = 110


def evaluated(
    requirement: Requirement,
    *applicants: Applicant,
    assumption: str = "continues",
    confirmed_only: bool = False,
) -> Days:
    """Return the evaluator's days: certain rows first, then possible ones."""
    columns = columns_of(
        applicants, today=TODAY, assumptions=(assumption,), confirmed_only=confirmed_only
    )

    def other(name: str) -> Days:
        return days_of(OTHERS[name], context)

    context = Context(columns, prefix=PREFIX, same_as=other)
    return days_of(requirement, context)


def world_of(applicant: Applicant) -> World:
    """Return the complete file as the oracle reads it."""
    return World(applicant, others=OTHERS, prefix=f"{PREFIX}/")


def judged(requirement: Requirement, world: World, on: int) -> Answer:
    """Return the oracle's answer on a day."""
    return answer(requirement, world, day_of(on))


@dataclass(frozen=True)
class Row:
    """What the evaluator says of one row, looked up day by day."""

    yes: tuple[tuple[int, int], ...]
    ok: tuple[tuple[int, int], ...]
    na: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, days: Days, row: int) -> Row:
        """Return one row of an evaluation."""
        na = () if days.na is None else days.na.runs_of(row)
        return cls(days.yes.runs_of(row), days.ok.runs_of(row), na)

    def on(self, asked: int) -> Answer:
        """Return the answer of this row alone."""
        return Answer(_lies_in(self.yes, asked), _lies_in(self.ok, asked), _lies_in(self.na, asked))

    def edges(self) -> Iterator[int]:
        """Yield the days around each change."""
        for run in (*self.yes, *self.ok, *self.na):
            for boundary in run:
                yield from (boundary - 1, boundary, boundary + 1)


def _lies_in(runs: tuple[tuple[int, int], ...], asked: int) -> bool:
    return any(start <= asked < end for start, end in runs)


def days_to_ask(requirement: Requirement, applicants: Sequence[Applicant], *rows: Row) -> list[int]:
    """Return days on which something may change: dates, dates moved by periods, changes found.

    Some days in a row and a coarse comb over the years are added, for changes nobody expects.
    """
    dates = sorted({found for each in applicants for found in _dates_in(each)})
    dates += _dates_in(requirement)
    periods = set(_periods_in(requirement))
    moved = {moved for number in dates for period in periods for moved in _moved(number, period)}
    near = {number + slack for number in moved | set(dates) for slack in (-1, 0, 1)}
    begins = dates[len(dates) // 2] if dates else day("2020-02-20")
    chosen = _thinned(sorted(near)) | _thinned(sorted({e for row in rows for e in row.edges()}))
    chosen |= set(range(begins - 5, begins + N_DAYS_IN_A_ROW))
    chosen |= set(range(FIRST, LAST, 181))
    return sorted(number for number in chosen if FIRST <= number <= LAST)


def _thinned(numbers: list[int]) -> set[int]:
    """Return at most so many of the numbers within reach, evenly spread."""
    near = [number for number in numbers if FIRST <= number <= LAST]
    return set(near[:: max(1, -(-len(near) // MOST_DAYS))])


def _moved(number: int, period: Period) -> tuple[int, ...]:
    found = day_of(number)
    return tuple(number_of(move(found, period)) for move in (after, end_of_beginning, before))


def _dates_in(value: Any) -> Iterator[int]:  # noqa: ANN401  # any part of a file
    """Yield the day numbers written in a file or a requirement, those of our years."""
    if isinstance(value, PartialDate):
        yield from {number for number in (value.earliest, value.latest) if FIRST <= number <= LAST}
    elif isinstance(value, int) and not isinstance(value, bool):
        if FIRST <= value <= LAST:
            yield value
    else:
        for part in _parts_of(value):
            yield from _dates_in(part)


def _periods_in(value: Any) -> Iterator[Period]:  # noqa: ANN401  # any part of a requirement
    if isinstance(value, Period):
        yield value
    else:
        for part in _parts_of(value):
            yield from _periods_in(part)


def _parts_of(value: Any) -> Iterator[Any]:  # noqa: ANN401  # any part of a file
    if is_dataclass(value):
        yield from (getattr(value, field.name) for field in fields(value))
    elif isinstance(value, tuple):
        yield from value
