"""Which items to look at first, and why: said of twelve answers as well as of a thousand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from comity.core.exam.classical import PEOPLE_TO_TRUST_CORRELATIONS, describe_items
from comity.core.exam.classical_options import option_curves

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.classical import ItemFigures
    from comity.core.exam.classical_options import OptionCurve
    from comity.core.exam.responses import Responses

Suspicion = Literal["key", "backwards", "harder than guessing", "no spread", "idle option"]
_WORST_FIRST: Final[tuple[Suspicion, ...]] = (
    "key", "backwards", "harder than guessing", "no spread", "idle option",
)  # fmt: skip

ANSWERS_TO_SUSPECT: Final = 10
STRONG_TO_SUSPECT_KEY: Final = 5
IDLE_BELOW: Final = 0.05
ANSWERS_TO_CALL_IDLE: Final = 50


@dataclass(frozen=True, slots=True)
class Asked:
    """What an item offered.

    Parameters
    ----------
    options : tuple of str
        Ids of all options; empty for items without options.
    key : str
        The option marked as right.
    chosen : tuple of (str or None)
        What each person of the responses chose; None where not answered.
    """

    options: tuple[str, ...]
    key: str
    chosen: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Suspect:
    """An item to look at.

    Parameters
    ----------
    item : str
    suspicion : str
        What is suspected.
    why : str
        What was seen, a sentence without a full stop.
    """

    item: str
    suspicion: Suspicion
    why: str


def items_to_look_at(
    responses: Responses, asked: Mapping[str, Asked] | None = None
) -> tuple[Suspect, ...]:
    """Return what is suspected of items, the worst first, then in the order of the items.

    Parameters
    ----------
    responses : Responses
    asked : mapping of str to Asked, optional
        Options and choices; without them only right and wrong can speak.
    """
    asked = asked or {}
    found: list[Suspect] = []
    for figures in describe_items(responses):
        offered = asked.get(figures.item)
        found += _by_scores(figures, 0 if offered is None else len(offered.options))
        if offered is not None:
            found += _by_options(responses, figures.item, offered)
    return tuple(sorted(found, key=lambda each: _WORST_FIRST.index(each.suspicion)))


def _by_scores(figures: ItemFigures, n_options: int) -> list[Suspect]:
    """Return what right and wrong say."""
    item, share, n_answers = figures.item, figures.difficulty.value, figures.n_answers
    if share is None or n_answers < ANSWERS_TO_SUSPECT:
        return []
    if share in {0, 1}:
        word = "right" if share else "wrong"
        return [Suspect(item, "no spread", f"all {n_answers} answers are {word}")]
    found = []
    rest = figures.item_rest.value
    if rest is not None and rest < 0 and n_answers >= PEOPLE_TO_TRUST_CORRELATIONS:
        why = f"those who do well on the other items miss it more often (correlation {rest:.2f})"
        found.append(Suspect(item, "backwards", why))
    if n_options and share < 1 / n_options:
        why = f"{share:.0%} are right, fewer than would guess it among {n_options} options"
        found.append(Suspect(item, "harder than guessing", why))
    return found


def _by_options(responses: Responses, item: str, offered: Asked) -> list[Suspect]:
    """Return what the options chosen say."""
    curves = option_curves(responses, item, offered.chosen, n_groups=2)
    if not curves:
        return []
    return [*_doubts_of_key(item, offered, curves), *_idle_options(item, offered, curves)]


def _doubts_of_key(item: str, offered: Asked, curves: tuple[OptionCurve, ...]) -> list[Suspect]:
    """Return a suspicion where the stronger half prefers another option to the key."""
    strong = {each.option: each.by_group[-1] or 0.0 for each in curves}
    by_key = strong.pop(offered.key, 0.0)
    rival = max(strong, key=strong.__getitem__, default="")
    if curves[0].n_in_group[-1] < STRONG_TO_SUSPECT_KEY or not rival or strong[rival] <= by_key:
        return []
    why = (
        f"among the stronger half {strong[rival]:.0%} chose {rival!r} and"
        f" {by_key:.0%} the key {offered.key!r}"
    )
    return [Suspect(item, "key", why)]


def _idle_options(item: str, offered: Asked, curves: tuple[OptionCurve, ...]) -> list[Suspect]:
    """Return a suspicion for each wrong option that hardly anyone chooses."""
    n_answers = sum(each.n_chosen for each in curves)
    if n_answers < ANSWERS_TO_CALL_IDLE:
        return []
    share = {each.option: each.share for each in curves}
    return [
        Suspect(item, "idle option", f"fewer than 5 % of {n_answers} people chose {option!r}")
        for option in offered.options
        if option != offered.key and share.get(option, 0.0) < IDLE_BELOW
    ]
