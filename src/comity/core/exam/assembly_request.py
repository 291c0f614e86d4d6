"""What is asked of forms, and what comes of it: the values that assembling takes and gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from comity.core.exam.reviews import ReviewState

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.items import Level

Sort = Literal["domain", "level", "part", "calculating", "time", "overlap", "apart", "score"]
"""What a condition is about."""

LEFT_ASIDE: Final = frozenset({"level", "part", "calculating", "time", "writing"})
"""Conditions of a blueprint that a request may leave aside."""

USABLE: Final = frozenset({ReviewState.DRAFT, ReviewState.READ_AGAIN, ReviewState.APPROVED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What is asked of forms, beside their blueprint.

    Parameters
    ----------
    n_forms : int
        Forms made at once; they share no item and are alike in information.
    n_items, minutes : int, optional
        Of each form; left out, as the blueprint says.
    at : float, optional
        Ability at the cut score. Left out: where the mean item of the bank is answered right as
        often as the pass mark asks.
    target : tuple of (float, float)
        Abilities with the information wanted there; the largest distance from it is made small.
        Empty: the information at the cut is made large, and that of the weakest form counts.
    score : (float, float), optional
        Least and greatest number of right answers to expect at the cut.
    earlier : tuple of frozenset of str
        Ids of the items of each earlier form.
    most_shared : int
        Items that a form may share with each earlier one.
    without : frozenset of str
        Ids of items not to be used.
    apart : tuple of frozenset of str
        Further items of which a form may hold one at most.
    states : frozenset of ReviewState
        Items that have come so far may be used.
    slack : int
        Items by which levels, parts and calculations may differ from the blueprint; the domains
        may not.
    leave_aside : frozenset of str
        Conditions not asked for: ``level``, ``part``, ``calculating``, ``time``, or ``writing``
        (items of which one tells the other).
    seconds : float
        How long the solver may take.
    gap : float
        Share of the objective by which the forms may miss what is possible.
    seed : int
        Of the lot that decides between items as good as each other.
    """

    n_forms: int = 1
    n_items: int | None = None
    minutes: int | None = None
    at: float | None = None
    target: tuple[tuple[float, float], ...] = ()
    score: tuple[float, float] | None = None
    earlier: tuple[frozenset[str], ...] = ()
    most_shared: int = 0
    without: frozenset[str] = frozenset()
    apart: tuple[frozenset[str], ...] = ()
    states: frozenset[ReviewState] = USABLE
    slack: int = 0
    leave_aside: frozenset[str] = frozenset()
    seconds: float = 30.0
    gap: float = 0.0
    seed: int = 0

    def n_items_by(self, blueprint: Blueprint) -> int | None:
        """Return how many items a form has; None where neither says."""
        return blueprint.n_items if self.n_items is None else self.n_items

    def minutes_by(self, blueprint: Blueprint) -> int | None:
        """Return the time of a form; None where there is no limit, or it is left aside."""
        if "time" in self.leave_aside:
            return None
        return blueprint.minutes if self.minutes is None else self.minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form.

    Parameters
    ----------
    items : tuple of str
        Ids, domain by domain as in the blueprint, the items of a case one after the other.
    information : float
        At the cut.
    curve : tuple of float
        Information at the abilities of the target, if there is one.
    expected_score : float
        Right answers to expect of a person at the cut.
    seconds : int
        Time that its items take.
    counts : mapping
        Items by domain and level.
    shared : tuple of int
        Items shared with each earlier form.
    """

    items: tuple[str, ...]
    information: float
    curve: tuple[float, ...]
    expected_score: float
    seconds: int
    counts: Mapping[tuple[str, Level], int]
    shared: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembled:
    """Forms that keep every condition, which was checked again without the solver.

    Parameters
    ----------
    forms : tuple of Form
        As many as were asked for.
    at : float
        Ability at the cut.
    objective : float
        Information of the weakest form at the cut; with a target, the largest distance from it.
    bound : float
        No forms can do better than this.
    gap : float
        Distance of the objective from the bound, as a share of the bound (of 1, where the bound
        is less).
    is_proved : bool
        Whether the gap is within what was asked for.
    notes : tuple of str
        What whoever asked should know.
    """

    forms: tuple[Form, ...]
    at: float
    objective: float
    bound: float
    gap: float
    is_proved: bool
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Infeasible:
    """No forms, and why.

    Parameters
    ----------
    reasons : tuple of str
        A sentence for each condition that fails.
    together : tuple of str
        Conditions that each could be kept, but not all of them at once; leaving out any one of
        them would help.
    is_proved : bool
        False where the time ran out before forms were found or shown to be impossible.
    """

    reasons: tuple[str, ...]
    together: tuple[str, ...] = ()
    is_proved: bool = True
