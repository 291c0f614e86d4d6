"""Forms assembled to a blueprint: quotas kept, and as much information at the cut as can be had."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.assembly_checks import faults_of
from comity.core.exam.assembly_request import LEFT_ASIDE, Assembled, Form, Infeasible
from comity.core.exam.assembly_rows import rows_of
from comity.core.exam.assembly_solving import Programme, Solved, solve
from comity.core.exam.assembly_splitting import solve_by_splitting
from comity.core.exam.assembly_units import supply_of
from comity.core.exam.infeasible import shortages, why_not

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.assembly_request import Request
    from comity.core.exam.assembly_units import Supply
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.irt import ItemParameters, StandardErrors
    from comity.core.exam.items import Bank, Item, Level

_PROVED: Final = 1e-6


def assemble(
    bank: Bank,
    blueprint: Blueprint,
    request: Request,
    *,
    parameters: ItemParameters | None = None,
    errors: StandardErrors | None = None,
) -> Assembled | Infeasible:
    """Return forms that keep every condition, or why there can be none.

    Quotas of domains are kept exactly; those of levels, parts and calculations within the slack of
    the request. A case comes whole or not at all. Forms made at once share no item; for forms that
    may share some, make one after the other and name the first among the earlier ones.

    Parameters
    ----------
    bank : Bank
        Items whose domain the blueprint does not know are passed over.
    blueprint : Blueprint
        Shares of domains and levels.
    request : Request
        What else is asked.
    parameters : ItemParameters, optional
        From answers; items that are not in them count with what was judged of them.
    errors : StandardErrors, optional
        Of the parameters: each discrimination is lowered by its own.

    Notes
    -----
    One form is one programme for the solver. Several are solved as one large form, whose mean is a
    bound for the weakest, and then dealt out by exchanging items; where that does not succeed, the
    forms are one programme, too.
    """
    if complaint := _senseless(request, blueprint):
        return Infeasible(reasons=(complaint,))
    n_items = request.n_items_by(blueprint) or 0
    supply = supply_of(bank, blueprint, request, parameters=parameters, errors=errors)
    programme = Programme(
        rows=rows_of(supply, blueprint, request, n_items=n_items),
        information=_aimed_at(supply, request),
        target=np.array([wanted for _, wanted in request.target]) if request.target else None,
        n_forms=request.n_forms,
        seconds=request.seconds,
        gap=request.gap,
        seed=request.seed,
    )
    if short := shortages(programme):
        return Infeasible(reasons=short)
    solved = solve(programme) if request.n_forms == 1 else solve_by_splitting(programme)
    if solved.taken is None:
        return why_not(programme, is_impossible=solved.is_impossible)
    forms = tuple(_form(units, supply, blueprint, request=request) for units in solved.taken)
    if faults := faults_of(forms, supply, blueprint, request=request):
        msg = f"the solver's forms do not keep what was asked: {'; '.join(faults)}"
        raise ArithmeticError(msg)
    return _assembled(forms, programme, solved, supply=supply)


def _senseless(request: Request, blueprint: Blueprint) -> str:
    """Return what is wrong with a request by itself; nothing for a sound one."""
    n_items = request.n_items_by(blueprint)
    unknown = sorted(request.leave_aside - LEFT_ASIDE)
    wrong = {
        "the blueprint does not say how many items a form has; say it": n_items is None,
        f"a form needs at least one item, got {n_items}": n_items is not None and n_items < 1,
        f"at least one form is asked for, got {request.n_forms}": request.n_forms < 1,
        f"the slack is a number of items, 0 or more, got {request.slack}": request.slack < 0,
        f"items shared are counted from 0, got {request.most_shared}": request.most_shared < 0,
        f"the solver needs some time, got {request.seconds:g} seconds": request.seconds <= 0,
        f"what may be left aside is {', '.join(sorted(LEFT_ASIDE))}, got {', '.join(unknown)}": (
            bool(unknown)
        ),
    }
    return next((sentence for sentence, is_so in wrong.items() if is_so), "")


def _aimed_at(supply: Supply, request: Request) -> npt.NDArray[np.float64]:
    """Return the information that the objective looks at, by unit."""
    rows = supply.information[1:] if request.target else supply.information[:1]
    return np.asarray(supply.by_unit(rows), dtype=np.float64).reshape(len(rows), -1)


def _form(
    units: npt.NDArray[np.intp], supply: Supply, blueprint: Blueprint, *, request: Request
) -> Form:
    numbers = _in_order([supply.units[unit] for unit in units], supply.items, blueprint)
    items = [supply.items[number] for number in numbers]
    counts: dict[tuple[str, Level], int] = {}
    for item in items:
        cell = (_domain(item, blueprint), item.level)
        counts[cell] = counts.get(cell, 0) + 1
    ids = tuple(item.id for item in items)
    reached = supply.information[:, numbers].sum(axis=1)
    return Form(
        items=ids,
        information=float(reached[0]),
        curve=tuple(float(each) for each in reached[1:]),
        expected_score=float(supply.chance[numbers].sum()),
        seconds=round(float(supply.seconds[numbers].sum())),
        counts=counts,
        shared=tuple(len(earlier.intersection(ids)) for earlier in request.earlier),
    )


def _in_order(
    units: Sequence[tuple[int, ...]], items: Sequence[Item], blueprint: Blueprint
) -> list[int]:
    """Return the numbers of the items, by the domain of the first of their unit."""
    rank = {domain.id: number for number, domain in enumerate(blueprint.domains)}
    ordered = sorted(units, key=lambda unit: (rank[_domain(items[unit[0]], blueprint)], unit))
    return [number for unit in ordered for number in unit]


def _domain(item: Item, blueprint: Blueprint) -> str:
    domain = blueprint.domain_of(item.domain)
    return item.domain if domain is None else domain.id


def _assembled(
    forms: tuple[Form, ...], programme: Programme, solved: Solved, *, supply: Supply
) -> Assembled:
    objective = programme.value(solved.taken or ())
    is_distance = programme.target is not None
    bound = solved.bound
    if bound is None:
        bound = 0.0 if is_distance else float("inf")
    # The lot is part of what the solver bounds, so that a bound may lie a hair on the wrong side.
    bound = min(bound, objective) if is_distance else max(bound, objective)
    gap = abs(objective - bound) / max(abs(bound), 1.0) if np.isfinite(bound) else float("inf")
    return Assembled(
        forms=forms,
        at=supply.at,
        objective=objective,
        bound=bound,
        gap=gap,
        is_proved=gap <= max(programme.gap, _PROVED),
        notes=supply.notes,
    )
