"""What stands behind verdicts on requirements that give points, and ways to more points."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, islice
from typing import Final

from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.findings_combined import MOST_WAYS, failing, joined
from comity.core.eligibility.view import Finding, Proposal, View, finding, proposals
from comity.core.rulebook.kinds.scoring import Points, Scored

_MOST_TOGETHER: Final = 3
"""Nobody plans more than so many things at once to get the points that are missing."""


def _lacking(requirement: Points, view: View) -> list[Scored]:
    """Return the parts that give no points yet, those that apply."""
    return [scored for scored in requirement.of if failing((scored.for_,), view)]


def _held(requirement: Points, view: View) -> int:
    met = (each for each in requirement.of if view.verdict(each.for_) is Verdict.MET)
    return sum(scored.points for scored in met)


@finding.register
def _finding(requirement: Points, view: View) -> Finding:
    """Say how many points there are, and what those still missing would be given for."""
    held = _held(requirement, view)
    missing = max(requirement.needed - held, 0)
    reasons = [f"{held} of {requirement.needed} points"]
    if missing:
        found = (finding(scored.for_, view).reason for scored in _lacking(requirement, view))
        reasons += dict.fromkeys(reason for reason in found if reason)
    return Finding(
        reason="; ".join(reasons),
        amount=float(held),
        needed=float(requirement.needed),
        unit="points",
        shortfall=float(missing),
    )


@proposals.register
def _proposals(requirement: Points, view: View) -> tuple[Proposal, ...]:
    """Return the smallest sets of parts that would give the points that are missing."""
    missing = requirement.needed - _held(requirement, view)
    found = [(scored, proposals(scored.for_, view)) for scored in _lacking(requirement, view)]
    ways = [(scored.points, way) for scored, way in found if way]
    return tuple(islice(_enough(ways, missing), MOST_WAYS))


def _enough(ways: list[tuple[int, tuple[Proposal, ...]]], missing: int) -> Iterator[Proposal]:
    """Yield what gives the missing points, without anything that could be left out."""
    for size in range(1, _MOST_TOGETHER + 1):
        for chosen in combinations(ways, size):
            total = sum(points for points, _way in chosen)
            if total >= missing and total - min(points for points, _way in chosen) < missing:
                yield from joined([way for _points, way in chosen])
