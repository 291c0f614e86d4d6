"""What an applicant may be told: a few sentences, without figures, each with its caution."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from comity.core.exam.readiness import Readiness


class Standing(StrEnum):
    """How an applicant stands, in few and wide steps."""

    FAR = "far"
    ON_THE_WAY = "on the way"
    OPEN = "open"
    LIKELY = "likely"


@dataclass(frozen=True, slots=True)
class Words:
    """What to tell.

    Parameters
    ----------
    standing : Standing
    sentence : str
        How it looks.
    advice : str
        What to do next.
    caution : str
        What it cannot tell; never left out.
    """

    standing: Standing
    sentence: str
    advice: str
    caution: str


CAUTION: Final = (
    "This rests on your practice here, not on the examination itself. The examination can be harder"
    " or easier, and a day can go well or badly. Talk to your adviser before you book or move a"
    " date."
)
TOO_EARLY: Final = "There is not enough practice yet to say anything about the examination."
WORDS: Final = {
    Standing.FAR: Words(
        Standing.FAR,
        "By your practice so far, most people like you would not pass on that day yet.",
        "There is a good way to go, and study helps. Ask your adviser about a later date.",
        CAUTION,
    ),
    Standing.ON_THE_WAY: Words(
        Standing.ON_THE_WAY,
        "By your practice so far, you are on the way, and passing on that day would need luck.",
        "More practice before then, or a later date, would help you.",
        CAUTION,
    ),
    Standing.OPEN: Words(
        Standing.OPEN,
        "By your practice so far, it could go either way on that day.",
        "Go on with your study plan; every week of practice counts now.",
        CAUTION,
    ),
    Standing.LIKELY: Words(
        Standing.LIKELY,
        "By your practice so far, most people like you would pass on that day.",
        "Keep practising until the day, so that you do not forget what you know.",
        CAUTION,
    ),
}
"""Every sentence there is, so that all of them can be translated."""
_STEPS: Final = ((0.8, Standing.LIKELY), (0.5, Standing.OPEN), (0.2, Standing.ON_THE_WAY))
NOT_TOO_LOW: Final = 0.5
"""Most would pass is only said where even the low end of the interval is no worse than even."""


def words_for_applicant(readiness: Readiness) -> Words | None:
    """Return what an applicant may be told; None while it would rest on too little.

    Whether applicants are told at all is for their office to decide.
    """
    if not readiness.enough or readiness.p_pass is None or readiness.low is None:
        return None
    standing = next((each for step, each in _STEPS if readiness.p_pass >= step), Standing.FAR)
    if standing is Standing.LIKELY and readiness.low < NOT_TOO_LOW:
        standing = Standing.OPEN
    return WORDS[standing]
