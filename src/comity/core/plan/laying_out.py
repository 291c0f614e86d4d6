"""The steps of a rulebook and the remedies of an applicant, laid out as a network."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import FOREVER
from comity.core.plan.attempts_left import trying
from comity.core.plan.calendars import duration_of
from comity.core.plan.chaining import Chain, proves_of
from comity.core.plan.network import EVERY_DAY, NO_WAIT, After, Duration, Network, Step, Within
from comity.core.plan.runs import common
from comity.core.rulebook.editions import everything_in, first_milestone
from comity.core.rulebook.kinds.testing import ExaminationPassed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.facts.model import Applicant
    from comity.core.plan.calendars import Calendars
    from comity.core.plan.checkpoints import Checked
    from comity.core.plan.taken import Taken
    from comity.core.rulebook.kinds.base import Source
    from comity.core.rulebook.model import Edition, Title
    from comity.core.rulebook.steps import Step as RulebookStep

BEFORE: Final = "before:"
"""Begins the id of the time that passes before one can enter for an examination."""
REMEDY: Final = "meet:"
"""Begins the id of a step that is no rulebook's but the way to meet a requirement."""
SAME_DAY: Final = "the same day"
"""Marks the limit that ties a milestone to the step that reaches it."""
_LONGEST_PLAN_DAYS: Final = 3_653
_DAYS_A_WEEK: Final = 7


@dataclass(frozen=True, slots=True)
class Planned:
    """A step as people are shown it.

    Parameters
    ----------
    id, label, party : str
        Id, what is to be done, who does it.
    is_applicants : bool
        Whether it is the applicant's own.
    says : str
        More on it in the applicant's words; empty where the label is enough.
    source : Source or None
        Where it is written.
    paper, examination : str
        The paper it gets and the examination sat in it, if any.
    study_minutes_a_week : int
        While it goes on.
    """

    id: str
    label: str
    party: str
    is_applicants: bool
    says: str = ""
    source: Source | None = None
    paper: str = ""
    examination: str = ""
    study_minutes_a_week: int = 0


@dataclass(frozen=True, slots=True)
class Laid:
    """A network with what people are shown of it."""

    network: Network
    planned: tuple[Planned, ...]
    milestones: Mapping[str, str]
    left_out: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Layout:
    """What a network is laid out from; see `comity.core.plan.building.build`."""

    applicant: Applicant
    edition: Edition
    title: Title
    calendars: Calendars
    checked: tuple[Checked, ...]
    taken: Taken
    events: Mapping[str, Day] = field(init=False)

    def __post_init__(self) -> None:
        """Remember what has happened."""
        object.__setattr__(self, "events", _events(self))

    def laid_out(self, again: frozenset[str]) -> Laid:
        """Return the network in which the requirements named have to be met anew."""
        done = self._done()
        kept, left_out = self._kept(done, again)
        chain = Chain(self.title, kept, done)
        proved = {name for step in kept for name in self.proves(step)}
        remedies = [
            each
            for each in self.checked
            if each.id in again
            and each.id not in proved
            and chain.gate(each.at) is not None
            and each.at not in self.events
            and (each.remedy or (each.can_be_fetched_anew and not each.is_unknown))
        ]
        steps = [self._step(step, chain) for step in kept]
        steps += [self._waiting(step, chain) for step in kept if self._needs_waiting(step)]
        steps += [self._remedy(each) for each in remedies]
        gates = list(self._gates(chain, proved=proved, remedies=remedies))
        network = Network.of((*steps, *gates), horizon=self.taken.start + _LONGEST_PLAN_DAYS)
        shown = {each.id: self._shown(each) for each in kept if self._happened(each) is None}
        shown |= {REMEDY + each.id: _remedy_shown(each) for each in remedies}
        planned = tuple(shown[step.id] for step in network.steps if step.id in shown)
        return Laid(network, planned, chain.milestones(self.title), left_out)

    # ------------------------------------------------------------------------ which steps there are

    def _done(self) -> dict[str, str]:
        """Return the steps that are behind the applicant, each with why."""
        by_id = {step.id: step for step in self.title.steps}
        happened = [s for s in by_id.values() if s.id in self.events or s.reaches in self.events]
        done: dict[str, str] = {}
        waiting = [name for step in happened for name in step.after]
        while waiting:
            name = waiting.pop()
            if name in by_id and name not in done and by_id[name] not in happened:
                done[name] = "what comes after it has been done"
                waiting += by_id[name].after
        return done

    def _kept(
        self, done: Mapping[str, str], again: frozenset[str]
    ) -> tuple[list[RulebookStep], dict[str, str]]:
        kept, left_out = [], dict(done)
        known = {each.id for each in self.checked}
        at_hand = {
            p.kind.casefold() for p in self.applicant.papers or () if p.status != "requested"
        }
        for step in self.title.steps:
            proves = self.proves(step)
            if step.id in left_out:
                continue
            if step.id in self.events or step.reaches in self.events:
                kept.append(step)
            elif proves and not any(name in again for name in proves if name in known):
                left_out[step.id] = "what it proves is met"
            elif not proves and step.gets and step.gets.paper.casefold() in at_hand:
                left_out[step.id] = "the paper is at hand"
            else:
                kept.append(step)
        return kept, left_out

    def proves(self, step: RulebookStep) -> tuple[str, ...]:
        """Return the requirements that a step proves."""
        return proves_of(self.title, step)

    def _step(self, step: RulebookStep, chain: Chain) -> Step:
        """Return a rulebook's step as one of the network."""
        made = Step(
            step.id,
            step.label,
            step.party,
            duration_of(step.duration),
            self.calendars.of_estimate(step.duration, step.party),
            after=chain.after(step),
            within=() if chain.is_gated(step) else self._limits(step, chain),
            not_before=self.taken.start,
            may_start=self._may_start(step),
            happened=self._happened(step),
        )
        if made.happened is not None:
            return replace(made, after=(), within=(), may_start=None)
        if step.study is not None and step.duration is None and step.sits is None:
            made = replace(made, duration=Duration.fixed(self._study_days(step.study)))
        if step.gets is not None and step.gets.lasts is not None:
            user = chain.gate(step.gets.used_at or first_milestone(self.title))
            if user is not None and user not in self.events:
                made = replace(made, lasts=step.gets.lasts, used_by=(user,))
        return made if step.sits is None else self._sitting(step, made)

    def _may_start(self, step: RulebookStep) -> tuple[Run, ...] | None:
        """Return the days on which a step may start; the applicant asks for every paper."""
        is_own = self.calendars.is_applicant(step.party) or step.gets is not None
        return self.taken.free if is_own else None

    def _study_days(self, minutes: int) -> int:
        return -(-minutes * _DAYS_A_WEEK // max(self.taken.study_minutes_a_week, 1))

    def _happened(self, step: RulebookStep) -> Day | None:
        return self.events.get(step.id, self.events.get(step.reaches or ""))

    def _sitting(self, step: RulebookStep, made: Step) -> Step:
        """Return a step that ends when the examination is passed and its result is out."""
        examination = next(e for e in self.title.examinations if e.id == step.sits)
        marked_by = examination.marked_by or step.party
        now = trying(
            examination,
            attempts_rule(self.title, examination.id),
            self.applicant,
            taken=self.taken,
            calendar=self.calendars.calendar(marked_by),
        )
        return replace(
            made,
            duration=duration_of(examination.result_time),
            calendar=self.calendars.of_estimate(examination.result_time, marked_by),
            sittings=now.sittings,
            not_before=now.not_before,
            allowed=((self.taken.start, FOREVER),),
            after=(After(BEFORE + step.id),) if self._needs_waiting(step) else made.after,
        )

    def _needs_waiting(self, step: RulebookStep) -> bool:
        """Tell whether something takes time before one can enter for an examination."""
        if step.sits is None or step.id in self.events:
            return False
        return step.duration is not None or step.study is not None

    def _waiting(self, step: RulebookStep, chain: Chain) -> Step:
        duration = duration_of(step.duration)
        if step.study is not None:
            days = self._study_days(step.study)
            duration = Duration(max(duration.least, days), max(duration.most, days))
        return Step(
            BEFORE + step.id,
            step.label,
            step.party,
            duration,
            self.calendars.of_estimate(step.duration, step.party),
            after=chain.after(step),
            not_before=self.taken.start,
            may_start=self._may_start(step),
        )

    def _remedy(self, each: Checked) -> Step:
        """Return the way to meet a requirement as a step that lasts until it can be met."""
        label = each.remedy.what if each.remedy else f"Have it again: {each.label}"
        return Step(
            REMEDY + each.id,
            label,
            "applicant",
            Duration.fixed(each.remedy_days),
            EVERY_DAY,
            not_before=self.taken.start,
            may_start=self.taken.free if each.is_own_pace else None,
        )

    def _limits(self, step: RulebookStep, chain: Chain) -> tuple[Within, ...]:
        found = [(chain.end_of(limit.after), limit) for limit in step.within]
        return tuple(
            Within(name, limit.period, limit.late) for name, limit in found if name is not None
        )

    # ----------------------------------------------------------------------------------- milestones

    def _gates(self, chain: Chain, *, proved: set[str], remedies: list[Checked]) -> Iterator[Step]:
        """Yield the milestones as steps that take no time and lie on permitted days."""
        for milestone in self.title.milestones:
            gate = chain.gate(milestone.id)
            if gate is None:
                continue
            here = [each for each in self.checked if each.at == milestone.id]
            allowed = common(each.allowed() for each in here if each.id not in proved)
            happened = self.events.get(milestone.id)
            before = [After(REMEDY + each.id) for each in remedies if each.at == milestone.id]
            before += [
                After(name)
                for name in chain.needed_at(
                    milestone.id, {each.id for each in here}, proves=self.proves
                )
            ]
            before += chain.at_gate(milestone.id)
            reaching = chain.reaching[milestone.id]
            made = Step(gate, milestone.label, "", Duration.fixed(0), happened=happened)
            if happened is None:
                made = replace(
                    made,
                    after=tuple(dict.fromkeys(before)),
                    within=self._gate_limits(reaching, chain, is_alone=len(before) == 1),
                    not_before=self.taken.start,
                    allowed=allowed,
                    may_start=None if reaching is None else self._may_start(reaching),
                )
            yield made

    def _gate_limits(
        self, reaching: RulebookStep | None, chain: Chain, *, is_alone: bool
    ) -> tuple[Within, ...]:
        """Return the limits of a milestone; it lies on the day on which what reaches it ends."""
        if reaching is None:
            return ()
        if chain.is_gated(reaching):
            return self._limits(reaching, chain)
        return (Within(reaching.id, NO_WAIT, SAME_DAY),) if is_alone else ()

    def _shown(self, step: RulebookStep) -> Planned:
        weekly = self.taken.study_minutes_a_week if step.study and step.duration is None else 0
        return Planned(
            step.id,
            step.label,
            self.calendars.label(step.party),
            self.calendars.is_applicant(step.party),
            source=step.source,
            paper=step.gets.paper if step.gets else "",
            examination=step.sits or "",
            study_minutes_a_week=weekly,
        )


def _remedy_shown(each: Checked) -> Planned:
    label = each.remedy.what if each.remedy else f"Have it again: {each.label}"
    says = each.remedy.plain if each.remedy else ""
    return Planned(REMEDY + each.id, label, "applicant", True, says)  # noqa: FBT003 - a field


def attempts_rule(title: Title, examination: str) -> ExaminationPassed | None:
    """Return the requirement that limits the attempts at an examination."""
    for listed in everything_in(title):
        found = listed.requirement
        if isinstance(found, ExaminationPassed) and found.examination == examination:
            return found
    return None


def _events(layout: Layout) -> dict[str, Day]:
    """Return the steps and milestones of the title that have happened, with their days."""
    mine = (layout.edition.authority.id, layout.title.id)
    found = {}
    for each in layout.applicant.progress:
        *before, name = each.milestone.split("/")
        if all(part in mine for part in before) and each.on.latest <= layout.taken.start:
            found[name] = each.on.latest
    return found
