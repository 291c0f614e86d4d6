"""A bank of 5,000 items, of which forms of 100 are asked; and the same as bare matrices.

Quotas of four domains at three levels, 600 sets of two to five items that may not meet, and six
earlier forms of 100 with which at most 15 items may be shared; information at -0.3.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from comity.core.exam.assembly_request import Request
from comity.core.exam.blueprints import Blueprint, Domain, Levels, quotas
from comity.core.exam.irt import ItemParameters
from comity.core.exam.items import Bank, BestAnswer, Level

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

    Whole = npt.NDArray[np.integer]

N_ITEMS: Final = 5_000
N_FORM: Final = 100
CUT: Final = -0.3
SHARED: Final = 15
_SHARES: Final = (15, 25, 40, 20)
_WHOLE: Final = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Instance:
    """What is asked, for us and as bare arrays."""

    bank: Bank
    blueprint: Blueprint
    request: Request
    parameters: ItemParameters
    information: Floats
    chance: Floats
    matrix: Floats
    low: Floats
    high: Floats


def instance(*, n_forms: int = 1, score: tuple[float, float] | None = None) -> Instance:
    """Return the bank and what is asked of it, drawn with a fixed seed."""
    rng = np.random.default_rng(2024)
    a, b = rng.lognormal(0, 0.3, N_ITEMS), rng.normal(size=N_ITEMS)
    domain, level = rng.integers(0, 4, N_ITEMS), rng.integers(0, 3, N_ITEMS)
    apart = [rng.choice(N_ITEMS, rng.integers(2, 6), replace=False) for _ in range(600)]
    earlier = [rng.choice(N_ITEMS, N_FORM, replace=False) for _ in range(6)]
    items = tuple(_item(n, f"d{domain[n]}", list(Level)[level[n]]) for n in range(N_ITEMS))
    blueprint = _blueprint()
    request = Request(
        at=CUT,
        n_forms=n_forms,
        score=score,
        apart=tuple(frozenset(f"i{n}" for n in each) for each in apart),
        earlier=tuple(frozenset(f"i{n}" for n in each) for each in earlier),
        most_shared=SHARED,
        leave_aside=frozenset({"writing"}),
        seconds=120,
    )
    p = 1 / (1 + np.exp(-a * (CUT - b)))
    rows: list[Floats] = []
    low: list[float] = []
    high: list[float] = []
    for (id_, name), n in quotas(blueprint, N_FORM).items():
        rows.append((domain == int(id_[1:])) & (level == list(Level).index(name)))
        low.append(n)
        high.append(n)
    for each, most in [(each, 1) for each in apart] + [(each, SHARED) for each in earlier]:
        rows.append((np.isin(np.arange(N_ITEMS), each)).astype(float))
        low.append(-np.inf)
        high.append(most)
    if score is not None:
        rows.append(p)
        low.append(score[0])
        high.append(score[1])
    known = ItemParameters(tuple(item.id for item in items), a, -a * b)
    return Instance(
        Bank(bank="large", items=items), blueprint, request, known, a * a * p * (1 - p), p,
        np.array(rows, dtype=float), np.array(low, dtype=float), np.array(high, dtype=float),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Bare:
    """A programme ready for the solver, which is called with nothing around it."""

    cost: Floats
    constraints: LinearConstraint
    bounds: Bounds

    def solve(self, *, seconds: float, gap: float = 0.0) -> tuple[float | None, float]:
        """Return the objective (None: nothing found) and the gap the solver reports."""
        n_whole = len(self.cost) - len(self.cost) % N_ITEMS
        found = milp(
            self.cost,
            constraints=self.constraints,
            bounds=self.bounds,
            integrality=(np.arange(len(self.cost)) < n_whole).astype(np.intp),
            options={"time_limit": seconds, "mip_rel_gap": gap},
        )
        if found.x is None:
            return None, float("inf")
        return -float(found.fun), float(found.mip_gap)


def bare(asked: Instance, *, n_forms: int = 1) -> Bare:
    """Return the programme as one writes it down at first: a block of columns for each form."""
    block = coo_array(asked.matrix)
    n_rows, n_columns = len(asked.low), N_ITEMS * n_forms + (n_forms > 1)
    numbers: list[Whole] = [block.row + form * n_rows for form in range(n_forms)]
    columns: list[Whole] = [block.col + form * N_ITEMS for form in range(n_forms)]
    values = [block.data for _ in range(n_forms)]
    low, high = [asked.low] * n_forms, [asked.high] * n_forms
    cost = np.zeros(n_columns)
    if n_forms == 1:
        cost[:] = -asked.information
    else:
        cost[-1] = -1
        at = n_rows * n_forms
        every = np.arange(N_ITEMS)
        for form in range(n_forms):
            numbers.append(np.full(N_ITEMS + 1, at + form))
            columns.append(np.append(every + form * N_ITEMS, n_columns - 1))
            values.append(np.append(asked.information, -1.0))
            numbers.append(at + n_forms + every)
            columns.append(every + form * N_ITEMS)
            values.append(np.ones(N_ITEMS))
        low += [np.zeros(n_forms), np.full(N_ITEMS, -np.inf)]
        high += [np.full(n_forms, np.inf), np.ones(N_ITEMS)]
    where = (np.concatenate(numbers), np.concatenate(columns))
    ends = (np.concatenate(low), np.concatenate(high))
    matrix = coo_array((np.concatenate(values), where), shape=(len(ends[0]), n_columns))
    upper = np.ones(n_columns)
    upper[N_ITEMS * n_forms :] = np.inf
    constraints = LinearConstraint(matrix.tocsc(), *ends)
    return Bare(cost, constraints, Bounds(np.zeros(n_columns), upper))


def _blueprint() -> Blueprint:
    levels = Levels(recall=Fraction(1, 5), apply=Fraction(11, 20), judge=Fraction(1, 4))
    return Blueprint(
        blueprint="large",
        n_items=N_FORM,
        levels=levels,
        domains=tuple(
            Domain(id=f"d{n}", name=f"d{n}", share=Fraction(share, 100))
            for n, share in enumerate(_SHARES)
        ),
    )


def _item(number: int, domain: str, level: Level) -> BestAnswer:
    return BestAnswer(
        id=f"i{number}", domain=domain, level=level, stem=f"Question {number}?", source="drawn",
        options={"a": "x", "b": "y", "c": "z"}, answer="a",
    )  # fmt: skip
