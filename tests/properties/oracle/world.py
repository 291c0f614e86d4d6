"""A complete file in which the oracle looks things up."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from tests.properties.oracle.months import ONE_DAY, exactly, first_day_counted

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Mapping
    from datetime import date

    from comity.core.days.partial import PartialDate
    from comity.core.days.period import Period
    from comity.core.facts.model import Applicant, Facts
    from comity.core.rulebook.kinds.base import Requirement

Value = TypeVar("Value")


class Spell(Protocol):
    """What has a first and a last day."""

    @property
    def start(self) -> PartialDate | None: ...
    @property
    def end(self) -> PartialDate | None: ...


@dataclass(frozen=True)
class World:
    """One applicant of whom everything asked is known, and the key that `for each` has bound."""

    applicant: Applicant
    others: Mapping[str, Requirement] = field(default_factory=dict)
    prefix: str = ""
    country: str | None = None
    authority: str | None = None
    memory: dict[Hashable, Any] = field(default_factory=dict)

    @property
    def facts(self) -> Facts:
        """The facts of the file."""
        return self.applicant.facts

    def bound(self, *, country: str | None = None, authority: str | None = None) -> World:
        """Return the world as one turn of `for each` sees it."""
        return replace(
            self,
            country=country or self.country,
            authority=authority or self.authority,
            memory={},
        )

    def once(self, key: Hashable, make: Callable[[], Value]) -> Value:
        """Return what was made for a key, making it once."""
        if key not in self.memory:
            self.memory[key] = make()
        made: Value = self.memory[key]
        return made


def known(value: Value | None) -> Value:
    """Return a value that a complete file must have."""
    assert value is not None, "the oracle answers complete files only"
    return value


def plain(text: str) -> str:
    """Return a text as it is compared."""
    return text.strip().casefold()


def same(one: str | None, other: str) -> bool:
    """Whether two texts are the same to a reader."""
    return plain(known(one)) == plain(other)


def listed(value: str | None, options: Iterable[str] | None) -> bool:
    """Whether a value is one of the options; without options every value is."""
    return options is None or any(same(value, option) for option in options)


def excluded(value: str | None, options: Iterable[str] | None) -> bool:
    """Whether a value is one of those refused; without options none is."""
    return options is not None and any(same(value, option) for option in options)


def shares_one(values: Iterable[str] | None, options: Iterable[str] | None) -> bool:
    """Whether one of the values is one of the options."""
    return options is None or any(listed(value, options) for value in known(values))


def covers(spell: Spell, day: date) -> bool:
    """Whether a day lies in a spell, first and last day included."""
    return exactly(spell.start) <= day <= exactly(spell.end)


def dated(spells: Iterable[Spell]) -> list[tuple[date, date]]:
    """Return the first and last days of spells."""
    return [(exactly(spell.start), exactly(spell.end)) for spell in spells]


def last_day_covered(spells: Iterable[tuple[date, date]], day: date) -> date | None:
    """Return the last day on or before a day on which one of the spells went on."""
    lasts = [min(end, day) for start, end in spells if start <= day and start <= end]
    return max(lasts, default=None)


def n_days_inside(
    spells: Iterable[tuple[date, date]], asked: date, *, look_back: Period | None
) -> int:
    """Return how many days of a trailing window lie inside any of the spells."""
    opens, closes = first_day_counted(asked, look_back), asked + ONE_DAY
    inside = ((max(start, opens), min(end, closes)) for start, end in unbroken_runs(spells))
    return sum((end - start).days for start, end in inside if start < end)


def unbroken_runs(spells: Iterable[tuple[date, date]]) -> list[tuple[date, date]]:
    """Return the runs without an idle day, as first days and exclusive ends."""
    runs: list[tuple[date, date]] = []
    for start, last in sorted(spells):
        if last < start:
            continue
        if runs and start <= runs[-1][1]:
            runs[-1] = (runs[-1][0], max(runs[-1][1], last + ONE_DAY))
        else:
            runs.append((start, last + ONE_DAY))
    return runs
