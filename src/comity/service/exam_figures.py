"""Figures of items and people from answers: as many as the answers can bear, and what they cannot.

A tutor of twelve gets plain shares and the items to look at; correlations come with their caution
below thirty people, and places on a common scale only for items with enough answers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.ability import estimate_eap
from comity.core.exam.calibrating import place_items
from comity.core.exam.classical import (
    PEOPLE_TO_TRUST_CORRELATIONS,
    describe_items,
    describe_scores,
)
from comity.core.exam.classical_options import option_curves
from comity.core.exam.fit import fit_of_items
from comity.core.exam.irt import CalibrationError
from comity.core.exam.responses import Remark, Responses, remarks_on
from comity.core.exam.suspects import items_to_look_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.exam.calibrating import Placed
    from comity.core.exam.classical import Figure, ItemFigures, ScoreFigures
    from comity.core.exam.classical_options import OptionCurve
    from comity.core.exam.irt import ItemParameters
    from comity.core.exam.items import Item
    from comity.core.exam.suspects import Asked, Suspect

GROUPS_FROM: Final = 30
"""People from which the curves of options have three groups; below, two halves."""
PEOPLE_FOR_GROUPS: Final = 10
"""Below so many people no curves are drawn: each group would be a handful."""


@dataclass(frozen=True, slots=True)
class OnScale:
    """Where an item lies on the common scale: hard is high.

    Parameters
    ----------
    difficulty, error : float
        The error is None where the answers do not fix it.
    discrimination : float or None
        None where it was not estimated.
    fit_p : float or None
        Chance of a misfit so large if the model holds.
    """

    difficulty: float
    error: float | None
    discrimination: float | None
    fit_p: float | None


@dataclass(frozen=True, slots=True)
class ItemLine:
    """One item: by counting, by its options, on the scale, and what is suspected of it."""

    id: str
    figures: ItemFigures
    key: str | None
    options: tuple[str, ...]
    curves: tuple[OptionCurve, ...]
    scale: OnScale | None
    suspicions: tuple[Suspect, ...]


@dataclass(frozen=True, slots=True)
class PersonLine:
    """One person: right answers of those seen, and ability where the scale is known."""

    id: str
    n_right: int
    n_seen: int
    ability: float | None
    error: float | None


@dataclass(frozen=True, slots=True)
class ClassFigures:
    """All figures of a class.

    Parameters
    ----------
    scores : ScoreFigures
    items : tuple of ItemLine
        In the order of the answers.
    people : tuple of PersonLine
    look_at : tuple of Suspect
        The worst first.
    remarks : tuple of Remark
        What is odd about people and items, with the rule that is kept for it.
    not_known : tuple of str
        What cannot be known yet.
    parameters : ItemParameters or None
        Of the items that may be shown, for curves of information.
    """

    scores: ScoreFigures
    items: tuple[ItemLine, ...]
    people: tuple[PersonLine, ...]
    look_at: tuple[Suspect, ...]
    remarks: tuple[Remark, ...]
    not_known: tuple[str, ...]
    parameters: ItemParameters | None

    @property
    def n_people(self) -> int:
        """The number of people."""
        return len(self.people)


def figures_of_class(
    responses: Responses, asked: Mapping[str, Asked], items: Sequence[Item] = ()
) -> ClassFigures:
    """Return all figures that answers can bear.

    Parameters
    ----------
    responses : Responses
    asked : mapping
        Options and choices of the items that have any.
    items : sequence of Item
        For what their writers judged of them before anyone sat.
    """
    look_at = items_to_look_at(responses, asked)
    placed, not_known = _placed(responses, items)
    scale, parameters = _on_scale(responses, placed)
    lines = tuple(
        ItemLine(
            each.item,
            each,
            asked[each.item].key if each.item in asked else None,
            asked[each.item].options if each.item in asked else (),
            _curves(responses, each.item, asked),
            scale.get(each.item),
            tuple(found for found in look_at if found.item == each.item),
        )
        for each in describe_items(responses)
    )
    return ClassFigures(
        describe_scores(responses),
        lines,
        _people(responses, parameters),
        look_at,
        remarks_on(responses),
        (*_too_few(responses), *not_known),
        parameters,
    )


def _too_few(responses: Responses) -> tuple[str, ...]:
    if responses.n_people >= PEOPLE_TO_TRUST_CORRELATIONS:
        return ()
    sentence = (
        f"how well items tell strong from weak: {responses.n_people} of at least"
        f" {PEOPLE_TO_TRUST_CORRELATIONS} people have answered"
    )
    return (sentence,)


def _curves(responses: Responses, item: str, asked: Mapping[str, Asked]) -> tuple[OptionCurve, ...]:
    offered = asked.get(item)
    if offered is None or responses.n_people < PEOPLE_FOR_GROUPS:
        return ()
    n_groups = 3 if responses.n_people >= GROUPS_FROM else 2
    return option_curves(responses, item, offered.chosen, n_groups=n_groups)


def _placed(responses: Responses, items: Sequence[Item]) -> tuple[Placed | None, tuple[str, ...]]:
    judged = {item.id: float(item.judged) for item in items if item.judged is not None}
    inside = {id_: share for id_, share in judged.items() if 0 < share < 1}
    try:
        placed = place_items(responses, inside)
    except CalibrationError as error:
        return None, (f"places on a common scale: {error}",)
    return placed, placed.not_known


def _on_scale(
    responses: Responses, placed: Placed | None
) -> tuple[dict[str, OnScale], ItemParameters | None]:
    calibration = None if placed is None else placed.calibration
    if placed is None or calibration is None or not placed.shown:
        return {}, None
    parameters, errors = calibration.parameters, calibration.errors
    fits = fit_of_items(responses, calibration)
    has_slopes = calibration.model == "2pl"
    shown = set(placed.shown)
    scale = {
        id_: OnScale(
            float(parameters.b[at]),
            None if errors is None else float(errors.b[at]),
            float(parameters.a[at]) if has_slopes else None,
            fits[at].p,
        )
        for at, id_ in enumerate(parameters.items)
        if id_ in shown
    }
    return scale, _only(parameters, shown)


def _only(parameters: ItemParameters, shown: set[str]) -> ItemParameters:
    at = [place for place, id_ in enumerate(parameters.items) if id_ in shown]
    return type(parameters)(
        tuple(parameters.items[each] for each in at), parameters.a[at], parameters.d[at]
    )


def _people(responses: Responses, parameters: ItemParameters | None) -> tuple[PersonLine, ...]:
    n_seen = responses.seen.sum(axis=1)
    n_right = np.nansum(responses.scores, axis=1)
    theta: list[float | None] = [None] * responses.n_people
    error: list[float | None] = [None] * responses.n_people
    if parameters is not None:
        means = estimate_eap(responses.of_items(parameters.items), parameters)
        theta, error = list(map(float, means.theta)), list(map(float, means.error))
    return tuple(
        PersonLine(person, int(n_right[at]), int(n_seen[at]), theta[at], error[at])
        for at, person in enumerate(responses.people)
    )


def figures_data(found: ClassFigures) -> dict[str, object]:
    """Return the figures as JSON has them; what cannot be had is null beside its reason."""
    scores = found.scores
    return {
        "people": found.n_people,
        "scores": {
            "people": scores.n_people,
            "mean": figure_data(scores.mean),
            "deviation": figure_data(scores.deviation),
            "kr20": figure_data(scores.kr20),
            "kr21": figure_data(scores.kr21),
            "standard_error": figure_data(scores.standard_error),
        },
        "look_at": [
            {"item": each.item, "suspicion": each.suspicion, "why": each.why}
            for each in found.look_at
        ],
        "items": [_item_data(line) for line in found.items],
        "persons": [
            {
                "id": each.id,
                "right": each.n_right,
                "answered": each.n_seen,
                "ability": _rounded(each.ability),
                "ability_error": _rounded(each.error),
            }
            for each in found.people
        ],
        "remarks": [
            {"of": each.of, "id": each.subject, "what": each.oddity, "rule": each.rule}
            for each in found.remarks
        ],
        "not_known": list(found.not_known),
    }


def figure_data(figure: Figure) -> dict[str, object]:
    """Return a figure as JSON has it."""
    return {"value": _rounded(figure.value), "reason": figure.reason}


def _item_data(line: ItemLine) -> dict[str, object]:
    figures, scale = line.figures, line.scale
    return {
        "id": line.id,
        "answers": figures.n_answers,
        "right": figure_data(figures.difficulty),
        "item_rest": figure_data(figures.item_rest),
        "item_total": figure_data(figures.item_total),
        "biserial": figure_data(figures.biserial),
        "kr20_without": figure_data(figures.alpha_if_dropped),
        "key": line.key,
        "options": [
            {
                "option": each.option,
                "chosen": each.n_chosen,
                "share": _rounded(each.share),
                "by_group": [_rounded(share) for share in each.by_group],
            }
            for each in line.curves
        ],
        "scale": None
        if scale is None
        else {
            "difficulty": _rounded(scale.difficulty),
            "error": _rounded(scale.error),
            "discrimination": _rounded(scale.discrimination),
            "fit_p": _rounded(scale.fit_p),
        },
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(float(value), 6)
