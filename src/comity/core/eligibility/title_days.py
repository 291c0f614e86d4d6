"""The days of every requirement of a title over all its editions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from comity.core.days.calendar import Day
from comity.core.days.dayset import DaySet
from comity.core.eligibility.context import Memo
from comity.core.eligibility.edition_days import EditionDays, EditionEvaluation, edition_submission
from comity.core.eligibility.merging import Merging
from comity.core.eligibility.triple import Days
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
    """

    editions: tuple[EditionDays, ...]
    requirements: Mapping[str, Days]
    submission: Days
    covered: DaySet


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
    requirements = {name: merge.requirement(name) for name in ids}
    nothing = Days.of(DaySet.empty(columns.n_rows))
    submission = merge.over([*map(edition_submission, evaluated), *[nothing] * merge.n_without])
    return TitleDays(tuple(evaluated), requirements, submission, merge.covered)
