"""Which edition's word counts on which day, for lists that look at many days at once."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER
from comity.core.rulebook.editions import days_of, everything_in, possible_on, title_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.days.period import Period
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition, Rulebook

Events = tuple[tuple[str, "Day"], ...]
"""Milestones past, each with its day."""


def choosing_milestones(rulebook: Rulebook) -> frozenset[str]:
    """Return the milestones whose day chooses an edition, or that of a single requirement."""
    names = {edition.applies.by for edition in rulebook.editions}
    for edition in rulebook.editions:
        for title in edition.titles:
            for listed in everything_in(title):
                names.add(listed.requirement.applies_by or edition.applies.by)
    return frozenset(names)


def choosing_events(applicant: Applicant, choosing: frozenset[str]) -> Events:
    """Return the events past that choose an edition; a day known only in part chooses none."""
    found = {
        step.milestone.rsplit("/", 1)[-1]: step.on.latest
        for step in applicant.progress
        if step.on.is_exact
    }
    return tuple(sorted((name, day) for name, day in found.items() if name in choosing))


def runs_of_editions(rulebook: Rulebook) -> list[Run]:
    """Return the runs of days inside which the same editions apply."""
    ends = {0, FOREVER}
    for edition in rulebook.editions:
        for run in days_of(edition.applies):
            ends.update((run.start, run.end))
    return list(pairwise(sorted(ends)))


def days_by_margin(rulebook: Rulebook) -> Mapping[Period | None, list[Run]]:
    """Return the days by how far off the edition of the day takes a doubtful date to be."""
    if len({each.margin for each in rulebook.editions}) == 1:
        return {rulebook.editions[0].margin: [(0, FOREVER)]}
    found: dict[Period | None, list[Run]] = defaultdict(list)
    for run in runs_of_editions(rulebook):
        applying = possible_on(rulebook, run[0]) or rulebook.editions
        found[applying[-1].margin].append(run)
    return found


def edition_on(rulebook: Rulebook, title: str, *, day: Day, events: Mapping[str, Day]) -> Edition:
    """Return the edition with the title whose word counts on a day, as an assessment picks it."""
    having = [each for each in rulebook.editions if title_of(each, title) is not None]
    newest_first = having[::-1]
    for edition in newest_first:
        if events.get(edition.applies.by) in days_of(edition.applies).possible:
            return edition
    for edition in newest_first:
        if day in days_of(edition.applies).certain:
            return edition
    for edition in newest_first:
        if day in days_of(edition.applies).possible:
            return edition
    later = [each for each in having if days_of(each.applies).possible.start > day]
    return later[0] if later else having[-1]
