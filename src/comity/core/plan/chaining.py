"""Which steps of a rulebook come before which, once those that need not be taken are left out."""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from comity.core.plan.network import NO_WAIT, After
from comity.core.rulebook.editions import everything_in, first_milestone
from comity.core.rulebook.kinds.testing import ExaminationPassed
from comity.core.rulebook.steps import Step as RulebookStep

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.period import Period
    from comity.core.rulebook.model import Title

Proves = Callable[[RulebookStep], tuple[str, ...]]


@dataclass(slots=True)
class Chain:
    """Which of the steps that are kept come before which, and which reach the milestones.

    A step that takes no time and alone reaches a milestone is done on the milestone's day, so that
    the milestone comes first and takes over all that the step waits for.
    """

    title: Title
    kept: list[RulebookStep]
    done: Container[str] = ()
    skipped: dict[str, RulebookStep] = field(init=False)
    reaching: dict[str, RulebookStep | None] = field(init=False)

    def __post_init__(self) -> None:
        """Find the step that reaches each milestone."""
        self.reaching = {
            each.id: next((s for s in self.kept if s.reaches == each.id), None)
            for each in self.title.milestones
        }
        self.skipped = {
            step.reaches: step
            for step in self.title.steps
            if step.reaches is not None and self.reaching.get(step.reaches) is None
        }

    def is_gated(self, step: RulebookStep) -> bool:
        """Tell whether a step is done on the day of the milestone it reaches."""
        return (
            step.reaches is not None
            and step.duration is None
            and step.study is None
            and step.sits is None
            and self.reaching.get(step.reaches) is step
        )

    def gate(self, milestone: str) -> str | None:
        """Return the network's id of a milestone; None where no step reaches it, or one has."""
        skipped = self.skipped.get(milestone)
        if skipped is not None:
            return None if skipped.id in self.done else milestone
        is_reached = self.reaching.get(milestone) is not None
        return milestone if is_reached or milestone == first_milestone(self.title) else None

    def at_gate(self, milestone: str) -> tuple[After, ...]:
        """Return the steps of the rulebook that come before a milestone."""
        step = self.reaching[milestone]
        if step is not None and not self.is_gated(step):
            return (After(step.id),)
        step = step or self.skipped.get(milestone)
        if step is None:
            return tuple(After(name) for name in self.loose_ends())
        return self.before(step, wait=step.wait or NO_WAIT)

    def end_of(self, name: str) -> str | None:
        """Return the network's step at whose end a step or milestone is reached."""
        if name in self.reaching:
            return self.gate(name)
        return name if any(step.id == name for step in self.kept) else None

    def before(self, step: RulebookStep, *, wait: Period) -> tuple[After, ...]:
        """Return what a step waits for; the milestone alone where it is done on its day."""
        return tuple(After(name, wait) for name in self._names_before(step))

    def after(self, step: RulebookStep) -> tuple[After, ...]:
        """Return what a step of the network waits for: its milestone, or what comes before it."""
        if self.is_gated(step) and step.reaches is not None:
            return (After(step.reaches),)
        return self.before(step, wait=step.wait or NO_WAIT)

    def _names_before(self, step: RulebookStep) -> list[str]:
        """Return the nearest steps before one that are kept, through those that are left out."""
        ids = {each.id for each in self.kept}
        by_id = {each.id: each for each in self.title.steps}
        found: dict[str, None] = {}
        waiting = list(reversed(step.after))
        while waiting:
            name = waiting.pop()
            if name in ids:
                found.setdefault(name)
            elif name in by_id:
                waiting += reversed(by_id[name].after)
        return list(found)

    def needed_at(self, milestone: str, here: Container[str], *, proves: Proves) -> Iterator[str]:
        """Yield the steps that have to be done by a milestone: what they prove is checked there."""
        first = first_milestone(self.title)
        for step in self.kept:
            if step.reaches == milestone:
                continue
            used = (step.gets.used_at or first) == milestone if step.gets else False
            if used or any(name in here for name in proves(step)):
                yield step.id

    def loose_ends(self) -> list[str]:
        """Return the steps for which no other one waits."""
        waited = {name for step in self.kept for name in step.after}
        return [s.id for s in self.kept if s.id not in waited and s.reaches is None]

    def milestones(self, title: Title) -> dict[str, str]:
        """Return the milestones of the plan with their steps of the network."""
        found = {each.id: self.gate(each.id) for each in title.milestones}
        return {name: gate for name, gate in found.items() if gate is not None}


def proves_of(title: Title, step: RulebookStep) -> tuple[str, ...]:
    """Return the requirements that a step proves: named, or of the examination it sits."""
    if step.proves or step.sits is None:
        return step.proves
    return tuple(
        listed.requirement.id or ""
        for listed in everything_in(title)
        if isinstance(listed.requirement, ExaminationPassed)
        and listed.requirement.examination == step.sits
        and listed.is_top
    )
