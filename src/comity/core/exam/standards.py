"""Where to set the pass mark: modified Angoff with its standard error, Hofstee, Beuk, bookmark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

JUDGES_AT_LEAST: Final = 2
MissingRule = Literal["item means", "complete judges"]


class StandardSettingError(ValueError):
    """The judgements or scores do not allow the method."""


@dataclass(frozen=True, slots=True)
class CutScore:
    """A pass mark, or why there is none.

    Parameters
    ----------
    cut : float or None
        In items right.
    standard_error : float or None
        Over judges; None where the method has none or there are too few judges.
    rule : str
        What was done, including the rule for missing ratings.
    reason : str
        Why cut or standard error is None, else empty.
    """

    cut: float | None
    standard_error: float | None
    rule: str
    reason: str = ""


def angoff(ratings: npt.ArrayLike, *, missing: MissingRule = "item means") -> CutScore:
    """Return the number right that judges expect of someone who only just deserves to pass.

    Parameters
    ----------
    ratings : array_like of shape (n_judges, n_items)
        The share of such people who would get the item right, 0 to 1; NaN where a judge gave none.
        Of several rounds, the last one.
    missing : {"item means", "complete judges"}
        With ratings missing the two differ. "item means" adds up the mean of each item over the
        judges who rated it; "complete judges" leaves out judges who did not rate everything.

    Notes
    -----
    The standard error is the jackknife over judges, which for complete ratings is the standard
    deviation of the judges' sums over the root of their number.

    Raises
    ------
    StandardSettingError
        When a rating is outside 0 to 1 or an item has no rating.
    """
    table = np.atleast_2d(np.asarray(ratings, dtype=np.float64))
    _refuse_bad_ratings(table)
    if missing == "complete judges":
        table = table[~np.isnan(table).any(axis=1)]
        if not len(table):
            return CutScore(None, None, _ANGOFF[missing], "no judge rated every item")
    cut = float(_sum_of_item_means(table))
    if len(table) < JUDGES_AT_LEAST:
        return CutScore(cut, None, _ANGOFF[missing], "one judge has no standard error")
    without = [_sum_of_item_means(np.delete(table, judge, axis=0)) for judge in range(len(table))]
    if np.isnan(without).any():
        reason = "an item was rated by one judge only, so the judges cannot be compared on it"
        return CutScore(cut, None, _ANGOFF[missing], reason)
    n_judges = len(table)
    spread = ((np.array(without) - np.mean(without)) ** 2).sum()
    return CutScore(cut, float(np.sqrt(spread * (n_judges - 1) / n_judges)), _ANGOFF[missing])


_ANGOFF: dict[str, str] = {
    "item means": "modified Angoff: sum over items of the mean of the judges who rated each",
    "complete judges": "modified Angoff: mean sum of the judges who rated every item",
}


@dataclass(frozen=True, slots=True)
class Compromise:
    """What judges will bear (Hofstee).

    Parameters
    ----------
    min_cut, max_cut : float
        Lowest and highest pass mark that would still be right, in items.
    min_fail, max_fail : float
        Lowest and highest share failing that would still be right, 0 to 1.
    """

    min_cut: float
    max_cut: float
    min_fail: float
    max_fail: float


def hofstee(scores: npt.ArrayLike, bounds: Compromise) -> CutScore:
    """Return where the line from (min cut, max fail) to (max cut, min fail) meets the fail curve.

    The fail curve is the share scoring below a mark, linear between whole marks. The line may miss
    it: then no pass mark satisfies the judges, and the answer says so.

    References
    ----------
    Hofstee, W. K. B. (1983). The case for compromise in educational selection and grading. In
    Anderson and Helmick (eds.), On educational testing, 109-127.
    """
    if not (bounds.min_cut < bounds.max_cut and 0 <= bounds.min_fail <= bounds.max_fail <= 1):
        message = f"bounds must rise from low to high and shares lie in 0 to 1, got {bounds}"
        raise StandardSettingError(message)
    marks, fail = fail_curve(scores)
    slope = (bounds.min_fail - bounds.max_fail) / (bounds.max_cut - bounds.min_cut)
    cut = _crossing(marks, fail - (bounds.max_fail + slope * (marks - bounds.min_cut)))
    if cut is None or not bounds.min_cut <= cut <= bounds.max_cut:
        reason = "the line of what the judges will bear misses the curve of who would fail"
        return CutScore(None, None, _HOFSTEE, reason)
    return CutScore(cut, None, _HOFSTEE)


_HOFSTEE = "Hofstee: where acceptable marks and fail shares meet the scores"


def beuk(scores: npt.ArrayLike, cuts: npt.ArrayLike, passes: npt.ArrayLike) -> CutScore:
    """Return the compromise between the judges' marks and the pass shares they expect.

    Parameters
    ----------
    scores : array_like
        Numbers right.
    cuts, passes : array_like of shape (n_judges,)
        The pass mark each judge wants, and the share each expects to pass.
    """
    marks_wanted = np.asarray(cuts, dtype=np.float64)
    shares = np.asarray(passes, dtype=np.float64)
    if marks_wanted.size < JUDGES_AT_LEAST or marks_wanted.shape != shares.shape:
        message = f"two judges at least, with a mark and a share each; got {marks_wanted.size}"
        raise StandardSettingError(message)
    return beuk_from_moments(
        scores,
        cut=(float(marks_wanted.mean()), float(marks_wanted.std(ddof=1))),
        passing=(float(shares.mean()), float(shares.std(ddof=1))),
    )


def beuk_from_moments(
    scores: npt.ArrayLike, *, cut: tuple[float, float], passing: tuple[float, float]
) -> CutScore:
    """Return Beuk's compromise from mean and deviation of the judges' marks and pass shares.

    From the point of both means a line is drawn whose slope is the ratio of the deviations: the
    judges give way most where they agree least. The pass mark is where it meets the pass curve.

    References
    ----------
    Beuk, C. H. (1984). A method for reaching a compromise between absolute and relative standards
    in examinations. Journal of Educational Measurement 21, 147-152.
    """
    if cut[1] == 0:
        return CutScore(cut[0], None, _BEUK, "" if passing[1] else "all judges agree")
    marks, fail = fail_curve(scores)
    line = passing[0] + passing[1] / cut[1] * (marks - cut[0])
    found = _crossing(marks, line - (1 - fail))
    if found is None:
        return CutScore(None, None, _BEUK, "the judges' line misses the curve of who would pass")
    return CutScore(found, None, _BEUK)


_BEUK = "Beuk: between the judges' mean mark and mean pass share, by how far they differ"


def bookmark_ability(b: float, *, a: float = 1.0, response_probability: float = 2 / 3) -> float:
    """Return the ability at which an item is answered right with the probability asked for."""
    odds = response_probability / (1 - response_probability)
    return float(b + np.log(odds) / a)


def fail_curve(scores: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return the whole marks from 0 to one above the best score, and the share below each."""
    found = np.asarray(scores, dtype=np.float64)
    if found.size == 0 or np.isnan(found).any() or (found < 0).any():
        message = "scores must be numbers right, at least one and none missing"
        raise StandardSettingError(message)
    marks = np.arange(np.floor(found.max()) + 2)
    return marks, np.searchsorted(np.sort(found), marks, side="left") / found.size


def _crossing(marks: Floats, gap: Floats) -> float | None:
    """Return where a rising piecewise linear gap first reaches 0."""
    if gap[0] == 0:
        return float(marks[0])
    after = np.flatnonzero((gap[:-1] < 0) & (gap[1:] >= 0))
    if not after.size:
        return None
    at = after[0]
    return float(marks[at] + gap[at] / (gap[at] - gap[at + 1]) * (marks[at + 1] - marks[at]))


def _sum_of_item_means(table: Floats) -> float:
    """Return the sum of item means; NaN when an item has no rating left."""
    n_rated = (~np.isnan(table)).sum(axis=0)
    if (n_rated == 0).any():
        return float("nan")
    return float((np.nansum(table, axis=0) / n_rated).sum())


def _refuse_bad_ratings(table: Floats) -> None:
    """Raise when a rating cannot be a share or an item was rated by nobody."""
    bad = table[(table < 0) | (table > 1)]
    if bad.size:
        message = f"ratings are shares from 0 to 1, got {bad[0]:g}; write 70 % as 0.7"
        raise StandardSettingError(message)
    unrated = np.flatnonzero(np.isnan(table).all(axis=0))
    if unrated.size or table.size == 0:
        message = f"no judge rated item {unrated[0] + 1}" if unrated.size else "no ratings given"
        raise StandardSettingError(message)
