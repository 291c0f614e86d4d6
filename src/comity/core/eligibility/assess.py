"""From one applicant and one rulebook to an assessment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.period import Period
from comity.core.eligibility.assessment import (
    Assessment,
    Assumption,
    ComingChange,
    RequirementResult,
    Verdict,
)
from comity.core.eligibility.context import Context
from comity.core.eligibility.edition_days import EditionDays, EditionEvaluation, edition_submission
from comity.core.eligibility.findings_person import milestone_day
from comity.core.eligibility.missing import ORDER_OF_ASKING, named
from comity.core.eligibility.reading import by_identity, sections_of
from comity.core.eligibility.remedies import mend
from comity.core.eligibility.results import Judged, judge, shown, windows
from comity.core.eligibility.title_days import TitleDays, title_days
from comity.core.eligibility.triple import Days
from comity.core.eligibility.view import View
from comity.core.eligibility.wording import Told, cautions, plain_answer
from comity.core.eligibility.worlds import folded_over_worlds, possible_worlds
from comity.core.facts.columns import ASSUMPTIONS, Columns, columns_of
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS
from comity.core.rulebook import editions
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import ByHand
from comity.core.rulebook.model import Edition, Rulebook, Title
from comity.core.rulebook.phrases import opened

_ROUNDS: Final = 3
CLOSE: Final = 0.1
"""What is missed by a tenth of what is needed is missed by little."""
_ORDER: Final = (
    Verdict.NOT_MET,
    Verdict.UNKNOWN,
    Verdict.REFER,
    Verdict.MET,
    Verdict.NOT_APPLICABLE,
)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of one applicant's file."""

    title: str
    on: Day
    today: Day
    assumption: Assumption = "continues"
    confirmed_only: bool = False


def assess(  # noqa: PLR0913 - a question has six parts
    applicant: Applicant,
    rulebook: Rulebook,
    *,
    title: str,
    on: Day,
    today: Day,
    assumption: Assumption = "continues",
    confirmed_only: bool = False,
) -> Assessment:
    """Return what an authority's rules say of an applicant on a day.

    Parameters
    ----------
    applicant : Applicant
        The file of facts.
    rulebook : Rulebook
        All editions read of one authority.
    title : str
        Id of the title; some edition must have it.
    on : Day
        The day of submission asked about.
    today : Day
        The day on which it is asked; open practice ends then under ``stops``.
    assumption : str
        ``continues`` or ``stops``.
    confirmed_only : bool
        Take what is not confirmed by its issuer as possible only.

    Raises
    ------
    LookupError
        When no edition has the title.
    """
    question = Question(title, on, today, assumption, confirmed_only)
    return _Assessing(applicant, rulebook, question).assessment()


@dataclass(frozen=True, slots=True)
class Soonest:
    """The first and last day on which one could then apply, and what will have lapsed by then."""

    day: Day | None = None
    until: Day | None = None
    anew: tuple[str, ...] = ()
    is_conditional: bool = False


_SETTLED: Final = {Verdict.MET, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN}


class _Assessing:
    """One assessment under way."""

    def __init__(self, applicant: Applicant, rulebook: Rulebook, question: Question) -> None:
        self.applicant = applicant
        self.rulebook = rulebook
        self.question = question
        self.margin = _margin(rulebook, question.on)
        self.days = self._title_days(applicant, exact=True)
        self.chosen = _edition_on(self.days.editions, question.on)
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

    def _title_days(self, applicant: Applicant, *, exact: bool) -> TitleDays:
        """Return the title's days in four rows, possible worlds folded into them."""
        columns = self._columns(applicant, exact=exact)
        found = title_days(
            self.rulebook.editions,
            self.question.title,
            columns,
            events=_events(applicant),
        )
        if not found.editions:
            msg = f"no edition has the title {self.question.title!r}"
            raise LookupError(msg)
        return found if columns.n_cases == len(ASSUMPTIONS) else _folded(found, columns)

    def _view(self, chosen: EditionDays) -> View:
        def recontext(columns: Columns) -> Context:
            return EditionEvaluation(chosen.edition, columns).context(chosen.title)

        columns = self._columns(self.applicant, exact=False)
        context = chosen.context
        if context.n_rows != columns.n_rows:
            context = recontext(columns)
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

    def assessment(self) -> Assessment:
        """Return the assessment."""
        judged = sorted(self._judged(), key=self._rank)
        verdict = self._verdict(judged)
        failing = [each for each in judged if self._decides(each) and _is_failing(each.result)]
        soonest = Soonest()
        if verdict is not Verdict.MET:
            soonest = self._soonest([each for each in judged if self._is_first(each)])
        submitted = soonest.day if verdict is not Verdict.MET else self.question.on
        judged = [self._as_from_submission(each, submitted) for each in judged]
        failing = [each for each in judged if self._decides(each) and _is_failing(each.result)]
        results = tuple(each.result for each in judged)
        edition, title = self.chosen.edition, self.chosen.title
        is_never = verdict is Verdict.NOT_MET and self._submission_verdict() is not Verdict.NOT_MET
        return Assessment(
            applicant=self.applicant.applicant,
            applicant_name=self.applicant.name or self.applicant.applicant,
            authority=edition.authority.id,
            authority_name=edition.authority.name,
            title=title.id,
            title_name=title.name,
            on=self.question.on,
            assumption=self.question.assumption,
            verdict=verdict,
            windows=() if is_never else windows(self.days.submission, self.view),
            requirements=results,
            next_question=_next_question(results),
            cautions=cautions(edition, self.applicant, is_stale=self._is_stale()),
            milestones=tuple((each.id, each.label) for each in title.milestones),
            pathway=self._pathway(),
            conditions=tuple(self._conditions()),
            remedies=tuple(each.result.remedy for each in failing if each.result.remedy),
            earliest=soonest.day,
            earliest_is_own_pace=soonest.day is not None and self._is_own_pace(failing),
            earliest_is_conditional=soonest.is_conditional,
            coming=tuple(self._coming()),
            by_hand_open=tuple(self._by_hand_open(judged)),
            wholly_read=edition.wholly_read,
            stale=(edition.rulebook,) if self._is_stale() else (),
            other_assumption=self._other_verdict(),
            if_stops_until=self._if_stops_until(),
            plain_answer=plain_answer(self._told(verdict, failing, soonest), edition, title),
            notes=tuple(self._notes(soonest)),
        )

    def _as_from_submission(self, judged: Judged, day: Day | None) -> Judged:
        """Return what is checked later with a remedy that begins when one can have applied."""
        if day is None or day <= self.question.today or self._is_first(judged):
            return judged
        if judged.mended is None or judged.mended.is_waiting or not _is_failing(judged.result):
            return judged
        view = replace(self.view, on=day, today=day)
        requirement = judged.top.listed.requirement
        mended = mend(requirement, view, wait_until=view.first_day(requirement, day))
        remedy = mended.remedy if mended else None
        return replace(judged, mended=mended, result=replace(judged.result, remedy=remedy))

    def _is_dropped(self) -> bool:
        """Tell whether the editions in force have the title no longer."""
        in_force = editions.certain_on(self.rulebook, self.question.on)
        names = {edition.rulebook for edition in in_force}
        return bool(names) and not any(d.edition.rulebook in names for d in self.days.editions)

    def _is_own_pace(self, failing: Sequence[Judged]) -> bool:
        """Tell whether nothing but the applicant's own speed stands before applying."""
        unmet = [
            e for e in failing if self._is_first(e) and e.result.verdict is not Verdict.UNKNOWN
        ]
        return bool(unmet) and all(each.mended and each.mended.is_own_pace for each in unmet)

    def _told(self, verdict: Verdict, failing: Sequence[Judged], soonest: Soonest) -> Told:
        first = [each for each in failing if self._is_first(each)]
        later = [each for each in failing if not self._is_first(each)]
        run = self._run(self.view.row)
        missing = tuple(dict.fromkeys(path for each in first for path in each.result.missing))
        unmet = [each for each in first if each.result.verdict is not Verdict.UNKNOWN]
        blocked = [each for each in unmet if each.mended is None]
        return Told(
            verdict=verdict,
            on=self.question.on,
            until=soonest.until if run is None else shown(*run)[1],
            earliest=soonest.day,
            now=_plain_steps(first),
            later=_plain_steps(later),
            is_own_pace=self._is_own_pace(failing),
            anew=soonest.anew,
            is_conditional=soonest.is_conditional,
            missing=named(missing, self.applicant),
            blocked=tuple(each.result.label for each in blocked),
            differing=tuple(each.result.label for each in first if each.result.conflict),
            obstacle=(first or later)[0].result.label if failing else "",
            is_dropped=self._is_dropped(),
            is_close=bool(unmet) and all(is_close(each.result) for each in unmet),
        )

    def _judged(self) -> list[Judged]:
        return [judge(top, self.days.requirements[top.id], self.view) for top in self.chosen.tops]

    def _decides(self, judged: Judged) -> bool:
        return judged.top.listed.requirement.demanded_by == "authority"

    def _is_first(self, judged: Judged) -> bool:
        return judged.result.at == editions.first_milestone(self.chosen.title)

    def _rank(self, judged: Judged) -> tuple[bool, bool, int, Day]:
        """Return the order in which results stand: what decides comes first.

        What is checked later stands behind, unless it can never be met.
        """
        result = judged.result
        until = FOREVER if result.until is None else result.until
        decides_now = self._is_first(judged) or self._later_verdict(judged) is not Verdict.MET
        return (
            not self._decides(judged),
            not decides_now,
            _ORDER.index(result.verdict),
            until,
        )

    def _submission_verdict(self) -> Verdict:
        return self.days.submission.verdict(self.view.row, self.question.on)

    def _verdict(self, judged: Sequence[Judged]) -> Verdict:
        """Return the verdict on submission; a later check point that can never be met sinks it."""
        verdicts = [self._submission_verdict()]
        later = [each for each in judged if self._decides(each) and not self._is_first(each)]
        verdicts.extend(self._later_verdict(each) for each in later)
        worst = min(verdicts, key=_ORDER.index)
        if worst is Verdict.MET and not self.chosen.edition.wholly_read:
            return Verdict.UNKNOWN
        return worst

    def _later_verdict(self, judged: Judged) -> Verdict:
        """Return not met for what can never be, refer for what only the authority can settle."""
        if judged.result.verdict in {Verdict.MET, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN}:
            return Verdict.MET
        if judged.mended is not None and judged.result.verdict is not Verdict.REFER:
            return Verdict.MET
        days, on = judged.days, self.question.on
        if days.yes.next_day(on)[self.view.twin] < FOREVER:
            return Verdict.MET
        return Verdict.REFER if days.ok.next_day(on)[self.view.twin] < FOREVER else Verdict.NOT_MET

    def _soonest(self, first: Sequence[Judged]) -> Soonest:
        """Return the first day on which everything holds once all remedies are done.

        What is short-lived is asked for again by the time that the slowest remedy takes. Where
        one is not met and another unknown, the day holds if the unknown turns out well.
        """
        failing = [each for each in first if _is_failing(each.result) and self._decides(each)]
        unmet = [each for each in failing if each.result.verdict is not Verdict.UNKNOWN]
        row = self.view.twin if unmet and len(unmet) < len(failing) else self.view.row
        waiting = self._next_day(self.days.submission, row)
        if any(each.mended is None or each.mended.remedy.earliest is None for each in unmet):
            return Soonest(waiting)
        applicant, day = self._applied(unmet)
        anew: dict[str, None] = {}
        for _round in range(_ROUNDS):
            mended = self._mended_days(applicant).submission
            found = self._next_day(mended, row)
            if found is not None:
                run = mended.yes.run_at(row, found)
                until = None if run is None else shown(*run)[1]
                return Soonest(found, until, tuple(anew), is_conditional=row == self.view.twin)
            applicant, day, again = self._mended_again(first, applicant, day=day)
            anew.update(dict.fromkeys(again))
        return Soonest(waiting)

    def _mended_days(self, applicant: Applicant) -> TitleDays:
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
        name = next(top.id for top in self.chosen.tops if top.listed.requirement is requirement)
        days = self._mended_days(applicant).requirements[name]
        held = days.yes if days.na is None else days.yes | days.na
        day = int(held.next_day(since)[self.view.row])
        return None if day >= FOREVER else day

    def _applied(self, failing: Sequence[Judged]) -> tuple[Applicant, Day]:
        """Return the facts after all remedies, and the day by which the slowest is done."""
        applicant, day = self.applicant, self.question.on
        for each in failing:
            if each.mended is not None:
                applicant = each.mended.apply(applicant)
                day = max(day, each.mended.remedy.earliest or day)
        return applicant, day

    def _mended_again(
        self, first: Sequence[Judged], applicant: Applicant, *, day: Day
    ) -> tuple[Applicant, Day, list[str]]:
        """Return the facts with what has lapsed by a day mended anew on that day, and its names."""
        latest, names = day, []
        for each in first:
            view = replace(self.view.with_applicant(applicant), on=day)
            requirement = each.top.listed.requirement
            if view.verdict(requirement) in _SETTLED:
                continue
            mended = mend(requirement, view, wait_until=view.first_day(requirement, day))
            if mended is not None and mended.remedy.earliest is not None:
                applicant = mended.apply(applicant)
                latest = max(latest, mended.remedy.earliest)
                names.append(each.result.label)
        return applicant, latest, names

    def _next_day(self, days: Days, row: int) -> Day | None:
        day = int(days.yes.next_day(self.question.on)[row])
        return None if day >= FOREVER else day

    def _run(self, row: int) -> tuple[Day, Day] | None:
        return self.days.submission.yes.run_at(row, self.question.on)

    def _other_verdict(self) -> Verdict | None:
        """Return the verdict under the other assumption where it differs."""
        other = self.days.submission.verdict(1 - self.view.row, self.question.on)
        return None if other is self._submission_verdict() else other

    def _if_stops_until(self) -> Day | None:
        """Return the last day of the window were practice to end today, if that is sooner."""
        run, stopped = self._run(0), self._run(1)
        if run is None or stopped is None or run[1] == stopped[1]:
            return None
        return stopped[1] - 1

    def _pathway(self) -> str | None:
        for pathway in self.chosen.title.pathways:
            days = self.chosen.pathways[pathway.id]
            if Days(days.yes, days.yes).verdict(self.view.row, self.question.on) is Verdict.MET:
                return pathway.label
        return None

    def _conditions(self) -> Iterator[str]:
        """Yield the conditions on the licence on that day; those that may hold with a perhaps."""
        grants = self.chosen.title.grants
        for condition in grants.conditions if grants else ():
            verdict = self.view.verdict(condition.when)
            if verdict is Verdict.MET:
                yield condition.says
            elif verdict in {Verdict.UNKNOWN, Verdict.REFER}:
                yield f"perhaps: {condition.says}"

    def _is_stale(self) -> bool:
        edition = self.chosen.edition
        return self.question.today > edition.read_again_after.after(edition.read)

    def _coming(self) -> list[ComingChange]:
        """Return the later editions under which the answer would be another one."""
        found = []
        for later in self.days.editions:
            start = editions.days_of(later.edition.applies).possible.start
            if later is self.chosen or start <= self.question.on:
                continue
            before = edition_submission(self.chosen).verdict(self.view.row, start)
            after = edition_submission(later).verdict(self.view.row, start)
            if before is after:
                continue
            changed = _changed(self.chosen, later, row=self.view.row, day=start)
            found.append(ComingChange(later.edition.rulebook, start, before, after, changed))
        return found

    def _by_hand_open(self, judged: Sequence[Judged]) -> list[str]:
        return [
            each.result.label
            for each in judged
            if any(
                isinstance(part, ByHand)
                for _path, part in editions.walk(each.top.listed.requirement)
            )
            and each.result.verdict is Verdict.UNKNOWN
        ]

    def _notes(self, soonest: Soonest) -> list[str]:
        notes = []
        if soonest.anew:
            notes.append(
                f"Needed anew by then, because it will have lapsed: {', '.join(soonest.anew)}."
            )
        if self.chosen.title.pathways and self._pathway() is None:
            notes.append("No pathway of this title fits for certain on this day.")
        notes.extend(self._notes_on_editions())
        notes.extend(self._notes_on_progress())
        if self.days.covered.run_at(self.view.row, self.question.on) is None:
            notes.append("No edition read applies on this day; the nearest one is shown.")
        return notes

    def _notes_on_editions(self) -> Iterator[str]:
        """Yield what is not certain about which edition applies."""
        on = self.question.on
        may = [d.edition for d in self.days.editions if self._may_apply(d.edition, on)]
        if len(may) > 1:
            names = " or ".join(edition.rulebook for edition in may)
            yield f"It is not certain which edition applies on this day: {names}."
        until = self.chosen.edition.applies.until
        if until is not None and until.is_unknown and len(may) == 1:
            yield (
                "It was not found until when this edition applies; "
                "ask the authority whether it still does."
            )

    def _may_apply(self, edition: Edition, on: Day) -> bool:
        run = editions.days_of(edition.applies)
        is_ruled_out = any(
            on in editions.days_of(other.edition.applies).certain
            for other in self.days.editions
            if other.edition is not edition
        )
        return on in run.possible and (on in run.certain or not is_ruled_out)

    def _notes_on_progress(self) -> Iterator[str]:
        """Yield a word on an application that has been handed in on another day."""
        first = editions.first_milestone(self.chosen.title)
        day = milestone_day(self.view, first)
        if day is not None and day != self.question.on:
            yield (
                f"The file says that {first} was on {iso(day)}; this answer is for "
                f"{iso(self.question.on)}. Ask again with that day to see how it stood then."
            )


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


def is_close(result: RequirementResult) -> bool:
    """Tell whether a measured requirement is missed by a tenth at the most."""
    if not result.needed or result.shortfall is None:
        return False
    return 0 < result.shortfall <= CLOSE * result.needed


def _plain_steps(failing: Sequence[Judged]) -> tuple[str, ...]:
    """Return what to do in plain sentences, each once; of several waits the longest."""
    done = [each.mended for each in failing if each.mended is not None]
    waits = [mended for mended in done if mended.is_waiting]
    longest = max(waits, key=lambda mended: mended.remedy.earliest or 0, default=None)
    steps = (m.remedy.plain for m in done if not m.is_waiting or m is longest)
    return tuple(dict.fromkeys(opened(step) for step in steps))


def _is_failing(result: RequirementResult) -> bool:
    return result.verdict not in {Verdict.MET, Verdict.NOT_APPLICABLE}


def _margin(rulebook: Rulebook, on: Day) -> Period | None:
    found = editions.possible_on(rulebook, on) or rulebook.editions
    return found[-1].margin if found else None


def _edition_on(evaluated: Sequence[EditionDays], on: Day) -> EditionDays:
    """Return the edition that applies on a day; else the one which comes next, or the last."""
    for certainty in ("certain", "possible"):
        for days in reversed(evaluated):
            if on in getattr(editions.days_of(days.edition.applies), certainty):
                return days
    later = [d for d in evaluated if editions.days_of(d.edition.applies).possible.start > on]
    return later[0] if later else evaluated[-1]


def _events(applicant: Applicant) -> dict[str, Day]:
    """Return the milestones that have happened, by their id, with their day."""
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
    )


def _changed(before: EditionDays, after: EditionDays, *, row: int, day: Day) -> tuple[str, ...]:
    """Return the ids of the requirements whose verdict differs between two editions on a day."""
    old = {top.id: top.days.verdict(row, day) for top in before.tops}
    new = {top.id: top.days.verdict(row, day) for top in after.tops}
    return tuple(name for name in {**old, **new} if old.get(name) is not new.get(name))


def _next_question(results: Sequence[RequirementResult]) -> str | None:
    """Return the missing fact that most of the unknown requirements wait for."""
    counts: dict[str, int] = {}
    for result in results:
        for path in result.missing:
            counts[path] = counts.get(path, 0) + 1
    askable = [path for path in counts if not path.startswith("reviews/")]
    return max(
        askable,
        key=lambda path: (counts[path], -ORDER_OF_ASKING.index(path.split("/")[0])),
        default=None,
    )
