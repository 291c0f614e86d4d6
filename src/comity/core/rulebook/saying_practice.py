"""Words for requirements about practice, its gaps and its updating."""

from __future__ import annotations

from comity.core.days.period import Period
from comity.core.rulebook.kinds.educating import ContinuingEducation, Cycle
from comity.core.rulebook.kinds.practising import (
    Anchor,
    Interruption,
    Practice,
    Recency,
    RegistrationScope,
    SupervisorConditions,
    UpdatingCap,
    UpdatingOwed,
)
from comity.core.rulebook.naming import examination_said
from comity.core.rulebook.phrases import (
    before,
    day_itself,
    day_of_year,
    either,
    given,
    hours,
    number,
    registration_scope,
    run_on,
    scope,
    share,
    together,
)
from comity.core.rulebook.saying import phrase, readings

EVENTS = {
    "practice": "practice",
    "qualification": "a qualification completed",
    "registration": "a registration held",
}
_AFTER = {"qualification": "after qualifying", "registration": "after first being registered"}
_SINCE = {"qualification": "since qualifying", "first practice": "since the first day of practice"}


def counted(period: Period, anchor: Anchor) -> str:
    """Return by which calendar rule a gap is measured, in words."""
    unit = "days" if not period.months else "months"
    if anchor == "after last practice day":
        return f"{unit} after the last day of practice"
    return f"{unit} beginning with the first day without practice"


@phrase.register
def _practice(requirement: Practice, at: str) -> str:
    full_time = "" if requirement.full_time is None else "full-time "
    kind = full_time if requirement.amount.unit != "hours" else ""
    week = given(requirement.full_time, lambda minutes: f"({hours(minutes)} a week)")
    return run_on(
        run_on(
            f"{requirement.amount} of {kind}practice",
            week if kind else "",
            "without a break" if requirement.run == "consecutive" else "",
            given(requirement.look_back, lambda window: before(window, at)),
        ),
        given(requirement.after, lambda event: _AFTER[event]),
        scope(requirement.scope),
        by=", ",
    )


@readings.register
def _practice_readings(requirement: Practice, at: str) -> tuple[str, ...]:
    is_run = requirement.run == "consecutive"
    sentences = (
        given(requirement.look_back, lambda _: day_itself(at)),
        given(
            requirement.greatest_pause,
            lambda pause: f"Pauses of up to {pause} do not break the run",
        ),
        "" if is_run else _worth(requirement),
        "" if is_run or requirement.full_time is None else _overlap(requirement),
    )
    return tuple(sentence for sentence in sentences if sentence)


def _worth(requirement: Practice) -> str:
    """Return what a month or a day of full-time practice is worth."""
    unit = requirement.amount.unit
    if unit in {"months", "years"}:
        if requirement.hours_a_month is None:
            return f"A month counts as {requirement.measure} full-time days"
        return f"A month counts as {hours(requirement.hours_a_month)}"
    if unit == "days":
        if requirement.hours_a_day is None:
            return "A day counts as a seventh of a full-time week"
        return f"A day counts as {hours(requirement.hours_a_day)}"
    return ""


def _overlap(requirement: Practice) -> str:
    times = "" if requirement.overlap_cap == 1 else f"{number(requirement.overlap_cap)} times "
    return f"Posts held side by side count for at most {times}full time"


@phrase.register
def _interruption(requirement: Interruption, at: str) -> str:
    return run_on(
        run_on(
            f"no interruption of practice longer than {requirement.greatest}",
            _SINCE[requirement.since],
            given(requirement.look_back, lambda window: before(window, at)),
        ),
        scope(requirement.scope),
        by=", ",
    )


@readings.register
def _interruption_readings(requirement: Interruption, at: str) -> tuple[str, ...]:
    look_back = given(
        requirement.look_back,
        lambda window: f"A gap matters if its last day lies {before(window, at)}",
    )
    rule = f"The gap is counted in {counted(requirement.greatest, requirement.anchor)}"
    exact = f"a gap of exactly {requirement.greatest} is allowed"
    return tuple(sentence for sentence in (f"{rule}; {exact}", look_back) if sentence)


@phrase.register
def _recency(requirement: Recency, at: str) -> str:
    events = either(EVENTS[event] for event in requirement.counts)
    return run_on(
        f"{events} {before(requirement.within, at)}",
        scope(requirement.scope),
        which_registration(requirement.registrations),
        by=", ",
    )


def which_registration(wanted: RegistrationScope | None) -> str:
    """Return in brackets which registrations count; empty for all."""
    which = registration_scope(wanted)
    return f"(a registration {which})" if which else ""


@readings.register
def _recency_readings(requirement: Recency, at: str) -> tuple[str, ...]:
    rule = counted(requirement.within, requirement.anchor)
    return (f"The time is counted in {rule}, its last day included; {at} must fall inside it",)


@phrase.register
def _updating(requirement: UpdatingOwed, at: str) -> str:
    return run_on(
        run_on(
            f"{requirement.amount} of updating",
            given(requirement.hours_a_day, lambda minutes: f"({hours(minutes)} a day)"),
            given(requirement.within, lambda window: before(window, at)),
        ),
        given(requirement.allowed, lambda kinds: f"by {either(kinds)}"),
        together(_cap(cap) for cap in requirement.caps),
        given(requirement.supervisor, _supervisor),
        by=", ",
    )


def _cap(cap: UpdatingCap) -> str:
    return f"{cap.how} for at most {share(cap.share)} of the required amount"


def _supervisor(wanted: SupervisorConditions) -> str:
    conditions = (
        given(wanted.registered_for, lambda time: f"on the register for at least {time}"),
        "of the same profession" if wanted.same_profession else "",
        "free of proceedings and sanctions" if wanted.not_sanctioned else "",
    )
    said = together(condition for condition in conditions if condition)
    return f"supervised practice under someone {said}" if said else ""


@readings.register
def _updating_readings(requirement: UpdatingOwed, at: str) -> tuple[str, ...]:
    return tuple(
        f"All of it lies {before(window, at)}; the day of {at} itself counts"
        for window in (requirement.within,)
        if window is not None
    )


@phrase.register
def _education(requirement: ContinuingEducation, at: str) -> str:
    units = "unit" if requirement.units == 1 else "units"
    return run_on(
        run_on(
            f"{number(requirement.units)} {units} of continuing education",
            given(requirement.cycle, lambda cycle: f"in {_cycle(cycle)}"),
            given(requirement.look_back, lambda window: before(window, at)),
        ),
        together(
            f"at least {number(each.least)} in {either(each.categories)}"
            for each in requirement.minima
        ),
        together(
            f"of {together(each.categories)} at most {number(each.most)} count"
            for each in requirement.caps
        ),
        by=", ",
    )


def _cycle(cycle: Cycle) -> str:
    ends = day_of_year(cycle.ends_on)
    if cycle.which == "running":
        return f"each cycle of {cycle.length} which ends on {ends}"
    which = "the last cycle" if cycle.how_many == 1 else f"each of the last {cycle.how_many} cycles"
    verb = "has" if cycle.how_many == 1 else "have"
    return f"{which} of {cycle.length}, ending on {ends}, that {verb} ended"


def _carried(cycle: Cycle) -> str:
    if cycle.carried_over is None:
        return "Surplus is not carried over to the next cycle"
    return f"Of a surplus at most {number(cycle.carried_over)} count in the next cycle"


@readings.register
def _education_readings(requirement: ContinuingEducation, at: str) -> tuple[str, ...]:
    sentences = (
        given(requirement.look_back, lambda _: day_itself(at)),
        given(requirement.cycle, lambda cycle: _first_cycle(cycle, requirement.examination)),
        given(requirement.cycle, _carried),
    )
    return tuple(sentence for sentence in sentences if sentence)


def _examination(name: str | None) -> str:
    return "the examination" if name is None else examination_said(name)


def _first_cycle(cycle: Cycle, examination: str | None) -> str:
    events = {
        "registration": "the first registration",
        "qualification": "qualifying",
        "examination": f"the pass of {_examination(examination)}",
    }
    start = f"The first cycle runs from {events[cycle.first_starts]} to"
    if cycle.first_is_long:
        return f"{start} the end of the first whole cycle after it, so it is longer than the others"
    return f"{start} the last end day that is at most {cycle.length} away"
