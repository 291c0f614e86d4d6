"""What the verdicts on single requirements come to together, and which of them decides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from comity.core.days.calendar import FOREVER, Day
from comity.core.eligibility.assessment import RequirementResult, Verdict
from comity.core.eligibility.inquiry import Inquiry
from comity.core.eligibility.missing import ORDER_OF_ASKING
from comity.core.eligibility.results import Judged
from comity.core.rulebook import editions

CLOSE: Final = 0.1
"""What is missed by a tenth of what is needed is missed by little."""
_ORDER: Final = (
    Verdict.NOT_MET,
    Verdict.UNKNOWN,
    Verdict.REFER,
    Verdict.MET,
    Verdict.NOT_APPLICABLE,
)


def decides(judged: Judged) -> bool:
    """Tell whether the authority asks for it; what employers ask never decides the answer."""
    return judged.top.listed.requirement.demanded_by == "authority"


def is_failing(result: RequirementResult) -> bool:
    """Tell whether a requirement stands in the way, or may."""
    return result.verdict not in {Verdict.MET, Verdict.NOT_APPLICABLE}


def is_first(judged: Judged, inquiry: Inquiry) -> bool:
    """Tell whether it is checked at the first milestone, when one applies."""
    return judged.result.at == editions.first_milestone(inquiry.chosen.title)


def is_close(result: RequirementResult) -> bool:
    """Tell whether a measured requirement is missed by a tenth at the most."""
    if not result.needed or result.shortfall is None:
        return False
    return 0 < result.shortfall <= CLOSE * result.needed


def rank(judged: Judged, inquiry: Inquiry) -> tuple[bool, bool, int, Day]:
    """Return the order in which results stand: what decides comes first.

    What is checked later stands behind, unless it can never be met. Among what is met, that comes
    first which ends first.
    """
    result = judged.result
    until = FOREVER if result.until is None else result.until
    decides_now = is_first(judged, inquiry) or later_verdict(judged, inquiry) is not Verdict.MET
    return not decides(judged), not decides_now, _ORDER.index(result.verdict), until


def verdict_on_all(judged: Sequence[Judged], inquiry: Inquiry) -> Verdict:
    """Return the verdict on submission; a later check point that can never be met sinks it."""
    verdicts = [inquiry.submission_verdict()]
    later = [each for each in judged if decides(each) and not is_first(each, inquiry)]
    verdicts.extend(later_verdict(each, inquiry) for each in later)
    worst = min(verdicts, key=_ORDER.index)
    if worst is Verdict.MET and not inquiry.chosen.edition.wholly_read:
        return Verdict.UNKNOWN
    return worst


def later_verdict(judged: Judged, inquiry: Inquiry) -> Verdict:
    """Return not met for what can never be, refer for what only the authority can settle."""
    if judged.result.verdict in {Verdict.MET, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN}:
        return Verdict.MET
    if judged.mended is not None and judged.result.verdict is not Verdict.REFER:
        return Verdict.MET
    days, on, twin = judged.days, inquiry.question.on, inquiry.view.twin
    if days.yes.next_day(on)[twin] < FOREVER:
        return Verdict.MET
    return Verdict.REFER if days.ok.next_day(on)[twin] < FOREVER else Verdict.NOT_MET


def next_question(results: Sequence[RequirementResult]) -> str | None:
    """Return the missing fact that most of the unknown requirements wait for."""
    counts: dict[str, int] = {}
    for result in results:
        for path in result.missing:
            counts[path] = counts.get(path, 0) + 1
    # An applicant cannot tell what an adviser has still to look at.
    askable = [path for path in counts if not path.startswith("reviews/")]
    return max(
        askable,
        key=lambda path: (counts[path], -ORDER_OF_ASKING.index(path.split("/")[0])),
        default=None,
    )
