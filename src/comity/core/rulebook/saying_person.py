"""Words for requirements about training, registration and facts of the person."""

from __future__ import annotations

from comity.core.days.calendar import iso
from comity.core.days.period import Period
from comity.core.rulebook.kinds.qualifying import (
    AgeReached,
    DatesOpen,
    Declared,
    Elapsed,
    LeastShare,
    NationalityHeld,
    QualificationHeld,
    RegistrationHeld,
    ResidenceHeld,
)
from comity.core.rulebook.phrases import (
    before,
    day_of_year,
    either,
    given,
    hours,
    run_on,
    share,
    spoken,
    together,
    years,
)
from comity.core.rulebook.saying import phrase, readings


@phrase.register
def _qualification(requirement: QualificationHeld, at: str) -> str:
    head = run_on(
        given(requirement.titles, lambda words: f"as {either(words)}"),
        given(requirement.countries, lambda codes: f"from {either(codes)}"),
        given(requirement.least_level, lambda level: f"of ISCED 2011 level {level} or above"),
    )
    details = (*_programme(requirement), *_hours(requirement), *_completion(requirement, at))
    return run_on("a qualification", run_on(head, *details, by=", "))


def _programme(requirement: QualificationHeld) -> tuple[str, ...]:
    """Return what the programme must be."""
    return (
        given(requirement.fields, lambda codes: f"in the ISCED-F field {either(codes)}"),
        given(requirement.excluded_fields, lambda codes: f"not in the field {either(codes)}"),
        given(requirement.least_length, lambda length: f"at least {length} long"),
        given(requirement.excluded_countries, lambda codes: f"not from {either(codes)}"),
        given(requirement.accredited_by, lambda names: f"accredited by {either(names)}"),
        given(requirement.equivalent_to, lambda names: f"found equivalent to {either(names)}"),
    )


def _hours(requirement: QualificationHeld) -> tuple[str, ...]:
    """Return what its curriculum must hold."""
    least = (requirement.least_hours or {}).items()
    return (
        given(requirement.total_hours, lambda total: f"with at least {hours(total)} in all"),
        together(
            f"with at least {hours(minutes)} in the category {category}"
            for category, minutes in least
        ),
        together(
            f"with the category {each.category} at least {share(each.share)} of {_base(each)}"
            for each in requirement.shares
        ),
    )


def _base(least: LeastShare) -> str:
    """Return of what the share is asked."""
    if least.of == "stated hours":
        return hours(least.hours or 0)
    return "the required total" if least.of == "required total" else "the programme's total"


def _following(requirement: QualificationHeld) -> str:
    """Return after which other qualification it must have been completed."""
    if requirement.following is None:
        return ""
    within = given(requirement.following_within, lambda time: f"within {time} ")
    return f"completed {within}after the qualification {either(requirement.following)}"


def _completion(requirement: QualificationHeld, at: str) -> tuple[str, ...]:
    """Return when it must have been completed."""
    return (
        given(requirement.within, lambda window: f"completed {before(window, at)}"),
        given(requirement.at_least_ago, lambda time: f"completed at least {time} before {at}"),
        _following(requirement),
        given(requirement.completed_from, lambda day: f"completed on or after {iso(day)}"),
        given(requirement.completed_until, lambda day: f"completed on or before {iso(day)}"),
    )


@readings.register
def _qualification_readings(requirement: QualificationHeld, at: str) -> tuple[str, ...]:
    sentences = (
        "One and the same qualification has to meet all of this",
        given(
            requirement.within,
            lambda window: (
                f"The {window} are counted after the day of completion, "
                f"their last day included; {at} must fall inside them"
            ),
        ),
    )
    return tuple(sentence for sentence in sentences if sentence)


@phrase.register
def _registration(requirement: RegistrationHeld, at: str) -> str:
    eligible = "(or the standing of being eligible for one)" if requirement.or_eligible else ""
    past = "held at some time" if requirement.within is None else "held"
    return run_on(
        run_on(
            "a registration",
            eligible,
            f"current at {at}" if requirement.held == "current" else past,
            given(requirement.within, lambda window: _last_held(requirement, window, at)),
        ),
        given(requirement.titles, lambda words: f"as {either(words)}"),
        given(requirement.authorities, lambda names: f"with {either(names)}"),
        given(requirement.countries, lambda codes: f"in {either(codes)}"),
        given(requirement.categories, lambda names: f"in the category {either(names)}"),
        given(
            requirement.excluded_categories, lambda names: f"not in the category {either(names)}"
        ),
        given(requirement.for_at_least, lambda time: f"for at least {time} without a break"),
        run_on(
            given(requirement.in_all, lambda time: f"for at least {time} in all"),
            given(requirement.look_back, lambda window: before(window, at)),
        ),
        by=", ",
    )


def _last_held(requirement: RegistrationHeld, window: Period, at: str) -> str:
    """Return how long ago a registration may have ended."""
    if requirement.for_at_least is None:
        return before(window, at)
    return f"until at most {window.words} before {at}"


@phrase.register
def _nationality(requirement: NationalityHeld, at: str) -> str:
    del at
    return f"nationality of {either(requirement.countries)}"


@phrase.register
def _residence(requirement: ResidenceHeld, at: str) -> str:
    del at
    return f"residence in {either(requirement.countries)}"


@phrase.register
def _age(requirement: AgeReached, at: str) -> str:
    ends = (
        given(requirement.at_least, lambda age: f"of at least {years(age)}"),
        given(requirement.below, lambda age: f"below {years(age)}"),
    )
    return run_on("an age", together(end for end in ends if end), f"at {at}")


@phrase.register
def _declared(requirement: Declared, at: str) -> str:
    del at
    return f"the answer {'yes' if requirement.answer else 'no'} to: {requirement.question}"


@phrase.register
def _dates(requirement: DatesOpen, at: str) -> str:
    return run_on(
        f"{at} on a day",
        given(requirement.from_, lambda day: f"from {iso(day)}"),
        given(requirement.until, lambda day: f"to {iso(day)}"),
        given(requirement.every_year_from, lambda day: f"from {day_of_year(day)}"),
        given(requirement.every_year_until, lambda day: f"to {day_of_year(day)}"),
        "of any year" if requirement.every_year_from or requirement.every_year_until else "",
    )


@readings.register
def _dates_readings(requirement: DatesOpen, at: str) -> tuple[str, ...]:
    del requirement, at
    return ("The first and the last day count",)


@phrase.register
def _elapsed(requirement: Elapsed, at: str) -> str:
    milestone = spoken(requirement.since)
    ends = (
        given(requirement.at_least, lambda time: f"at least {time}"),
        given(requirement.within, lambda time: f"at most {time}"),
    )
    said = together(end for end in ends if end)
    pending = f", if {milestone} has happened at all" if not requirement.happened else ""
    return run_on(f"{at}", said, f"after {milestone}{pending}")


@readings.register
def _elapsed_readings(requirement: Elapsed, at: str) -> tuple[str, ...]:
    del at
    return (f"The day of {spoken(requirement.since)} is not counted, the last day is",)
