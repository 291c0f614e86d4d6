"""Mock examinations made: items taken from a bank and drawn from models, put in an order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.bank.resources import texts_in
from comity.core.exam.assembly import assemble
from comity.core.exam.assembly_request import Assembled, Request
from comity.core.exam.blueprints import apportioned
from comity.core.exam.item_models import NoItemError, item_of_seed
from comity.core.exam.items import Bank
from comity.core.exam.items_generated import item_from_generated
from comity.core.exam.reviews import ReviewState
from comity.files.dumping import dump_yaml
from comity.files.item_bank import read_bank, read_blueprint
from comity.files.item_models import load_item_models

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.item_models import ReadyModel
    from comity.core.exam.items import Item

_SLACK: Final = 2
_SECONDS: Final = 10.0
_OUT: Final = frozenset({ReviewState.WITHDRAWN, ReviewState.SENT_BACK})


class NoFormError(ValueError):
    """No form can be made of what is there; the sentence says what is short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What forms are wanted.

    Parameters
    ----------
    n_items : int
        In each form, drawn ones included.
    n_drawn : int
        Of them, from item models.
    n_forms : int
        Forms that share no item.
    seed : int
        Of the choice and the draws.
    fills_up : bool
        Whether a form may be made that does not keep the shares of the blueprint, where the bank
        has too little of a part; it is noted then.
    """

    n_items: int
    n_drawn: int = 0
    n_forms: int = 1
    seed: int = 0
    fills_up: bool = False


@dataclass(frozen=True, slots=True)
class MadeForm:
    """A form: its text as a bank file, what its drawn items ask to be said, and notes on it."""

    text: str
    n_items: int
    cautions: Mapping[str, tuple[str, ...]]
    notes: tuple[str, ...]


@lru_cache(maxsize=1)
def outline() -> Blueprint:
    """Return the blueprint that is shipped.

    Raises
    ------
    ValueError
        When the package is damaged.
    """
    loaded = read_blueprint(texts_in("blueprints")["dietetics.yaml"], "dietetics.yaml")
    if loaded.value is None:
        msg = f"the shipped blueprint cannot be read: {loaded.problems[0].message}"
        raise ValueError(msg)
    return loaded.value


def domain_name(id_: str) -> str:
    """Return what people call a domain of the shipped blueprint, or the id of another one."""
    domain = outline().domain_of(id_)
    if domain is None:
        return id_.replace("-", " ")
    part = next((part.name for part in domain.parts if part.id == id_), None)
    return part or domain.name.split(":")[0]


def make_forms(
    bank: Bank | None, wanted: Wanted, *, own_models: Mapping[str, str] | None = None
) -> tuple[MadeForm, ...]:
    """Return forms that share no item, alike in what they ask about.

    Parameters
    ----------
    bank : Bank or None
        Where items come from; none where all are drawn.
    wanted : Wanted
        How many.
    own_models : mapping, optional
        Texts of the office's own item models, by name; they are drawn from first.

    Raises
    ------
    NoFormError
        When there are too few items or models.
    """
    if wanted.n_items < 1 or wanted.n_forms < 1 or not 0 <= wanted.n_drawn <= wanted.n_items:
        msg = "a form needs at least one item, and no more drawn ones than it has items"
        raise NoFormError(msg)
    rng = np.random.default_rng(wanted.seed)
    chosen, notes = _chosen(bank, wanted, rng)
    return tuple(
        _made(bank, [*items, *drawn], cautions=said, notes=notes, rng=rng)
        for number, items in enumerate(chosen)
        for drawn, said in (_drawn(wanted, number, own_models or {}),)
    )


def _chosen(
    bank: Bank | None, wanted: Wanted, rng: np.random.Generator
) -> tuple[list[tuple[Item, ...]], tuple[str, ...]]:
    """Return the written items of each form, assembled to the blueprint where that can be done."""
    n_each = wanted.n_items - wanted.n_drawn
    if bank is None or not n_each:
        return [()] * wanted.n_forms, ()
    found = assemble(
        bank,
        outline(),
        Request(
            n_items=n_each,
            n_forms=wanted.n_forms,
            slack=_SLACK,
            leave_aside=frozenset({"time"}),
            seconds=_SECONDS,
            seed=wanted.seed,
        ),
    )
    if isinstance(found, Assembled):
        by_id = {item.id: item for item in bank.items}
        return [tuple(by_id[id_] for id_ in form.items) for form in found.forms], found.notes
    reasons = "; ".join((*found.reasons, *found.together))
    if not wanted.fills_up:
        msg = f"the shares of the parts cannot be kept: {reasons}"
        raise NoFormError(msg)
    return _filled_up(bank.items, wanted, rng), (
        f"the shares of the parts are not kept: {reasons}",
    )


def _filled_up(
    items: Sequence[Item], wanted: Wanted, rng: np.random.Generator
) -> list[tuple[Item, ...]]:
    """Return the written items of each form, by the shares of the blueprint as far as they go."""
    n_each = wanted.n_items - wanted.n_drawn
    usable = [item for item in items if item.state not in _OUT]
    needed = n_each * wanted.n_forms
    if len(usable) < needed:
        msg = (
            f"the bank has {len(usable)} items that may be used, and {needed} are needed for "
            f"{wanted.n_forms} forms; ask for fewer items or let more of them be drawn"
        )
        raise NoFormError(msg)
    shuffled = [usable[at] for at in rng.permutation(len(usable))]
    forms: list[tuple[Item, ...]] = []
    for _number in range(wanted.n_forms):
        taken = _by_shares(shuffled, n_each)
        kept_away = {item.id for item in taken}
        shuffled = [item for item in shuffled if item.id not in kept_away]
        forms.append(taken)
    return forms


def _by_shares(items: Sequence[Item], n_items: int) -> tuple[Item, ...]:
    blueprint = outline()
    counts = apportioned([domain.share for domain in blueprint.domains], n_items)
    room = {domain.id: n for domain, n in zip(blueprint.domains, counts, strict=True)}
    taken: list[Item] = []
    for item in items:
        domain = blueprint.domain_of(item.domain)
        if domain is not None and room[domain.id] and not _clashes(item, taken):
            room[domain.id] -= 1
            taken.append(item)
    for item in items:
        if len(taken) < n_items and item not in taken and not _clashes(item, taken):
            taken.append(item)
    if len(taken) < n_items:
        msg = f"{len(taken)} items may stand together, and {n_items} are wanted; ask for fewer"
        raise NoFormError(msg)
    return tuple(taken)


def _clashes(item: Item, taken: Sequence[Item]) -> bool:
    return any(item.id in other.not_with or other.id in item.not_with for other in taken)


def _drawn(
    wanted: Wanted, number: int, own_models: Mapping[str, str]
) -> tuple[list[Item], Mapping[str, tuple[str, ...]]]:
    """Return drawn items, and their cautions by item; another seed for each form of a set."""
    if not wanted.n_drawn:
        return [], {}
    # Only the models that are drawn from are read: reading all of them takes seconds.
    texts = {**{f"own/{name}": text for name, text in own_models.items()}, **texts_in("models")}
    names = sorted(texts, key=lambda name: not name.startswith("own/"))
    n_own = len(own_models)
    order = [*range(n_own), *(n_own + np.random.default_rng(wanted.seed).permutation(
        len(names) - n_own
    ))]  # fmt: skip
    found: list[tuple[Item, tuple[str, ...]]] = []
    for turn in range(2 * len(order)):
        if len(found) == wanted.n_drawn:
            break
        name = names[order[turn % len(order)]]
        seed = wanted.seed * 1000 + number * 100 + turn // len(order)
        found += _one_of(name, texts[name], seed)
    if len(found) < wanted.n_drawn:
        msg = f"the models give {len(found)} items, and {wanted.n_drawn} are wanted"
        raise NoFormError(msg)
    return [item for item, _said in found], {item.id: said for item, said in found}


def _one_of(name: str, text: str, seed: int) -> list[tuple[Item, tuple[str, ...]]]:
    ready = _ready(name, text)
    if ready is None:
        return []
    try:
        drawn = item_of_seed(ready, seed)
    except NoItemError:
        return []
    return [(replace(item_from_generated(drawn), high_risk=ready.model.high_risk), drawn.cautions)]


@lru_cache(maxsize=128)
def _ready(name: str, text: str) -> ReadyModel | None:
    """Return the model of a text, tried out once for the same text; None for a broken one."""
    return next(iter(load_item_models({name: text}).models), None)


def _made(
    bank: Bank | None,
    items: Sequence[Item],
    *,
    cautions: Mapping[str, tuple[str, ...]],
    notes: Sequence[str],
    rng: np.random.Generator,
) -> MadeForm:
    ordered = _cases_together([items[at] for at in rng.permutation(len(items))])
    named = {item.case for item in ordered}
    cases = () if bank is None else tuple(case for case in bank.cases if case.id in named)
    form = Bank(
        bank="form",
        language="en" if bank is None else bank.language,
        author=None if bank is None else bank.author,
        fictional=bank is not None and bank.fictional,
        cases=cases,
        items=tuple(ordered),
    )
    text = dump_yaml(form)
    loaded = read_bank(text, "form")
    if loaded.value is None or not loaded.is_sound:
        msg = f"the form cannot be kept: {loaded.problems[0].message}"
        raise NoFormError(msg)
    return MadeForm(text, len(ordered), cautions, (*notes, *_notes(ordered)))


def _cases_together(items: Sequence[Item]) -> list[Item]:
    """Return items so that those of one case follow each other, where the first one stands."""
    done: list[Item] = []
    for item in items:
        if item in done:
            continue
        done += [item] if item.case is None else [e for e in items if e.case == item.case]
    return done


def _notes(items: Sequence[Item]) -> list[str]:
    """Return what somebody who gives the form out should know."""
    unread = sum(item.state is not ReviewState.APPROVED for item in items)
    if not unread:
        return []
    return [f"{unread} of {len(items)} items are teaching material not approved by a practitioner"]


def n_to_pass(n_items: int, share: Fraction) -> int:
    """Return the fewest right answers that reach a share.

    Examples
    --------
    >>> from fractions import Fraction
    >>> n_to_pass(20, Fraction(62, 100))
    13
    """
    return -(-n_items * share.numerator // share.denominator)
