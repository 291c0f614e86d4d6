"""One applicant, one title, one day: the facts and rules from which the answer is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from comity.core.days.calendar import Day
from comity.core.days.period import Period
from comity.core.eligibility.assessment import Assumption, Verdict
from comity.core.eligibility.context import Context
from comity.core.eligibility.edition_days import EditionDays, EditionEvaluation
from comity.core.eligibility.reading import by_identity, sections_of
from comity.core.eligibility.results import Judged, judge
from comity.core.eligibility.title_days import TitleDays, title_days
from comity.core.eligibility.triple import Days
from comity.core.eligibility.view import View
from comity.core.eligibility.worlds import folded_over_worlds, possible_worlds
from comity.core.facts.columns import ASSUMPTIONS, Columns, columns_of
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS
from comity.core.rulebook import editions
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Rulebook, Title


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of one applicant's file."""

    title: str
    on: Day
    today: Day
    assumption: Assumption = "continues"
    confirmed_only: bool = False


class Inquiry:
    """The days of a title for one applicant, and the view of them from the day asked."""

    def __init__(self, applicant: Applicant, rulebook: Rulebook, question: Question) -> None:
        """Work out the days of every requirement; LookupError where no edition has the title."""
        self.applicant = applicant
        self.rulebook = rulebook
        self.question = question
        self.margin = _margin(rulebook, question.on)
        self.days = self._title_days()
        self.chosen = _edition_on(self.days.editions, question.on, _events(applicant))
        self.view = self._view(self.chosen)

    def _columns(self, applicant: Applicant, *, exact: bool) -> Columns:
        return columns_of(
            [applicant],
            today=self.question.today,
            assumptions=ASSUMPTIONS,
            worlds=possible_worlds(applicant, self.margin) if exact else ({},),
            confirmed_only=self.question.confirmed_only,
            margin=self.margin,
        )

    def _title_days(self) -> TitleDays:
        """Return the title's days in four rows, possible worlds folded into them."""
        columns = self._columns(self.applicant, exact=True)
        found = title_days(
            self.rulebook.editions,
            self.question.title,
            columns,
            events=_events(self.applicant),
        )
        if not found.editions:
            msg = f"no edition has the title {self.question.title!r}"
            raise LookupError(msg)
        return found if columns.n_cases == len(ASSUMPTIONS) else _folded(found, columns)

    def _view(self, chosen: EditionDays) -> View:
        def recontext(columns: Columns) -> Context:
            return EditionEvaluation(chosen.edition, columns).context(chosen.title)

        context = chosen.context
        # Findings speak of entries, one line each way; over possible worlds there are more rows.
        if context.n_rows != 2 * len(ASSUMPTIONS):
            context = recontext(self._columns(self.applicant, exact=False))
        return View(
            applicant=self.applicant,
            edition=chosen.edition,
            title=chosen.title,
            context=context,
            on=self.question.on,
            today=self.question.today,
            assumption=self.question.assumption,
            confirmed_only=self.question.confirmed_only,
            recontext=recontext,
            across=self._first_day_across if len(self.days.editions) > 1 else None,
            reads=_reads(chosen.title),
        )

    def judged(self) -> list[Judged]:
        """Return every requirement of the edition that applies, with its verdict and remedy."""
        listed = {top.id: (top, self.view) for top in self.chosen.tops}
        for name, edition in self.days.chosen_by.items():
            listed.pop(name, None)
            found = next((top for top in edition.tops if top.id == name), None)
            if found is not None:
                listed[name] = found, self._view(edition)
        return [
            judge(top, self.days.requirements[name], view) for name, (top, view) in listed.items()
        ]

    def submission_verdict(self) -> Verdict:
        """Return the verdict on everything that is checked at the first milestone."""
        return self.days.submission.verdict(self.view.row, self.question.on)

    def run(self, row: int) -> tuple[Day, Day] | None:
        """Return the run of days around the day asked on which one can apply; None for none."""
        return self.days.submission.yes.run_at(row, self.question.on)

    def mended_days(self, applicant: Applicant) -> TitleDays:
        """Return the title's days on other facts, only what these touch worked out anew."""
        changed = self.view.changed_by(applicant)
        standing = {self.chosen.title.id: self.view.standing(changed)}
        columns = self._columns(applicant, exact=False)
        columns.share(self.view.context.columns, [n for n in SECTIONS if n not in changed])
        return title_days(
            self.rulebook.editions,
            self.question.title,
            columns,
            events=_events(applicant),
            known={self.chosen.edition.rulebook: standing},
        )

    def _first_day_across(
        self, requirement: Requirement, applicant: Applicant, since: Day
    ) -> Day | None:
        """Return the first day on which a listed requirement holds on other facts."""
        tops = (top for days in self.days.editions for top in days.tops)
        name = next(top.id for top in tops if top.listed.requirement is requirement)
        return self.mended_days(applicant).requirements[name].first_day(self.view.row, since)


@by_identity
def _reads(title: Title) -> dict[int, frozenset[str] | None]:
    """Return the sections that can change the days of each requirement, by its identity.

    What another circumstance can satisfy depends on more than its own facts.
    """
    satisfied = {name for deems in title.deems for name in deems.satisfies}
    found: dict[int, frozenset[str] | None] = {}
    for listed in editions.everything_in(title):
        requirement = listed.requirement
        inside = {part.id for _path, part in editions.walk(requirement)}
        sections = None if inside & satisfied else sections_of(requirement)
        found[id(requirement)] = sections
    return found


def _margin(rulebook: Rulebook, on: Day) -> Period | None:
    found = editions.possible_on(rulebook, on) or rulebook.editions
    return found[-1].margin if found else None


def _edition_on(
    evaluated: Sequence[EditionDays], on: Day, events: Mapping[str, Day]
) -> EditionDays:
    """Return the edition that applies on a day; else the one which comes next, or the last.

    An event past by which editions apply chooses before the day does.
    """
    for days in reversed(evaluated):
        event = events.get(days.edition.applies.by)
        if event is not None and event in editions.days_of(days.edition.applies).possible:
            return days
    for certainty in ("certain", "possible"):
        for days in reversed(evaluated):
            if on in getattr(editions.days_of(days.edition.applies), certainty):
                return days
    later = [d for d in evaluated if editions.days_of(d.edition.applies).possible.start > on]
    return later[0] if later else evaluated[-1]


def _events(applicant: Applicant) -> dict[str, Day]:
    """Return the milestones that have happened, by their id, with their day.

    A day known only in part chooses no edition.
    """
    return {
        step.milestone.rsplit("/", 1)[-1]: step.on.latest
        for step in applicant.progress
        if step.on.is_exact
    }


def _folded(days: TitleDays, columns: Columns) -> TitleDays:
    """Return the days with all possible worlds folded into one row each way."""
    n_assumptions = len(ASSUMPTIONS)

    def fold(each: Days) -> Days:
        return folded_over_worlds(each, columns, n_assumptions)

    evaluated = tuple(
        replace(
            edition,
            tops=tuple(replace(top, days=fold(top.days)) for top in edition.tops),
            pathways={name: fold(each) for name, each in edition.pathways.items()},
            outside=None if edition.outside is None else fold(Days.of(edition.outside)).yes,
        )
        for edition in days.editions
    )
    return TitleDays(
        evaluated,
        {name: fold(each) for name, each in days.requirements.items()},
        fold(days.submission),
        fold(Days.of(days.covered)).yes,
        {name: evaluated[days.editions.index(edition)] for name, edition in days.chosen_by.items()},
    )
