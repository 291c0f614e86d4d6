"""Banks, blueprints and figures made up for forms."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.blueprints import Blueprint, Domain, Levels
from comity.core.exam.irt import ItemParameters
from comity.core.exam.items import Bank, BestAnswer, Case, Level

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.items import Item

EVENLY = Levels(recall=Fraction(1, 2), apply=Fraction(1, 2), judge=Fraction(0))


def an_item(
    id_: str,
    domain: str,
    level: str,
    *,
    case: str | None = None,
    seconds: int = 60,
    not_with: tuple[str, ...] = (),
    judged: Fraction | None = None,
) -> BestAnswer:
    """Return an item whose words no other item has."""
    word = "".join(chr(ord("a") + int(digit, 16)) for digit in id_.encode().hex())
    options = {"a": f"gr{word}", "b": f"kl{word}", "c": f"pf{word}"}
    return BestAnswer(
        id=id_,
        domain=domain,
        level=Level(level),
        stem=f"What is tr{word}?",
        source="made up, 2026",
        options=options,
        answer="a",
        case=case,
        seconds=seconds,
        not_with=not_with,
        judged=judged,
    )


def a_bank(items: Sequence[Item]) -> Bank:
    """Return a bank of items with the cases that they name."""
    cases = sorted({item.case for item in items if item.case is not None})
    return Bank(
        bank="made-up",
        items=tuple(items),
        cases=tuple(Case(id=case, vignette="Invented.") for case in cases),
    )


def a_blueprint(
    *domains: str, n_items: int = 4, minutes: int | None = None, levels: Levels = EVENLY
) -> Blueprint:
    """Return a blueprint of domains with even shares."""
    share = Fraction(1, len(domains))
    return Blueprint(
        blueprint="made-up",
        n_items=n_items,
        minutes=minutes,
        pass_mark=Fraction(1, 2),
        levels=levels,
        domains=tuple(Domain(id=id_, name=id_, share=share) for id_ in domains),
    )


def figures(items: Sequence[BestAnswer], seed: int) -> ItemParameters:
    """Return drawn parameters of items."""
    rng = np.random.default_rng(seed)
    a = np.exp(rng.normal(0, 0.3, len(items)))
    return ItemParameters(tuple(item.id for item in items), a, rng.normal(0, 1, len(items)))
