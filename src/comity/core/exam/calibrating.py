"""The model that the answers can bear, with what reviewers thought of the items before anyone sat.

With few answers the priors decide and the figures are not shown; as answers come in they take over
smoothly. Discrimination is not estimated below a thousand answers to an item, guessing never.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.irt import calibrate
from comity.core.exam.irt_models import NormalPriors

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.irt import Calibration
    from comity.core.exam.irt_models import Model
    from comity.core.exam.responses import Responses

ANSWERS_TO_SHOW: Final = 100
"""Answers to an item before its place on the scale is shown: its error is then about a quarter."""
ANSWERS_FOR_DISCRIMINATION: Final = 1000

# How much a reviewer's judgement counts. Our own choice, not published: judged difficulties
# are about half as spread as they say, and miss by three quarters.
JUDGED_SHRINKAGE: Final = 0.5
DEVIATION_JUDGED: Final = 0.75
DEVIATION_UNJUDGED: Final = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """Items on the scale as well as the answers allow.

    Parameters
    ----------
    calibration : Calibration or None
        With priors, for every item; None when there is no answer at all.
    shown : tuple of str
        Items with enough answers of their own for the figures to be shown.
    not_known : tuple of str
        What cannot be known yet, a sentence each, without a full stop.
    """

    calibration: Calibration | None
    shown: tuple[str, ...]
    not_known: tuple[str, ...]


def place_items(responses: Responses, judged: Mapping[str, float] | None = None) -> Placed:
    """Return the calibration the answers can bear.

    Parameters
    ----------
    responses : Responses
    judged : mapping of str to float, optional
        For each item, the share of candidates a reviewer expects to be right, between 0 and 1.
    """
    n_answers = responses.seen.sum(axis=0)
    few = [
        item
        for item, count in zip(responses.items, n_answers, strict=True)
        if count < ANSWERS_TO_SHOW
    ]
    if not n_answers.sum():
        return Placed(None, (), ("nobody has answered anything yet",))
    model: Model = "2pl" if n_answers.min() >= ANSWERS_FOR_DISCRIMINATION else "rasch"
    calibration = calibrate(responses, model, priors=priors_from(responses.items, judged or {}))
    shown = tuple(item for item in responses.items if item not in set(few))
    not_known = []
    if few:
        not_known.append(
            f"how hard {len(few)} of {responses.n_items} items are on a common scale:"
            f" each needs {ANSWERS_TO_SHOW} answers"
        )
    if model == "rasch":
        not_known.append(
            "how well items tell strong from weak on a common scale:"
            f" each needs {ANSWERS_FOR_DISCRIMINATION} answers"
        )
    return Placed(calibration, shown, tuple(not_known))


def priors_from(items: tuple[str, ...], judged: Mapping[str, float]) -> NormalPriors:
    """Return priors centred on half the logit of the judged shares; wider where none was given.

    Raises
    ------
    ValueError
        When a judged share is not between 0 and 1, or is 0 or 1 itself.
    """
    bad = {item: share for item, share in judged.items() if not 0 < share < 1}
    if bad:
        item, share = next(iter(bad.items()))
        message = f"judged shares right lie between 0 and 1, got {share:g} for {item!r}"
        raise ValueError(message)
    shares = np.array([judged.get(item, 0.5) for item in items], dtype=np.float64)
    known = np.array([item in judged for item in items])
    return NormalPriors(
        easiness_mean=JUDGED_SHRINKAGE * np.log(shares / (1 - shares)),
        easiness_deviation=np.where(known, DEVIATION_JUDGED, DEVIATION_UNJUDGED),
    )
