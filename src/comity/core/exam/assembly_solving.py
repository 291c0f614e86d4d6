"""The forms as a mixed-integer programme, solved by HiGHS.

After van der Linden, Linear Models for Optimal Test Design (Springer, 2005): a variable of 0 or 1
for each unit in each form; maximin of the information at the cut, or minimax of the distance from
a target, with one variable more.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.assembly_rows import Row
    from comity.core.exam.quadrature import Floats

_LOT: Final = 1e-7
_WHOLE: Final = 0.5
_IMPOSSIBLE: Final = 2


@dataclass(frozen=True, slots=True, eq=False)
class Programme:
    """What is to be solved.

    Parameters
    ----------
    rows : tuple of Row
        Kept by each form.
    information : ndarray of shape (n_abilities, n_units)
        The row that is made large; or, with a target, those that come near it.
    target : ndarray of shape (n_abilities,), optional
        Information wanted.
    n_forms : int
        Forms that share no unit.
    seconds, gap : float
        Limits of the solver.
    seed : int
        Of the lot between units as good as each other.
    """

    rows: tuple[Row, ...]
    information: Floats
    target: Floats | None
    n_forms: int
    seconds: float
    gap: float
    seed: int

    @property
    def n_units(self) -> int:
        """The number of units to choose from."""
        return int(self.information.shape[1])

    def together(self) -> Programme:
        """Return the programme of all forms as one large form: what none can do, they cannot."""
        n = self.n_forms
        rows = tuple(replace(row, low=row.low * n, high=row.high * n) for row in self.rows)
        target = None if self.target is None else self.target * n
        return replace(self, rows=rows, target=target, n_forms=1)

    def value(self, taken: Sequence[npt.NDArray[np.intp]]) -> float:
        """Return the objective of forms: of the weakest, or of the one farthest from the target."""
        reached = [self.information[:, each].sum(axis=1) for each in taken]
        if self.target is None:
            return min(float(each[0]) for each in reached)
        return max(float(np.abs(each - self.target).max()) for each in reached)


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """What the solver found: units of each form (none found: None), and a bound, if any."""

    taken: tuple[npt.NDArray[np.intp], ...] | None
    bound: float | None
    is_impossible: bool = False


def solve(programme: Programme) -> Solved:
    """Return the best forms that the solver found within its time, with its bound."""
    rng = np.random.default_rng(programme.seed)
    # The order of columns decides which of several solutions is met first.
    order = rng.permutation(programme.n_units)
    cost, constraints, bounds = _matrices(programme, order, rng)
    n_whole = programme.n_units * programme.n_forms
    result = milp(
        cost,
        constraints=constraints,
        bounds=bounds,
        integrality=(np.arange(len(cost)) < n_whole).astype(np.intp),
        options={"time_limit": programme.seconds, "mip_rel_gap": programme.gap},
    )
    if result.x is None:
        return Solved(None, None, is_impossible=result.status == _IMPOSSIBLE)
    chosen = result.x[:n_whole].reshape(programme.n_forms, -1) > _WHOLE
    taken = tuple(np.sort(order[np.flatnonzero(each)]) for each in chosen)
    # In minimising costs, the solver bounds what is made large from the other side.
    bound = float(result.mip_dual_bound) * (1 if programme.target is not None else -1)
    return Solved(taken, bound if np.isfinite(bound) else None)


def _matrices(
    programme: Programme, order: npt.NDArray[np.intp], rng: np.random.Generator
) -> tuple[Floats, LinearConstraint, Bounds]:
    """Return costs, conditions and bounds; columns form by form, and last the common one."""
    n_units, n_forms = programme.n_units, programme.n_forms
    has_common = programme.target is not None or n_forms > 1
    n_columns = n_units * n_forms + has_common
    sparse = _Sparse([], [], [], [], [])
    place = np.argsort(order)
    for form in range(n_forms):
        for row in programme.rows:
            sparse.add(place[row.columns] + form * n_units, row.values, ends=(row.low, row.high))
    if n_forms > 1:
        for unit in range(n_units):
            sparse.add(np.arange(n_forms) * n_units + unit, np.ones(n_forms), ends=(-np.inf, 1))
    information = programme.information[:, order]
    _add_objective(sparse, programme, information)
    cost = np.zeros(n_columns)
    cost[: n_units * n_forms] = np.tile(_lot(information, rng), n_forms)
    if has_common:
        cost[-1] = 1.0 if programme.target is not None else -1.0
    else:
        cost[:n_units] -= information[0]
    upper = np.ones(n_columns)
    upper[n_units * n_forms :] = np.inf
    return cost, sparse.constraint(n_columns), Bounds(np.zeros(n_columns), upper)


def _lot(information: Floats, rng: np.random.Generator) -> Floats:
    """Return costs that decide between units as good as each other, and between no others.

    Never above zero, so that a bound with them is a bound without, and by a ten-millionth of the
    greatest information at most.
    """
    greatest = float(information.max(initial=0.0))
    most = greatest * _LOT if greatest > 0 else 1.0
    drawn: Floats = rng.random((information.shape[1],))
    return np.multiply(drawn, -most)


def _add_objective(sparse: _Sparse, programme: Programme, information: Floats) -> None:
    """Bind the common column to every form: below its information, or above its distances."""
    n_units, n_forms = programme.n_units, programme.n_forms
    if programme.target is None and n_forms == 1:
        return
    common = n_units * n_forms
    for form in range(n_forms):
        columns = np.append(np.arange(n_units) + form * n_units, common)
        if programme.target is None:
            sparse.add(columns, np.append(information[0], -1.0), ends=(0.0, np.inf))
            continue
        for reached, wanted in zip(information, programme.target.tolist(), strict=True):
            sparse.add(columns, np.append(reached, -1.0), ends=(-np.inf, wanted))
            sparse.add(columns, np.append(reached, 1.0), ends=(wanted, np.inf))


@dataclass(frozen=True, slots=True)
class _Sparse:
    """Rows of a sparse matrix, gathered one by one."""

    numbers: list[npt.NDArray[np.intp]]
    columns: list[npt.NDArray[np.intp]]
    values: list[Floats]
    low: list[float]
    high: list[float]

    def add(
        self, columns: npt.NDArray[np.intp], values: Floats, *, ends: tuple[float, float]
    ) -> None:
        self.numbers.append(np.full(len(columns), len(self.low)))
        self.columns.append(columns)
        self.values.append(values)
        self.low.append(ends[0])
        self.high.append(ends[1])

    def constraint(self, n_columns: int) -> LinearConstraint:
        where = (np.concatenate(self.numbers), np.concatenate(self.columns))
        matrix = coo_array(
            (np.concatenate(self.values), where), shape=(len(self.low), n_columns)
        ).tocsc()
        return LinearConstraint(matrix, np.array(self.low), np.array(self.high))
