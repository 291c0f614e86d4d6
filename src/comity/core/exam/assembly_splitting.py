"""Several forms at once: chosen as one large form, then dealt out and evened by exchanges.

The mean of the large form bounds the weakest of its parts, so that even forms are nearly as good
as any can be. As one programme, four forms of 100 from 5,000 items take minutes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.assembly_solving import Solved, solve

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.assembly_solving import Programme
    from comity.core.exam.quadrature import Floats

_GAP_TOGETHER: Final = 1e-5
_SHARE_TOGETHER: Final = 0.4
_BROKEN: Final = 1e3
_EVEN: Final = 1e-5
_EVEN_ENOUGH: Final = 3e-4
_GOOD_ENOUGH: Final = 5e-4
_LEAST_GAIN: Final = 1e-12
_TOLERANCE: Final = 1e-9
_MOST_SWEEPS: Final = 40
_PART_IN_RESERVE: Final = 4
_JITTER: Final = 0.05
_RESTARTS: Final = 4


def solve_by_splitting(programme: Programme) -> Solved:
    """Return forms dealt out of one large form; where that leaves too much, of one programme."""
    large = replace(
        programme.together(),
        seconds=programme.seconds * _SHARE_TOGETHER,
        gap=max(programme.gap, _GAP_TOGETHER),
    )
    together = solve(large)
    if together.taken is None and together.is_impossible:
        return together
    bound = None if together.bound is None else together.bound / programme.n_forms
    dealt = None if together.taken is None else dealt_out(programme, together.taken[0])
    if dealt is not None and _is_close(programme, dealt, bound):
        return Solved(dealt, bound)
    rest = replace(programme, seconds=programme.seconds * (1 - _SHARE_TOGETHER))
    whole = solve(rest)
    return _better(programme, whole, dealt, bound=bound)


def dealt_out(
    programme: Programme, units: npt.NDArray[np.intp]
) -> tuple[npt.NDArray[np.intp], ...] | None:
    """Return units dealt to forms so that each keeps every condition; None where none was found.

    Dealt in turn within units that count alike, then exchanged between two forms, or with a few
    units in reserve, as long as that makes the forms less broken or more even.
    """
    rng = np.random.default_rng(programme.seed)
    reserve = _reserve(programme, units)
    table = _Table.of(programme, units, reserve)
    units = np.concatenate((units, reserve))
    best: tuple[float, npt.NDArray[np.intp]] | None = None
    for _ in range(_RESTARTS):
        owner = table.dealt(rng)
        table.improve(owner, rng)
        if table.broken(table.sums(owner)).sum() <= _TOLERANCE:
            uneven = table.uneven(table.sums(owner))
            if best is None or uneven < best[0]:
                best = (uneven, owner)
            if uneven <= _EVEN_ENOUGH:
                break
    if best is None:
        return None
    return tuple(np.sort(units[best[1] == form]) for form in range(programme.n_forms))


def _reserve(programme: Programme, units: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Return the units that tell most among those not chosen."""
    spare = np.setdiff1d(np.arange(programme.n_units), units)
    order = np.argsort(-programme.information[:, spare].sum(axis=0), kind="stable")
    return spare[order[: len(units) // _PART_IN_RESERVE]]


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """What each unit adds to each condition and to the information, in dense rows.

    Sums of a form are laid out as the conditions first and the information last. The reserve comes
    after the forms, as one more of them that costs nothing.
    """

    adds: Floats
    low: Floats
    high: Floats
    wanted: Floats
    n_forms: int
    n_reserve: int

    @staticmethod
    def of(
        programme: Programme, chosen: npt.NDArray[np.intp], reserve: npt.NDArray[np.intp]
    ) -> _Table:
        units = np.concatenate((chosen, reserve))
        place = np.full(programme.n_units, -1)
        place[units] = np.arange(len(units))
        rows, low, high = [], [], []
        for row in programme.rows:
            here = place[row.columns]
            values = np.zeros(len(units))
            values[here[here >= 0]] = row.values[here >= 0]
            # What could never be broken by these units needs no watching.
            if values.sum() > row.high or row.low > 0:
                rows.append(values)
                low.append(row.low)
                high.append(row.high)
        information = programme.information[:, units]
        # Near a target, too: the large form is as near to it as can be, and so is its mean.
        wanted = programme.information[:, chosen].sum(axis=1) / programme.n_forms
        adds = np.vstack([*rows, information]).T
        ends = np.array(low), np.array(high)
        return _Table(adds, *ends, wanted, programme.n_forms, len(reserve))

    def dealt(self, rng: np.random.Generator) -> npt.NDArray[np.intp]:
        """Return a form for each unit, in turn within units that count alike."""
        chosen = self.adds[: len(self.adds) - self.n_reserve]
        keys = np.round(chosen[:, : len(self.low)], 6)
        alike = np.unique(keys[:, self.low > 0], axis=0, return_inverse=True)[1].ravel()
        order = np.lexsort((rng.random(len(alike)) * _JITTER - chosen[:, -1], alike))
        owner = np.full(len(self.adds), self.n_forms)
        turn = np.arange(len(alike)) % (2 * self.n_forms)
        # There and back, so that no form is always first.
        owner[order] = np.where(turn < self.n_forms, turn, 2 * self.n_forms - 1 - turn)
        return owner

    def sums(self, owner: npt.NDArray[np.intp]) -> Floats:
        """Return the sums of each form."""
        return np.array([self.adds[owner == form].sum(axis=0) for form in range(self.n_forms)])

    def broken(self, sums: Floats) -> Floats:
        """Return by how much conditions are missed, summed over them."""
        at = sums[..., : len(self.low)]
        missed: Floats = np.maximum(self.low - at, 0) + np.maximum(at - self.high, 0)
        together: Floats = np.where(missed > _TOLERANCE, missed, 0.0).sum(axis=-1)
        return together

    def uneven(self, sums: Floats) -> float:
        """Return the largest distance from the information wanted, as a share of it."""
        away = np.abs(sums[..., len(self.low) :] - self.wanted).max()
        return float(away / max(float(np.abs(self.wanted).max()), 1.0))

    def cost(self, sums: Floats, forms: npt.NDArray[np.intp]) -> Floats:
        """Return what forms cost: broken conditions first, then how far off; the reserve nothing.

        The sums have a row for each of the forms.
        """
        away = sums[..., len(self.low) :] - self.wanted
        cost: Floats = _BROKEN * self.broken(sums) + (away**2).sum(axis=-1)
        counted: Floats = cost * (forms < self.n_forms)
        return counted

    def improve(self, owner: npt.NDArray[np.intp], rng: np.random.Generator) -> None:
        """Exchange or hand over units, each time the best way for one unit, until none helps."""
        sums = np.vstack((self.sums(owner), np.zeros(self.adds.shape[1])))
        for _ in range(_MOST_SWEEPS):
            gained = 0.0
            for unit in rng.permutation(len(owner)):
                gained += self._improve_one(unit, owner, sums)
            is_sound = self.broken(sums[:-1]).sum() <= _TOLERANCE
            if gained <= _LEAST_GAIN or (is_sound and self.uneven(sums[:-1]) <= _EVEN):
                return

    def _improve_one(self, unit: int, owner: npt.NDArray[np.intp], sums: Floats) -> float:
        form, every = owner[unit], np.arange(self.n_forms + 1)
        cost = self.cost(sums, every)
        others = np.flatnonzero(owner != form)
        theirs = owner[others]
        change = self.adds[others] - self.adds[unit]
        gain = cost[form] + cost[theirs] - self.cost(sums[theirs] - change, theirs)
        gain -= self.cost(sums[form] + change, np.full(len(others), form))
        handed = cost[form] + cost - self.cost(sums + self.adds[unit], every)
        handed -= self.cost(sums[form] - self.adds[unit], form)
        handed[form] = -np.inf
        best, target = int(np.argmax(gain)), int(np.argmax(handed))
        if max(gain[best], handed[target]) <= _LEAST_GAIN:
            return 0.0
        moved = -self.adds[unit]
        is_exchange = gain[best] >= handed[target]
        if is_exchange:
            moved, target = change[best], int(theirs[best])
            owner[others[best]] = form
        sums[form] += moved
        sums[target] -= moved
        owner[unit] = target
        return float(gain[best] if is_exchange else handed.max())


def _is_close(
    programme: Programme, taken: tuple[npt.NDArray[np.intp], ...], bound: float | None
) -> bool:
    if bound is None:
        return False
    away = abs(programme.value(taken) - bound)
    return away <= max(programme.gap, _GOOD_ENOUGH) * max(abs(bound), 1.0)


def _better(
    programme: Programme,
    whole: Solved,
    dealt: tuple[npt.NDArray[np.intp], ...] | None,
    *,
    bound: float | None,
) -> Solved:
    """Return the better of two answers, with the tighter of two bounds."""
    sign = 1 if programme.target is not None else -1
    bounds = [each for each in (whole.bound, bound) if each is not None]
    tight = sign * max(sign * each for each in bounds) if bounds else None
    found = [each for each in (whole.taken, dealt) if each is not None]
    if not found:
        return replace(whole, bound=tight)
    return Solved(min(found, key=lambda taken: sign * programme.value(taken)), tight)
