"""The page on readiness: how it looks, what to do, what it cannot tell, and the weeks of study.

Written for the applicant: no figure of a chance stands here, and the caution is never left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from comity.brief.planned import PlanRow


@dataclass(frozen=True, slots=True)
class ReadyPage:
    """All texts of the page.

    Parameters
    ----------
    about : str
        Which examination.
    sentence, advice, caution : str
        How it looks, what to do next, and what it cannot tell.
    weeks : tuple of PlanRow
        The day a week begins, its hours, and what to study in it.
    """

    about: str
    sentence: str
    advice: str
    caution: str
    weeks: tuple[PlanRow, ...] = ()
