"""Which options people choose, by how well they do on the other items."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats
    from comity.core.exam.responses import Responses


@dataclass(frozen=True, slots=True)
class OptionCurve:
    """How often an option is chosen.

    Parameters
    ----------
    option : str
    n_chosen : int
    share : float
        Of those who answered the item.
    by_group : tuple of (float or None)
        The same within each score group, weakest first; None for a group without answers.
    n_in_group : tuple of int
        How many answered the item, by score group.
    """

    option: str
    n_chosen: int
    share: float
    by_group: tuple[float | None, ...]
    n_in_group: tuple[int, ...]


def score_groups(scores: Floats, n_groups: int) -> npt.NDArray[np.int64]:
    """Return each person's group, 0 the weakest: about equally many, equal scores never parted.

    With ties a group may be larger, smaller or empty; that is kinder than to part people who did
    equally well by the order of the list.

    Examples
    --------
    >>> import numpy as np
    >>> score_groups(np.array([1.0, 5.0, 5.0, 9.0]), 2).tolist()
    [0, 1, 1, 1]
    """
    ordered = np.sort(scores)
    below = np.searchsorted(ordered, scores, side="left")
    up_to = np.searchsorted(ordered, scores, side="right")
    # Mid-ranks from 0 to n: a person at the very middle belongs to the upper half.
    groups = (below + up_to) * n_groups // (2 * max(scores.size, 1))
    capped: npt.NDArray[np.int64] = np.minimum(groups, n_groups - 1)
    return capped


def scores_on_others(responses: Responses, item: str) -> Floats:
    """Return each person's share right of the items seen besides this one; NaN for who saw none."""
    others = [each for each in responses.items if each != item]
    rest = responses.of_items(others)
    n_seen = rest.seen.sum(axis=1)
    n_right = np.nansum(rest.scores, axis=1)
    share = np.full(rest.n_people, np.nan)
    np.divide(n_right, n_seen, out=share, where=n_seen > 0)
    return share


def option_curves(
    responses: Responses, item: str, chosen: Sequence[str | None], *, n_groups: int = 3
) -> tuple[OptionCurve, ...]:
    """Return how often each option of an item is chosen, over all and by score group.

    Parameters
    ----------
    responses : Responses
    item : str
        Its id among the responses' items.
    chosen : sequence of (str or None)
        The option each person of the responses chose, None where the item was not answered.
    n_groups : int
        Score groups by the other items; who saw no other item is counted only in the whole.

    Returns
    -------
    tuple of OptionCurve
        Sorted by option; options that nobody chose are not known here.
    """
    rest = scores_on_others(responses, item)
    answered = np.array([each is not None for each in chosen], dtype=bool)
    grouped = answered & ~np.isnan(rest)
    groups = np.full(rest.size, -1)
    groups[grouped] = score_groups(rest[grouped], n_groups)
    n_in_group = np.bincount(groups[grouped], minlength=n_groups)
    n_each = tuple(int(count) for count in n_in_group)
    curves = []
    for option in sorted({each for each in chosen if each is not None}):
        chose = np.array([each == option for each in chosen])
        by_group = np.bincount(groups[grouped & chose], minlength=n_groups)
        shares = [
            None if n == 0 else float(k / n) for k, n in zip(by_group, n_in_group, strict=True)
        ]
        n_chosen = int(chose.sum())
        share = n_chosen / int(answered.sum())
        curves.append(OptionCurve(option, n_chosen, share, tuple(shares), n_each))
    return tuple(curves)
