"""Made-up answers whose items are known."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.responses import responses_from_table

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats
    from comity.core.exam.responses import Responses


def drawn(a: Floats, d: Floats, *, n_people: int, seed: int = 7) -> Responses:
    """Return answers of people with standard normal abilities."""
    rng = np.random.default_rng(seed)
    theta = rng.normal(size=(n_people, 1))
    chance = 1 / (1 + np.exp(-(theta * a + d)))
    return responses_from_table(rng.random(chance.shape) < chance)


def with_gaps(responses: Responses, share: float, seed: int = 8) -> Responses:
    """Return the answers with a share of them not seen."""
    rng = np.random.default_rng(seed)
    gaps = rng.random(responses.scores.shape) < share
    return responses_from_table(
        np.where(gaps, np.nan, responses.scores), people=responses.people, items=responses.items
    )
