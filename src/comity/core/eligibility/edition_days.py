"""The days of every requirement of a title in one edition."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from comity.core.days.dayset import DaySet
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
