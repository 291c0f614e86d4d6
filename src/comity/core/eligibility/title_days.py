"""The days of every requirement of a title, edition by edition and over all editions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.dayset import DaySet, at_least
from comity.core.eligibility.context import Memo
from comity.core.eligibility.days_of import Context, days_of
from comity.core.eligibility.triple import Days, complemented, every
from comity.core.facts.columns import Columns
from comity.core.rulebook import editions
from comity.core.rulebook.editions import Listed
from comity.core.rulebook.model import Deems, Edition, Title


@dataclass(frozen=True, slots=True)
class Top:
    """A requirement listed under a title or one of its pathways, and its days."""

    listed: Listed
    days: Days
    pathway: str | None = None

    @property
    def id(self) -> str:
        """The requirement's id."""
        return self.listed.requirement.id or "/".join(map(str, self.listed.path))


@dataclass(frozen=True, slots=True)
class EditionDays:
    """One edition of a title: its requirements with their days.

    `pathways` holds for each pathway the days on which it is the one; `outside` the days on which
    none fits.
    """

    edition: Edition
    title: Title
    context: Context
    tops: tuple[Top, ...]
    pathways: Mapping[str, Days]
    outside: DaySet | None

    @property
    def n_rows(self) -> int:
        """Number of rows of the day-sets."""
        return self.tops[0].days.yes.n_rows if self.tops else self.context.n_rows

    def deciding(self, at: str) -> list[Top]:
        """Return what the authority checks at a milestone."""
        return [
            top
            for top in self.tops
            if top.listed.at == at and top.listed.requirement.demanded_by == "authority"
        ]


class EditionEvaluation:
    """The evaluation of one edition over columns; titles are worked out when asked for."""

    def __init__(
        self, edition: Edition, columns: Columns, known: Mapping[str, Memo] | None = None
    ) -> None:
        """Take an edition and the facts; `known` holds days that stand, by title."""
        self.edition = edition
        self.columns = columns
        self._known = known or {}
        self._contexts: dict[str, Context] = {}

    def title_days(self, title: Title) -> EditionDays:
        """Return the days of every requirement of a title."""
        context = self.context(title)
        pathways, outside = self._pathways(title, context)
        tops = []
        for listed in editions.requirements_of(title):
            days = days_of(listed.requirement, context)
            pathway = _pathway_of(listed, title)
            if pathway is not None:
                days = _only_on(days, pathways[pathway])
            tops.append(Top(listed, days, pathway))
        return EditionDays(self.edition, title, context, tuple(tops), pathways, outside)

    def context(self, title: Title) -> Context:
        """Return the context of a title's requirements."""
        known = self._contexts.get(title.id)
        if known is None:
            known = self._contexts[title.id] = Context(
                self.columns,
                prefix=f"{self.edition.authority.id}/{title.id}",
                same_as=partial(self._same_as, title),
                deems=self._deems(title),
                memo=dict(self._known.get(title.id, {})),
            )
        return known

    def _same_as(self, title: Title, name: str) -> Days:
        found = editions.target_of(self.edition, title, name=name)
        if found is None:
            msg = f"no requirement {name!r} in {self.edition.rulebook!r}"
            raise LookupError(msg)
        place, listed = found
        return days_of(listed.requirement, self.context(place))

    def _deems(self, title: Title) -> dict[str, tuple[partial[Days], ...]]:
        by_id: dict[str, tuple[partial[Days], ...]] = {}
        for deems in title.deems:
            for satisfied in deems.satisfies:
                circumstance = partial(self._circumstance, title, deems)
                by_id[satisfied] = (*by_id.get(satisfied, ()), circumstance)
        return by_id

    def _circumstance(self, title: Title, deems: Deems) -> Days:
        return days_of(deems.when, self.context(title))

    def _pathways(self, title: Title, context: Context) -> tuple[dict[str, Days], DaySet | None]:
        """Return the days on which each pathway is the first that fits, and those of none."""
        if not title.pathways:
            return {}, None
        rest = DaySet.full(context.n_rows)
        found: dict[str, Days] = {}
        for pathway in title.pathways:
            if pathway.when is None:
                fits = DaySet.full(context.n_rows)
            else:
                fits = days_of(pathway.when, context).yes
            found[pathway.id] = Days.of(rest & fits)
            rest = rest & complemented(fits)
        return found, rest


def _pathway_of(listed: Listed, title: Title) -> str | None:
    if listed.path[0] != "pathways":
        return None
    return title.pathways[int(listed.path[1])].id


def _only_on(days: Days, chosen: Days) -> Days:
    """Return what applies only on the days on which its pathway is the one."""
    na = complemented(chosen.yes)
    return Days(days.yes, days.ok, na if days.na is None else days.na | na)


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


def edition_submission(days: EditionDays) -> Days:
    """Return where everything holds that one edition checks at its first milestone."""
    n_rows = days.n_rows
    parts = [top.days for top in days.deciding(editions.first_milestone(days.title))]
    whole = every(parts, n_rows) if parts else Days.of(DaySet.full(n_rows))
    yes, ok = whole.yes, whole.ok
    if days.outside is not None:
        inside = complemented(days.outside)
        yes, ok = yes & inside, ok & inside
    return Days(yes, ok)


@dataclass(frozen=True, slots=True)
class Merging:
    """How the editions share the days among them.

    `possible` holds the days on which each edition may apply, those left out on which another one
    applies for certain; `uncovered` holds the days of none, in possible rows only: there anything
    may hold. Last among the editions come `n_without` which have not got the title.
    """

    evaluated: Sequence[EditionDays]
    n_without: int
    possible: tuple[DaySet, ...]
    covered: DaySet
    uncovered: DaySet
    is_exact: bool
    certain_rows: DaySet

    @classmethod
    def of(
        cls,
        evaluated: Sequence[EditionDays],
        without: Sequence[Edition],
        *,
        columns: Columns,
        events: Mapping[str, Day],
    ) -> Merging:
        """Return the sharing of days among evaluated editions and those without the title."""
        n_rows = columns.n_rows
        shared = [*(days.edition for days in evaluated), *without]
        runs = [_runs_of(edition, events) for edition in shared]
        ranges = [DaySet.between(*run.possible, n_rows=n_rows) for run in runs]
        covered = at_least(1, ranges) if ranges else DaySet.empty(n_rows)
        certain_rows = DaySet.where(~columns.possible)
        ordered = sorted(run.possible for run in runs if run.possible.start < run.possible.end)
        is_exact = all(first.end <= second.start for first, second in pairwise(ordered))
        if not is_exact:
            own = [DaySet.between(*run.certain, n_rows=n_rows) for run in runs]
            sure = at_least(1, own)
            ranges = [may - (sure - mine) for may, mine in zip(ranges, own, strict=True)]
        uncovered = covered.complement() - certain_rows
        return cls(
            evaluated=evaluated,
            n_without=len(without),
            possible=tuple(ranges),
            covered=covered,
            uncovered=uncovered,
            is_exact=is_exact,
            certain_rows=certain_rows,
        )

    def requirement(self, name: str) -> Days:
        """Return the days of one requirement over all editions; absent it does not apply."""
        full = DaySet.full(self.covered.n_rows)
        parts = []
        for days in self.evaluated:
            found = next((top.days for top in days.tops if top.id == name), None)
            parts.append(found if found is not None else Days(full, full, full))
        return self.over([*parts, *[Days(full, full, full)] * self.n_without])

    def over(self, parts: Sequence[Days]) -> Days:
        """Return days which are each edition's own where it applies."""
        yes = self._shared([part.yes for part in parts])
        ok = yes
        if any(part.ok is not part.yes for part in parts):
            ok = self._shared([part.ok for part in parts])
        na = None
        if any(part.na is not None for part in parts):
            empty = DaySet.empty(self.covered.n_rows)
            sets = [empty if part.na is None else part.na for part in parts]
            na = self._shared(sets) & self.covered
        return Days(yes, ok, na)

    def _shared(self, sets: Sequence[DaySet]) -> DaySet:
        """Return what holds in every edition that may apply (certain), or in one (possible)."""
        if len(sets) == 1:
            # Twice, so that it counts alone; elsewhere the requirement and its edition count.
            return at_least(2, [sets[0], self.covered, self.uncovered, self.uncovered])
        within = [days & run for days, run in zip(sets, self.possible, strict=True)]
        maybe = at_least(1, [*within, self.uncovered])
        if self.is_exact:
            return maybe
        surely = [days | run.complement() for days, run in zip(sets, self.possible, strict=True)]
        certain = at_least(len(surely), [*surely]) & self.covered & self.certain_rows
        return certain | (maybe - self.certain_rows)


def _runs_of(edition: Edition, events: Mapping[str, Day]) -> editions.Applicability:
    """Return the days on which an edition applies; an event past chooses for good."""
    runs = editions.days_of(edition.applies)
    event = events.get(edition.applies.by)
    if event is None:
        return runs
    chosen = editions.Days(0, FOREVER if event in runs.possible else 0)
    return editions.Applicability(
        certain=chosen if event in runs.certain else editions.Days(0, 0), possible=chosen
    )
