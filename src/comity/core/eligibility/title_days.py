"""The days of every requirement of a title over all its editions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from comity.core.days.calendar import Day
from comity.core.days.dayset import DaySet
from comity.core.eligibility.context import Memo
from comity.core.eligibility.edition_days import EditionDays, EditionEvaluation, edition_submission
from comity.core.eligibility.merging import Merging
from comity.core.eligibility.triple import Days, complemented, every
from comity.core.facts.columns import Columns
from comity.core.rulebook import editions
from comity.core.rulebook.model import Edition


@dataclass(frozen=True, slots=True)
class TitleDays:
    """A title over all its editions.

    Parameters
    ----------
    editions : tuple of EditionDays
        Oldest first.
    requirements : mapping
        By id, the days over all editions.
    submission : Days
        Days on which everything checked at the first milestone holds together.
    covered : DaySet
        Days on which some edition may apply.
    chosen_by : mapping
        By id, the edition which an event past has chosen for one requirement (`applies_by`).
    """

    editions: tuple[EditionDays, ...]
    requirements: Mapping[str, Days]
    submission: Days
    covered: DaySet
    chosen_by: Mapping[str, EditionDays] = field(default_factory=dict)


def title_days(
    rulebook_editions: Sequence[Edition],
    title_id: str,
    columns: Columns,
    *,
    events: Mapping[str, Day],
    known: Mapping[str, Mapping[str, Memo]] | None = None,
) -> TitleDays:
    """Return the days of a title over all editions, each on the days on which it applies.

    Parameters
    ----------
    rulebook_editions : sequence of Edition
        Of one authority, oldest first; while one applies that has not got the title, nothing holds.
    title_id : str
        The title.
    columns : Columns
        The facts.
    events : mapping
        Milestones that have happened, with their day; an edition that applies by one of them is
        chosen for good.
    known : mapping, optional
        By edition and title, days of requirements that stand whatever has changed.
    """
    evaluated = []
    for edition in rulebook_editions:
        title = editions.title_of(edition, title_id)
        if title is not None:
            evaluated.append(
                EditionEvaluation(edition, columns, (known or {}).get(edition.rulebook)).title_days(
                    title
                )
            )
    without = [each for each in rulebook_editions if not editions.title_of(each, title_id)]
    merge = Merging.of(evaluated, without if evaluated else [], columns=columns, events=events)
    ids = dict.fromkeys(top.id for days in reversed(evaluated) for top in days.tops)
    requirements = merge.requirements(tuple(ids))
    nothing = [Days.of(DaySet.empty(columns.n_rows))] * merge.n_without
    own_events = _own_events(evaluated, events)
    for name, by in own_events.items():
        own = Merging.of(evaluated, without, columns=columns, events=events, by=by)
        requirements.update(own.requirements((name,)))
    if own_events:
        submission = _submission(
            evaluated, requirements, merge.over([*_inside(evaluated), *nothing])
        )
    else:
        submission = merge.over([*map(edition_submission, evaluated), *nothing])
    return TitleDays(
        editions=tuple(evaluated),
        requirements=requirements,
        submission=submission,
        covered=merge.covered,
        chosen_by={
            name: days
            for name, by in own_events.items()
            for days in evaluated
            if events[by] in editions.days_of(days.edition.applies).possible
        },
    )


def _own_events(evaluated: Sequence[EditionDays], events: Mapping[str, Day]) -> dict[str, str]:
    """Return the requirements for which an event past chooses the edition, with that event."""
    named = {top.id: top.listed.requirement.applies_by for days in evaluated for top in days.tops}
    return {name: by for name, by in named.items() if by is not None and by in events}


def _inside(evaluated: Sequence[EditionDays]) -> list[Days]:
    """Return for each edition the days on which some pathway fits."""
    full = DaySet.full(evaluated[0].n_rows) if evaluated else DaySet.empty(0)
    return [
        Days.of(full if days.outside is None else complemented(days.outside)) for days in evaluated
    ]


def _submission(
    evaluated: Sequence[EditionDays], requirements: Mapping[str, Days], inside: Days
) -> Days:
    """Return where everything checked at submission holds, each under the edition chosen for it."""
    deciding = dict.fromkeys(
        top.id for days in evaluated for top in days.deciding(editions.first_milestone(days.title))
    )
    whole = every([requirements[name] for name in deciding], inside.yes.n_rows)
    return Days(whole.yes & inside.yes, whole.ok & inside.yes)
