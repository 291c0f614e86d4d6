"""What a form is put together from: single items, and the items of a case as one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.optimize import brentq

from comity.core.exam.information import item_information
from comity.core.exam.irt import ItemParameters
from comity.core.exam.irt_likelihood import probabilities
from comity.core.exam.items import NumberAnswer
from comity.core.exam.writing_flaws import draft_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.assembly_request import Request
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.irt import StandardErrors
    from comity.core.exam.items import Bank, Item
    from comity.core.exam.quadrature import Floats

_LIKELIEST_SECONDS: Final = 90
_EXTREME: Final = 0.01
_FARTHEST: Final = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Supply:
    """The items that a form may hold, and what they give.

    Parameters
    ----------
    items : tuple of Item
        In the order of the bank.
    units : tuple of tuple of int
        Numbers of items that go into a form together.
    owner : ndarray of shape (n_items,)
        Number of the unit of each item.
    at : float
        Ability at the cut.
    information : ndarray of shape (n_abilities, n_items)
        At the cut first, then at the abilities of the target.
    chance : ndarray of shape (n_items,)
        Of a right answer at the cut.
    seconds : ndarray of shape (n_items,)
        Time they take.
    notes : tuple of str
        On what the figures rest.
    """

    items: tuple[Item, ...]
    units: tuple[tuple[int, ...], ...]
    owner: npt.NDArray[np.intp]
    at: float
    information: Floats
    chance: Floats
    seconds: Floats
    notes: tuple[str, ...]

    def by_unit(self, values: Floats) -> Floats:
        """Return the sums of a figure of the items over units; the last axis is that of items."""
        if values.ndim == 1:
            sums = np.bincount(self.owner, weights=values, minlength=len(self.units))
            return sums.astype(np.float64)
        return np.array([self.by_unit(row) for row in values])


def supply_of(
    bank: Bank,
    blueprint: Blueprint,
    request: Request,
    *,
    parameters: ItemParameters | None,
    errors: StandardErrors | None,
) -> Supply:
    """Return what a bank has to put together forms from."""
    domains = {item.domain for item in bank.items}
    known_domains = {each for each in domains if blueprint.domain_of(each) is not None}
    items = tuple(
        item
        for item in bank.items
        if item.domain in known_domains
        and item.id not in request.without
        and item.state in request.states
    )
    known, notes = _figures(items, parameters, errors)
    at = _cut(known, blueprint) if request.at is None else request.at
    abilities = np.array([at, *(theta for theta, _ in request.target)])
    units, usual = _units(items), _seconds(blueprint)
    return Supply(
        items=items,
        units=units,
        owner=_owners(units, len(items)),
        at=at,
        information=item_information(known, abilities).T,
        chance=probabilities(known.a, known.d, abilities)[:, 0],
        seconds=np.array([item.seconds or usual for item in items], dtype=float),
        notes=notes,
    )


def is_calculating(item: Item) -> bool:
    """Tell whether an item asks for a number that is worked out."""
    if isinstance(item, NumberAnswer) or item.generated is not None:
        return True
    return draft_of(item).are_numbers


def _units(items: Sequence[Item]) -> tuple[tuple[int, ...], ...]:
    members: dict[str, list[int]] = {}
    for number, item in enumerate(items):
        # An id has no space in it, so that a case can never be taken for an item.
        members.setdefault(f"case {item.case}" if item.case else item.id, []).append(number)
    return tuple(tuple(each) for each in members.values())


def _owners(units: Sequence[tuple[int, ...]], n_items: int) -> npt.NDArray[np.intp]:
    owner = np.empty(n_items, dtype=np.intp)
    owner[[number for unit in units for number in unit]] = np.repeat(
        np.arange(len(units)), [len(unit) for unit in units]
    )
    return owner


def _seconds(blueprint: Blueprint) -> int:
    if blueprint.minutes is None or blueprint.n_items is None:
        return _LIKELIEST_SECONDS
    return blueprint.minutes * 60 // blueprint.n_items


def _figures(
    items: Sequence[Item], parameters: ItemParameters | None, errors: StandardErrors | None
) -> tuple[ItemParameters, tuple[str, ...]]:
    """Return parameters of every item: estimated, or from what was judged of it.

    A discrimination is lowered by its standard error, where that is known: who takes the highest
    estimates takes the luckiest.
    """
    place = {} if parameters is None else {id_: n for n, id_ in enumerate(parameters.items)}
    a, d = np.ones(len(items)), np.array([_judged_easiness(item) for item in items], dtype=float)
    for number, item in enumerate(items):
        if parameters is not None and (at := place.get(item.id)) is not None:
            lowered = 0.0 if errors is None else float(errors.a[at])
            a[number] = max(float(parameters.a[at]) - lowered, 0.0)
            d[number] = parameters.d[at]
    n_unknown = sum(item.id not in place for item in items)
    notes = () if not n_unknown else (_unknown_note(n_unknown, len(items)),)
    return ItemParameters(tuple(item.id for item in items), a, d), notes


def _unknown_note(n_unknown: int, n_items: int) -> str:
    return (
        f"{n_unknown} of {n_items} items have no figures from answers: they count with how hard"
        " they were judged, or as of middling difficulty"
    )


def _judged_easiness(item: Item) -> float:
    """Return half the logit of the judged share, as far as judging predicts difficulty."""
    if item.judged is None:
        return 0.0
    share = min(max(float(item.judged), _EXTREME), 1 - _EXTREME)
    return float(np.log(share / (1 - share)) / 2)


def _cut(known: ItemParameters, blueprint: Blueprint) -> float:
    """Return the ability at which the items are answered right as often as the pass mark asks."""
    if blueprint.pass_mark is None or not len(known.items):
        return 0.0
    wanted = float(blueprint.pass_mark)

    def above(theta: float) -> float:
        return float(probabilities(known.a, known.d, np.array([theta])).mean()) - wanted

    if above(-_FARTHEST) >= 0 or above(_FARTHEST) <= 0:
        return 0.0
    return float(brentq(above, -_FARTHEST, _FARTHEST))
