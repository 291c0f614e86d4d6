"""A network of steps: who does each, after what, how long it takes, on which days it may end.

A step *starts* once everything before it is done and *ends* when its duration has passed; the day
on which something happens never counts towards a duration that follows it. So a step that takes no
time ends on the day on which it starts.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.period import Period
from comity.core.days.workdays import WorkCalendar
from comity.core.plan.runs import overlap

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.days.dayset import Run

Law = Literal["fixed", "uniform", "beta-PERT"]
EVERY_DAY: Final = WorkCalendar(frozenset())
"""The calendar of somebody who acts on any day, and of durations in calendar days."""
NO_WAIT: Final = Period()


class NetworkError(ValueError):
    """The steps do not make a network; the message names the steps."""


@dataclass(frozen=True, slots=True)
class Duration:
    """How long a step takes, in whole days of the step's calendar.

    Parameters
    ----------
    least, most : int
        0 <= least <= most.
    likely : int or None
        Between the two; None where only a range is published.
    """

    least: int
    most: int
    likely: int | None = None

    def __post_init__(self) -> None:
        """Refuse what runs backwards."""
        middle = self.least if self.likely is None else self.likely
        if not 0 <= self.least <= middle <= self.most:
            message = f"a duration of {self.least}, {self.likely}, {self.most} days runs backwards"
            raise ValueError(message)

    @classmethod
    def fixed(cls, days: int) -> Duration:
        """Return a duration that is known."""
        return cls(days, days)

    @property
    def law(self) -> Law:
        """By which law it is drawn; printed beside every result that rests on it."""
        if self.least == self.most:
            return "fixed"
        return "uniform" if self.likely is None else "beta-PERT"

    @property
    def planned(self) -> int:
        """What a plan without chance counts with: the likely value, else the middle, rounded up."""
        return -(-(self.least + self.most) // 2) if self.likely is None else self.likely


@dataclass(frozen=True, slots=True)
class After:
    """A step begins no earlier than a time after another one has ended."""

    step: str
    wait: Period = NO_WAIT


@dataclass(frozen=True, slots=True)
class Within:
    """A step ends no later than a time after another one has ended."""

    step: str
    period: Period
    label: str = ""


@dataclass(frozen=True, slots=True)
class Sitting:
    """One date of an examination and the last day to enter for it."""

    on: Day
    closes: Day


@dataclass(frozen=True, slots=True)
class Sittings:
    """An examination that is sat on published dates until it is passed.

    Parameters
    ----------
    dates : tuple of Sitting
        By day; entry closes on or before it, never later for an earlier sitting.
    p_pass : float
        Probability of passing at one attempt, 0 to 1.
    attempts : int or None
        How many are left; None without end.
    wait : Period
        After a failure, until one may enter again.
    """

    dates: tuple[Sitting, ...]
    p_pass: float = 1.0
    attempts: int | None = None
    wait: Period = NO_WAIT


@dataclass(frozen=True, slots=True)
class Step:
    """Something that someone has to do.

    Parameters
    ----------
    id, label, party : str
        Id, what people read, who does it.
    duration : Duration
        In working days of `calendar`; of a step with sittings: until its result is out.
    calendar : WorkCalendar
        Of the party; `EVERY_DAY` for calendar days.
    after : tuple of After
        What comes before.
    within : tuple of Within
        Its end may not lie too long after these.
    not_before : Day
        First day on which it may start.
    allowed : tuple of Run or None
        Days on which it may end, as disjoint half-open runs in order; None for every day.
    may_start : tuple of Run or None
        Days on which it may start, likewise; what takes no time happens on one of them.
    sittings : Sittings or None
        Published dates, if it is an examination.
    lasts : Period or None
        How long what it gives is good for, if it lapses.
    used_by : tuple of str
        Steps at whose end that must still be good.
    happened : Day or None
        The day on which it ended, if it has.
    """

    id: str
    label: str
    party: str
    duration: Duration
    calendar: WorkCalendar = EVERY_DAY
    after: tuple[After, ...] = ()
    within: tuple[Within, ...] = ()
    not_before: Day = 0
    allowed: tuple[Run, ...] | None = None
    may_start: tuple[Run, ...] | None = None
    sittings: Sittings | None = None
    lasts: Period | None = None
    used_by: tuple[str, ...] = ()
    happened: Day | None = None

    @property
    def end_days(self) -> tuple[Run, ...] | None:
        """The days on which it may end: those permitted, for what takes no time both ways."""
        if self.may_start is None or self.duration.most or self.sittings is not None:
            return self.allowed
        return self.may_start if self.allowed is None else overlap(self.allowed, self.may_start)

    @property
    def is_short_lived(self) -> bool:
        """Whether what it gives may lapse before it is used."""
        return self.lasts is not None and bool(self.used_by) and self.happened is None


@dataclass(frozen=True, slots=True)
class Network:
    """Steps in an order in which each comes after all it waits for.

    Parameters
    ----------
    steps : tuple of Step
        Ids are unique; what they name is in the network. Put in order by `of`.
    horizon : Day
        A plan that needs a later day counts as impossible.
    """

    steps: tuple[Step, ...]
    horizon: Day = FOREVER - 1
    position: Mapping[str, int] = field(init=False, compare=False)
    before: Mapping[str, tuple[After, ...]] = field(init=False, compare=False)

    def __post_init__(self) -> None:
        """Remember where each step stands and what it waits for, papers it uses included."""
        positions = {step.id: index for index, step in enumerate(self.steps)}
        object.__setattr__(self, "position", positions)
        object.__setattr__(self, "before", _before(self.steps))

    @classmethod
    def of(cls, steps: tuple[Step, ...], *, horizon: Day = FOREVER - 1) -> Network:
        """Return the network of some steps.

        Raises
        ------
        NetworkError
            When an id stands twice, a step is named that is not there, or steps wait for each
            other in a ring.
        """
        known = {step.id: step for step in steps}
        if len(known) < len(steps):
            twice = sorted({s.id for s in steps if sum(s.id == other.id for other in steps) > 1})
            message = f"steps with the same id: {', '.join(twice)}"
            raise NetworkError(message)
        for step in steps:
            for name in _named_by(step):
                if name not in known:
                    message = f"step {step.id} names {name}, which is no step"
                    raise NetworkError(message)
        before = {name: [link.step for link in links] for name, links in _before(steps).items()}
        return cls(tuple(known[name] for name in in_order(before)), horizon)

    def __getitem__(self, step: str) -> Step:
        """Return a step by its id."""
        return self.steps[self.position[step]]

    def limits(self) -> Iterator[tuple[str, str, Period]]:
        """Yield the greatest lags as (earlier step, later step, period), lapsing papers included.

        The later step ends at most the period after the earlier one has ended.
        """
        for step in self.steps:
            for link in step.within:
                yield link.step, step.id, link.period
            if step.lasts is not None:
                for user in step.used_by:
                    yield step.id, user, step.lasts


def in_order(before: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Return names, each behind all it waits for, otherwise as they stand.

    Raises
    ------
    NetworkError
        When some wait for each other in a ring; the message names it.
    """
    ring = find_ring(before)
    if ring:
        message = f"steps wait for each other: {' after '.join(ring)}"
        raise NetworkError(message)
    done: dict[str, None] = {}
    waiting = list(before)
    while waiting:
        later = []
        for name in waiting:
            if all(each in done for each in before[name]):
                done[name] = None
            else:
                later.append(name)
        waiting = later
    return tuple(done)


def find_ring(before: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Return names that wait for each other, in order, the first one repeated; else nothing."""
    is_clear: set[str] = set()
    for name in before:
        path: list[str] = []
        stack = [(name, False)]
        while stack:
            each, is_left = stack.pop()
            if is_left:
                is_clear.add(path.pop())
            elif each in path:
                return (*path[path.index(each) :], each)
            elif each not in is_clear:
                path.append(each)
                stack.append((each, True))
                stack += [(other, False) for other in before[each]]
    return ()


def _named_by(step: Step) -> Iterator[str]:
    for after in step.after:
        yield after.step
    for within in step.within:
        yield within.step
    yield from step.used_by


def _before(steps: Sequence[Step]) -> dict[str, tuple[After, ...]]:
    """Return what each step waits for: the steps it names, and the papers it uses."""
    papers: dict[str, list[After]] = {}
    for step in steps:
        for user in step.used_by:
            papers.setdefault(user, []).append(After(step.id))
    return {step.id: step.after + tuple(papers.get(step.id, ())) for step in steps}
