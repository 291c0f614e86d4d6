"""The page of the plan: when it could be done, in which order, when to ask for papers, the money.

Written for the applicant: days and amounts, nothing in hundredths.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row of a table of the plan; what does not apply is empty."""

    what: str
    first: str = ""
    second: str = ""


@dataclass(frozen=True, slots=True)
class PlanPage:
    """All texts of the plan of one title.

    Parameters
    ----------
    lead : str
        What the page says, or why there is no plan.
    milestones : tuple of PlanRow
        What is reached, at the earliest, and the day to plan for.
    svg, alt : str
        The schedule drawn, and in words; empty without one.
    next_steps : tuple of PlanRow
        What to do now, and when.
    orders : tuple of PlanRow
        Papers that run out, the day to ask for each, and between which days.
    total : str
        What is still to be paid, in a sentence; empty for nothing.
    fees : tuple of PlanRow
        Each fee, its amount, and when.
    months : tuple of PlanRow
        What to have ready in each month.
    before : tuple of str
        What to be sure of before paying.
    """

    lead: str
    milestones: tuple[PlanRow, ...] = ()
    svg: str = ""
    alt: str = ""
    next_steps: tuple[PlanRow, ...] = ()
    orders: tuple[PlanRow, ...] = ()
    total: str = ""
    fees: tuple[PlanRow, ...] = ()
    months: tuple[PlanRow, ...] = ()
    before: tuple[str, ...] = ()
