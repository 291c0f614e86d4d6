"""The conditions of a form as sums over units, each with the words in which it was asked."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import ceil, floor, inf
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.assembly_apart import kept_apart
from comity.core.exam.assembly_units import is_calculating
from comity.core.exam.blueprints import quotas

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from comity.core.exam.assembly_request import Request, Sort
    from comity.core.exam.assembly_units import Supply
    from comity.core.exam.blueprints import Blueprint, Domain
    from comity.core.exam.quadrature import Floats


_WITH_SLACK: Final = frozenset({"level", "part", "calculating"})


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """A condition: the sum of `values` over the `columns` taken lies between `low` and `high`.

    Parameters
    ----------
    sort : Sort
        What it is about.
    asked : str
        The condition in words, as "12 items of monitoring at level judge".
    columns : ndarray of int
        Units that count.
    values : ndarray
        What each of them counts.
    low, high : float
        Both included; infinite where there is no limit.
    unit : str
        What is counted.
    """

    sort: Sort
    asked: str
    columns: npt.NDArray[np.intp]
    values: Floats
    low: float
    high: float
    unit: str = "items"

    @property
    def has(self) -> float:
        """All that the units together could give."""
        return float(self.values.sum())


def rows_of(
    supply: Supply, blueprint: Blueprint, request: Request, *, n_items: int
) -> tuple[Row, ...]:
    """Return every condition that each form has to keep by itself."""
    builder = _Builder(supply, blueprint, request, n_items)
    return (*builder.quotas(), *builder.limits(), *builder.apart())


@dataclass(frozen=True, slots=True)
class _Builder:
    supply: Supply
    blueprint: Blueprint
    request: Request
    n_items: int

    def quotas(self) -> Iterator[Row]:
        """Yield what the blueprint asks of domains, levels, parts and calculations."""
        cells = quotas(self.blueprint, self.n_items)
        leave = self.request.leave_aside
        levels = np.array([item.level.value for item in self.supply.items])
        for domain in self.blueprint.domains:
            count = sum(n for (id_, _), n in cells.items() if id_ == domain.id)
            own = self._in(domain)
            yield self._row("domain", f"{_items(count)} of {domain.id}", own, ends=(count, count))
            if "level" not in leave:
                for (id_, level), n in cells.items():
                    if id_ == domain.id:
                        marks = own * (levels == level.value)
                        asked = f"{_items(n)} of {domain.id} at level {level}"
                        yield self._row("level", asked, marks, ends=self._about(n))
            if "part" not in leave:
                yield from self._parts(domain, count)
            if "calculating" not in leave and domain.numeric is not None:
                yield self._calculating(domain, own, count)

    def limits(self) -> Iterator[Row]:
        """Yield what a form may take of time, of earlier forms, and of right answers expected."""
        request = self.request
        minutes = request.minutes_by(self.blueprint)
        if minutes is not None:
            asked = f"at most {minutes} minutes"
            yield self._row(
                "time", asked, self.supply.seconds, ends=(-inf, minutes * 60), unit="seconds"
            )
        for number, earlier in enumerate(request.earlier, 1):
            marks = np.array([item.id in earlier for item in self.supply.items], dtype=float)
            asked = f"at most {_items(request.most_shared)} of earlier form {number}"
            yield self._row("overlap", asked, marks, ends=(-inf, request.most_shared))
        if request.score is not None:
            low, high = request.score
            asked = f"{low:g} to {high:g} right answers expected at the cut"
            yield self._row(
                "score", asked, self.supply.chance, ends=(low, high), unit="right answers"
            )

    def apart(self) -> Iterator[Row]:
        """Yield sets of items that must not meet; within a case they may not be used at all."""
        for group in kept_apart(self.supply.items, self.request):
            numbers = sorted(group)
            counts = Counter(self.supply.owner[numbers].tolist())
            columns, values = np.array([*counts]), np.array([*counts.values()], dtype=float)
            ids = ", ".join(self.supply.items[number].id for number in numbers)
            yield Row("apart", f"at most one of {ids}", columns, values, -inf, 1)

    def _parts(self, domain: Domain, count: int) -> Iterator[Row]:
        """Yield the most of each part: items that name the whole domain may stand in for any."""
        for part in domain.parts:
            most = ceil(count * part.share / domain.share) if domain.share else 0
            marks = np.array([item.domain == part.id for item in self.supply.items], dtype=float)
            asked = f"at most {_items(most)} of {part.id}"
            yield self._row("part", asked, marks, ends=(-inf, most + self.request.slack))

    def _calculating(self, domain: Domain, own: Floats, count: int) -> Row:
        exact = count * (domain.numeric or 0)
        low, high = floor(exact) - self.request.slack, ceil(exact) + self.request.slack
        marks = own * [is_calculating(item) for item in self.supply.items]
        least, most = floor(exact), ceil(exact)
        number = _items(least) if least == most else f"{least} to {most} items"
        verb = "calculates" if most == 1 == least else "calculate"
        asked = f"{number} of {domain.id} that {verb}"
        return self._row("calculating", asked, marks, ends=(low, high))

    def _in(self, domain: Domain) -> Floats:
        ids = {domain.id, *(part.id for part in domain.parts)}
        return np.array([item.domain in ids for item in self.supply.items], dtype=float)

    def _about(self, n: int) -> tuple[float, float]:
        return n - self.request.slack, n + self.request.slack

    def _row(
        self,
        sort: Sort,
        asked: str,
        marks: Floats,
        *,
        ends: tuple[float, float],
        unit: str = "items",
    ) -> Row:
        if sort in _WITH_SLACK and self.request.slack:
            asked = f"{asked}, give or take {self.request.slack}"
        sums = self.supply.by_unit(np.asarray(marks, dtype=float))
        columns = np.flatnonzero(sums)
        return Row(sort, asked, columns, sums[columns], *ends, unit)


def _items(count: int) -> str:
    return "1 item" if count == 1 else f"{count} items"
