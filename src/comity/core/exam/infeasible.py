"""Why no form can be made: which condition fails, by how much, and which cannot hold together.

A condition fails by itself where all usable items together are too few. Otherwise the least by
which conditions would have to give way is found (elastic programming), and of all conditions a set
that cannot be kept together but could without any one of them (a deletion filter: Chinneck,
Feasibility and Infeasibility in Optimization, Springer, 2008, chapter 6).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_array

from comity.core.exam.assembly_request import Infeasible

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from scipy.optimize import OptimizeResult

    from comity.core.exam.assembly_rows import Row
    from comity.core.exam.assembly_solving import Programme

_SECONDS_EACH: Final = 2.0
_NEAR: Final = 1e-6
_IMPOSSIBLE: Final = 2
_UNIT_OF: Final = {"time": 60.0}
_TOGETHER: Final = "no condition fails by itself; these cannot be kept together: {}"


def shortages(programme: Programme) -> tuple[str, ...]:
    """Return a sentence for each condition for which the bank has too few items."""
    return tuple(_shortages(programme))


def why_not(programme: Programme, *, is_impossible: bool) -> Infeasible:
    """Return why the solver found no forms.

    Parameters
    ----------
    programme : Programme
        What was asked.
    is_impossible : bool
        Whether it showed that there are none, or its time ran out.
    """
    if not is_impossible:
        return Infeasible(reasons=(_out_of_time(programme),), is_proved=False)
    # All forms as one large form say more shortly what fails, if that fails already.
    large = programme.together()
    rows = large.rows if not _can_hold(large.rows, programme.n_units) else programme.rows
    if rows is programme.rows and programme.n_forms > 1:
        return Infeasible(reasons=(_only_apart(programme),))
    together = _conflict(rows, programme.n_units)
    yielding = (*_yielding(rows, programme), *_whole_cases(rows, together))
    if yielding:
        return Infeasible(reasons=yielding, together=together)
    return Infeasible(reasons=(_TOGETHER.format("; ".join(together)),), together=together)


def _shortages(programme: Programme) -> Iterator[str]:
    n = programme.n_forms
    for row in programme.rows:
        if row.has < row.low * n - _NEAR:
            each = f" for each of {n} forms" if n > 1 else ""
            has = f"{row.has:.0f}" if row.unit == "items" else _amount(row, row.has)
            yield f"the blueprint asks {row.asked}{each}, the bank has {has}"


def _out_of_time(programme: Programme) -> str:
    return (
        f"in {programme.seconds:g} seconds no form was found, and none was shown to be impossible:"
        " give it more time, or ask for less"
    )


def _only_apart(programme: Programme) -> str:
    return (
        f"the bank has items enough for {programme.n_forms} forms together, but they cannot be"
        f" parted so that each form keeps every condition: ask for {programme.n_forms - 1}, or let"
        " the conditions have some slack"
    )


def _yielding(rows: Sequence[Row], programme: Programme) -> Iterator[str]:
    """Yield how far conditions would have to give way, at the least in all."""
    n_units, n_forms = programme.n_units, programme.n_forms
    each, in_all = (f" for each of {n_forms} forms", " in all") if n_forms > 1 else ("", "")
    loose = _solve(rows, n_units, is_elastic=True).x
    if loose is None:
        return
    missing, excess = loose[n_units : n_units + len(rows)], loose[n_units + len(rows) :]
    for row, short, over in zip(rows, missing, excess, strict=True):
        scale = _UNIT_OF.get(row.sort, 1.0)
        if short > _NEAR:
            yield f"{row.asked}{each}: {_amount(row, short * scale)} too few{in_all}"
        if over > _NEAR:
            yield f"{row.asked}{each}: {_amount(row, over * scale)} too many{in_all}"


def _whole_cases(rows: Sequence[Row], together: Sequence[str]) -> Iterator[str]:
    """Yield that cases come whole, where that is part of the trouble."""
    counting = (row for row in rows if row.asked in together and row.sort != "apart")
    sizes = [row.values.max(initial=0) for row in counting if row.unit == "items"]
    if max(sizes, default=0) > 1:
        yield f"the items of a case come together, here up to {max(sizes):.0f} of one sort"


def _conflict(rows: Sequence[Row], n_units: int) -> tuple[str, ...]:
    """Return conditions that cannot hold together; those of one sort of exclusion go together."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        name = "no two items meet that tell each other" if row.sort == "apart" else row.asked
        groups.setdefault(name, []).append(row)
    kept = dict(groups)
    for name in groups:
        without = [row for other, each in kept.items() if other != name for row in each]
        if not _can_hold(without, n_units):
            del kept[name]
    return tuple(kept)


def _can_hold(rows: Sequence[Row], n_units: int) -> bool:
    """Tell whether conditions were not shown to be impossible together."""
    return not rows or _solve(rows, n_units, is_elastic=False).status != _IMPOSSIBLE


def _solve(rows: Sequence[Row], n_units: int, *, is_elastic: bool) -> OptimizeResult:
    """Return what the solver says of conditions, or of how far they have to give way."""
    n_rows = len(rows)
    n_columns = n_units + 2 * n_rows * is_elastic
    cost = np.zeros(n_columns)
    cost[n_units:] = 1.0
    matrix = lil_array((n_rows, n_columns))
    scales = np.array([_UNIT_OF.get(row.sort, 1.0) for row in rows])
    for number, row in enumerate(rows):
        matrix[number, row.columns] = row.values / scales[number]
        if is_elastic:
            matrix[number, n_units + number] = 1.0
            matrix[number, n_units + n_rows + number] = -1.0
    ends = np.array([(row.low, row.high) for row in rows]) / scales[:, None]
    upper = np.ones(n_columns)
    upper[n_units:] = np.inf
    return milp(
        cost,
        constraints=LinearConstraint(matrix.tocsc(), ends[:, 0], ends[:, 1]),
        bounds=Bounds(np.zeros(n_columns), upper),
        integrality=(np.arange(n_columns) < n_units).astype(np.intp),
        options={"time_limit": _SECONDS_EACH},
    )


def _amount(row: Row, amount: float) -> str:
    if row.unit == "seconds":
        return f"{amount / 60:.1f} minutes"
    if row.unit == "items":
        count = round(amount)
        return "1 item" if count == 1 else f"{count}"
    return f"{amount:.2f} {row.unit}"
