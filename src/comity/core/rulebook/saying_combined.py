"""Words for requirements made of requirements, and for what a person decides."""

from __future__ import annotations

from comity.core.days.period import Period
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import (
    All,
    AnyOf,
    AtLeast,
    Band,
    Bands,
    ByHand,
    Conflict,
    ForEach,
    Not,
    Refer,
    SameAs,
)
from comity.core.rulebook.kinds.scoring import Points
from comity.core.rulebook.phrases import (
    before,
    either,
    given,
    run_on,
    scope,
    spoken,
    unstopped,
    years,
)
from comity.core.rulebook.saying import clause, opening, phrase, readings
from comity.core.rulebook.saying_practice import EVENTS, counted, which_registration

_OVER = {
    "country of stay": ("country lived in", "a stay"),
    "country of practice": ("country practised in", "a spell of practice"),
    "authority of registration": ("authority of a registration held", "a registration"),
}
_WHAT_ENDS_A_GAP = {**EVENTS, "qualification": "completing a qualification"}


def _listed(parts: tuple[Requirement, ...], at: str) -> str:
    """Return the parts with letters; a list inside the list stands in brackets."""
    return "; ".join(
        f"({chr(ord('a') + index)}) {_bracketed(part, at)}" for index, part in enumerate(parts)
    )


def _bracketed(part: Requirement, at: str) -> str:
    said = clause(part, at)
    return f"[{said}]" if opening(part, at) else said


@opening.register
def _all_opening(requirement: All, at: str) -> str:
    del requirement, at
    return "all of these"


@opening.register
def _any_opening(requirement: AnyOf, at: str) -> str:
    del requirement, at
    return "one of these is enough"


@opening.register
def _at_least_opening(requirement: AtLeast, at: str) -> str:
    del at
    return f"at least {requirement.k} of these {len(requirement.of)}"


@opening.register
def _points_opening(requirement: Points, at: str) -> str:
    del at
    most = sum(scored.points for scored in requirement.of)
    return f"at least {requirement.needed} of {most} points"


@opening.register
def _conflict_opening(requirement: Conflict, at: str) -> str:
    del requirement, at
    return "sources disagree; where these readings differ, the authority has to be asked"


@opening.register
def _not_opening(requirement: Not, at: str) -> str:
    del requirement, at
    return "this must not hold"


@opening.register
def _for_each_opening(requirement: ForEach, at: str) -> str:
    name, stay = _OVER[requirement.over]
    window = given(requirement.look_back, lambda time: before(time, at))
    least = run_on(
        given(requirement.least_stay, lambda time: f"with {stay} of at least {time}"),
        given(requirement.least_in_all, lambda time: f"for at least {time} in all"),
        by=" and ",
    )
    adult = given(requirement.from_age, lambda age: f"from the age of {years(age)} on")
    excluded = given(requirement.excluded, lambda names: f"but not {either(names)}")
    return run_on(run_on(f"for each {name}", least, window), adult, excluded, by=", ")


@opening.register
def _bands_opening(requirement: Bands, at: str) -> str:
    del at
    which = scope(requirement.scope)
    practice = run_on("practice", f"({which})" if which else "")
    return f"what is owed depends on the time out of {practice}"


@phrase.register(All)
@phrase.register(AnyOf)
@phrase.register(AtLeast)
@phrase.register(Conflict)
def _several(requirement: All | AnyOf | AtLeast | Conflict, at: str) -> str:
    return f"{opening(requirement, at)}: {_listed(requirement.of, at)}"


@phrase.register
def _points(requirement: Points, at: str) -> str:
    said = "; ".join(
        f"({chr(ord('a') + index)}) {points_of(scored.points)} for {_bracketed(scored.for_, at)}"
        for index, scored in enumerate(requirement.of)
    )
    return f"{opening(requirement, at)}: {said}"


def points_of(number: int) -> str:
    """Return a number of points in words."""
    return "1 point" if number == 1 else f"{number} points"


@phrase.register(Not)
@phrase.register(ForEach)
def _one_inside(requirement: Not | ForEach, at: str) -> str:
    return f"{opening(requirement, at)}: {_bracketed(requirement.of, at)}"


@phrase.register
def _bands(requirement: Bands, at: str) -> str:
    bands = "; ".join(f"{length_of(band)}: {_owed(band, at)}" for band in requirement.bands)
    return f"{opening(requirement, at)}: {bands}"


@readings.register
def _bands_readings(requirement: Bands, at: str) -> tuple[str, ...]:
    ends = (each for band in requirement.bands for each in ends_of(band) if each)
    unit = next(ends, None)
    rule = given(unit, lambda period: f", counted in {counted(period, requirement.anchor)}")
    events = either(_WHAT_ENDS_A_GAP[event] for event in requirement.counts)
    ending = run_on(events, which_registration(requirement.registrations))
    return (f"The time out is that up to {at}{rule}", f"What ends it: {ending}")


def ends_of(band: Band) -> tuple[Period | None, Period | None]:
    """Return the lower and the upper end of a band; None where it is open."""
    return band.from_ or band.more_than, band.below or band.up_to


def length_of(band: Band) -> str:
    """Return a band's range in words that tell whether its ends belong to it."""
    ends = (
        given(band.from_, lambda end: f"{end} or more"),
        given(band.more_than, lambda end: f"more than {end}"),
        given(band.below, lambda end: f"less than {end}"),
        given(band.up_to, lambda end: f"not more than {end}"),
    )
    return run_on(*ends, by=" but ") or "any time"


def _owed(band: Band, at: str) -> str:
    return "; ".join(_bracketed(part, at) for part in band.requires) or "nothing is owed"


@phrase.register
def _same_as(requirement: SameAs, at: str) -> str:
    del at
    title, slash, name = requirement.requirement.rpartition("/")
    other = f" of the title {spoken(title)}" if slash else ""
    return f'the same as "{spoken(name)}"{other}'


@phrase.register
def _refer(requirement: Refer, at: str) -> str:
    del at
    return run_on(
        f"decided case by case by {requirement.decided_by}",
        f"looking at {', '.join(requirement.factors)}" if requirement.factors else "",
        f"to prepare: {', '.join(requirement.prepare)}" if requirement.prepare else "",
        by="; ",
    )


@phrase.register
def _by_hand(requirement: ByHand, at: str) -> str:
    del at
    return f"{unstopped(requirement.text)} (to be read and judged by {requirement.checked_by})"
