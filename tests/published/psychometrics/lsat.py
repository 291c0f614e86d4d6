"""Two classic tables of answers: sections 6 and 7 of the Law School Admission Test.

Five items each, 1000 people; typed in as counts of the 32 patterns of answers. Published in Bock,
R. D. and Lieberman, M. (1970), Fitting a response model for n dichotomously scored items,
Psychometrika 35, 179-197; again in Bock, R. D. and Aitkin, M. (1981), Marginal maximum likelihood
estimation of item parameters: application of an EM algorithm, Psychometrika 46, 443-459. The same
counts are in the data set `bock` of the R package psych 2.2.9.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final, Literal

from comity.core.exam.irt import calibrate
from comity.core.exam.responses import responses_from_table

if TYPE_CHECKING:
    from comity.core.exam.irt import Calibration
    from comity.core.exam.irt_models import Model
    from comity.core.exam.responses import Responses

Section = Literal["LSAT-6", "LSAT-7"]
SECTIONS: Final[tuple[Section, ...]] = ("LSAT-6", "LSAT-7")

# The line of a pattern and its count: right answers as 1, item 1 first.
COUNTS: Final[dict[Section, str]] = {
    "LSAT-6": """
        00000 3, 00001 6, 00010 2, 00011 11, 00100 1, 00101 1,
        00110 3, 00111 4, 01000 1, 01001 8, 01011 16, 01101 3,
        01110 2, 01111 15, 10000 10, 10001 29, 10010 14, 10011 81,
        10100 3, 10101 28, 10110 15, 10111 80, 11000 16, 11001 56,
        11010 21, 11011 173, 11100 11, 11101 61, 11110 28, 11111 298
    """,
    "LSAT-7": """
        00000 12, 00001 19, 00010 1, 00011 7, 00100 3, 00101 19,
        00110 3, 00111 17, 01000 10, 01001 5, 01010 3, 01011 7,
        01100 7, 01101 23, 01110 8, 01111 28, 10000 7, 10001 39,
        10010 11, 10011 34, 10100 14, 10101 51, 10110 15, 10111 90,
        11000 6, 11001 25, 11010 7, 11011 35, 11100 18, 11101 136,
        11110 32, 11111 308
    """,
}


@cache
def responses(section: Section) -> Responses:
    """Return the answers, a row a person."""
    rows: list[list[int]] = []
    for line in COUNTS[section].split(","):
        pattern, count = line.split()
        rows += [[int(answer) for answer in pattern]] * int(count)
    return responses_from_table(rows)


@cache
def calibration(section: Section, model: Model) -> Calibration:
    """Return the items as a model sees them."""
    return calibrate(responses(section), model)
