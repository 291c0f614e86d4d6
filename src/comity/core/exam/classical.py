"""What a test and its items look like by counting: shares right, correlations, reliability.

Where answers are missing, a person's score is the share right of the items seen; reliability counts
only people who saw everything. What cannot be known is None with the reason, never a number.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import special

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats
    from comity.core.exam.responses import Responses

PEOPLE_FOR_CORRELATIONS: Final = 2
ITEMS_FOR_RELIABILITY: Final = 2
PEOPLE_TO_TRUST_CORRELATIONS: Final = 30
"""Below this, a correlation moves by more than 0.3 by chance; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number, or why there is none.

    Parameters
    ----------
    value : float or None
    reason : str
        Why the value is None or not to be trusted yet; else empty.
    """

    value: float | None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ItemFigures:
    """One item by counting.

    Parameters
    ----------
    item : str
    n_answers : int
    difficulty : Figure
        Share right: high is easy.
    item_total, item_rest : Figure
        Correlation with the score, and with the score on the other items.
    biserial : Figure
        Correlation with the score if what the item splits were normal.
    alpha_if_dropped : Figure
        Reliability of the other items alone.
    """

    item: str
    n_answers: int
    difficulty: Figure
    item_total: Figure
    item_rest: Figure
    biserial: Figure
    alpha_if_dropped: Figure


@dataclass(frozen=True, slots=True)
class ScoreFigures:
    """A test by counting, over the people who saw every item.

    Parameters
    ----------
    n_people : int
        Who saw every item.
    mean, deviation : Figure
        Of the number right; variances divide by the number of people.
    kr20 : Figure
        Kuder-Richardson 20, which is Cronbach's alpha for right and wrong.
    kr21 : Figure
        Kuder-Richardson 21, as if all items were equally hard.
    standard_error : Figure
        Of measurement: deviation times the root of 1 - KR-20.
    """

    n_people: int
    mean: Figure
    deviation: Figure
    kr20: Figure
    kr21: Figure
    standard_error: Figure


def describe_scores(responses: Responses) -> ScoreFigures:
    """Return mean, deviation and reliability of the number right."""
    scores = _complete(responses)
    n_people = len(scores)
    if n_people == 0:
        none = Figure(None, "nobody has answered every item")
        return ScoreFigures(0, none, none, none, none, none)
    totals = scores.sum(axis=1)
    deviation = float(totals.std())
    kr20 = _alpha(scores)
    error = Figure(None, kr20.reason)
    if kr20.value is not None:
        error = Figure(deviation * float(np.sqrt(1 - kr20.value)), kr20.reason)
    return ScoreFigures(
        n_people=n_people,
        mean=Figure(float(totals.mean())),
        deviation=Figure(deviation),
        kr20=kr20,
        kr21=_kr21(scores),
        standard_error=error,
    )


def describe_items(responses: Responses) -> tuple[ItemFigures, ...]:
    """Return the figures of every item, in the order of the responses."""
    scores, complete = responses.scores, _complete(responses)
    n_seen = responses.seen.sum(axis=1)
    n_right = np.nansum(scores, axis=1)
    figures = []
    for at, item in enumerate(responses.items):
        own = scores[:, at]
        saw = ~np.isnan(own)
        right, seen = n_right[saw], n_seen[saw]
        item_total = _correlation(own[saw], right / seen)
        others = seen > 1
        rest = (right - own[saw])[others] / (seen[others] - 1)
        figures.append(
            ItemFigures(
                item=item,
                n_answers=int(saw.sum()),
                difficulty=_share(own[saw]),
                item_total=item_total,
                item_rest=_correlation(own[saw][others], rest),
                biserial=_biserial(item_total, own[saw]),
                alpha_if_dropped=_alpha(np.delete(complete, at, axis=1)),
            )
        )
    return tuple(figures)


def lengthened(reliability: float, times: float) -> float:
    """Return the reliability of a test so many times as long (Spearman-Brown).

    Examples
    --------
    >>> round(lengthened(0.7, 2), 6)
    0.823529
    """
    return times * reliability / (1 + (times - 1) * reliability)


def times_longer(reliability: float, wanted: float) -> float:
    """Return how many times as long a test must be for the reliability wanted (Spearman-Brown).

    Raises
    ------
    ValueError
        When either reliability is not between 0 and 1.
    """
    for each in (reliability, wanted):
        if not 0 < each < 1:
            message = f"a reliability to lengthen from or to lies between 0 and 1, got {each:g}"
            raise ValueError(message)
    return wanted * (1 - reliability) / (reliability * (1 - wanted))


def _complete(responses: Responses) -> Floats:
    """Return the rows of the people who saw everything."""
    complete: Floats = responses.scores[responses.seen.all(axis=1)]
    return complete


def _share(own: Floats) -> Figure:
    """Return the share right."""
    return Figure(float(own.mean())) if own.size else Figure(None, "nobody has answered it")


def _correlation(own: Floats, score: Floats) -> Figure:
    """Return the correlation of an item with a score; undefined, not 0, where one is constant."""
    if own.size < PEOPLE_FOR_CORRELATIONS:
        return Figure(None, f"answered by {own.size} of at least {PEOPLE_FOR_CORRELATIONS} people")
    if own.min() == own.max():
        word = "right" if own[0] else "wrong"
        return Figure(None, f"undefined: everyone who saw it was {word}")
    # Shares of different numbers of items differ by rounding where they are equal.
    if np.ptp(score) < np.finfo(float).eps * own.size:
        return Figure(None, "undefined: everyone has the same score")
    return Figure(float(np.corrcoef(own, score)[0, 1]), _caution(own.size))


def _caution(n_people: int) -> str:
    """Return why a correlation of so few is not to be trusted; empty if it is."""
    if n_people >= PEOPLE_TO_TRUST_CORRELATIONS:
        return ""
    return f"rests on {n_people} people; wait for {PEOPLE_TO_TRUST_CORRELATIONS}"


def _biserial(point_biserial: Figure, own: Floats) -> Figure:
    """Return the correlation with the normal variable that the item is thought to split."""
    if point_biserial.value is None:
        return point_biserial
    share = own.mean()
    density = np.exp(-0.5 * special.ndtri(share) ** 2) / np.sqrt(2 * np.pi)
    # (mean of right - mean of wrong) / s x pq / density, with s dividing by n - 1 as programs do.
    of_sample = np.sqrt((own.size - 1) / own.size)
    biserial = point_biserial.value * of_sample * np.sqrt(share * (1 - share)) / density
    return Figure(float(biserial), point_biserial.reason)


def _alpha(scores: Floats) -> Figure:
    """Return Cronbach's alpha of complete rows."""
    n_people, n_items = scores.shape
    reason = _no_reliability(scores)
    if reason:
        return Figure(None, reason)
    of_items = scores.var(axis=0).sum()
    alpha = n_items / (n_items - 1) * (1 - of_items / scores.sum(axis=1).var())
    return Figure(float(alpha), _caution(n_people))


def _kr21(scores: Floats) -> Figure:
    """Return Kuder-Richardson 21 of complete rows."""
    n_people, n_items = scores.shape
    reason = _no_reliability(scores)
    if reason:
        return Figure(None, reason)
    totals = scores.sum(axis=1)
    kr21 = kr21_from_moments(n_items, mean=float(totals.mean()), deviation=float(totals.std()))
    return Figure(kr21, _caution(n_people))


def kr21_from_moments(n_items: int, *, mean: float, deviation: float) -> float:
    """Return Kuder-Richardson 21 from the mean and the deviation of the number right."""
    share = mean * (n_items - mean) / (n_items * deviation**2)
    return n_items / (n_items - 1) * (1 - share)


def _no_reliability(scores: Floats) -> str:
    """Return why these rows have no reliability; empty if they have."""
    n_people, n_items = scores.shape
    if n_items < ITEMS_FOR_RELIABILITY:
        return "one item has no reliability"
    if n_people < PEOPLE_FOR_CORRELATIONS:
        return f"{n_people} people answered every item; reliability needs at least 2"
    if np.ptp(scores.sum(axis=1)) == 0:
        return "undefined: everyone has the same score"
    return ""
