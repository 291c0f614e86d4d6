"""What is wrong with rulebooks in themselves, before anybody is assessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from comity.core.days.calendar import Day
from comity.core.rulebook.checks_editions import find_between, find_stale
from comity.core.rulebook.checks_links import (
    find_double_ids,
    find_loose_ends,
    find_unknown_documents,
    find_unknown_milestones,
    find_unnamed,
)
from comity.core.rulebook.checks_plan import find_past_sittings, find_unplannable
from comity.core.rulebook.checks_possible import find_impossible
from comity.core.rulebook.checks_rings import find_rings
from comity.core.rulebook.checks_values import find_odd_values
from comity.core.rulebook.findings import Finding
from comity.core.rulebook.model import Edition

CHECKS = (
    find_double_ids,
    find_unnamed,
    find_unknown_milestones,
    find_unknown_documents,
    find_loose_ends,
    find_rings,
    find_odd_values,
    find_impossible,
    find_unplannable,
)


def check_editions(editions: Sequence[Edition], *, today: Day | None = None) -> Iterator[Finding]:
    """Yield what is wrong in and between the editions of one authority.

    Parameters
    ----------
    editions : sequence of Edition
        Oldest first.
    today : Day, optional
        The day by which an edition may have become stale; None looks at no staleness.
    """
    for index, edition in enumerate(editions):
        for finding in check_edition(edition, today=today):
            related = tuple(other._replace(edition=index) for other in finding.related)
            yield replace(finding, edition=index, related=related)
    yield from find_between(editions)


def check_edition(edition: Edition, *, today: Day | None = None) -> Iterator[Finding]:
    """Yield what is wrong in one edition."""
    for check in CHECKS:
        yield from check(edition)
    if today is not None:
        yield from find_stale(edition, today=today)
        yield from find_past_sittings(edition, today=today)
