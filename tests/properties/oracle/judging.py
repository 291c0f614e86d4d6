"""Requirements made of requirements, and the answer of any requirement on one day."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple

from tests.properties.oracle import educating, practising, qualifying, testing
from tests.properties.oracle.months import (
    ONE_DAY,
    after,
    end_of_beginning,
    enough_days,
    exactly,
    first_day_counted,
)
from tests.properties.oracle.practising import gap_has_reached, last_contact
from tests.properties.oracle.world import (
    World,
    dated,
    excluded,
    known,
    n_days_inside,
    plain,
    unbroken_runs,
)

if TYPE_CHECKING:
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
    from comity.core.rulebook.kinds.testing import ExaminationPassed


class Answer(NamedTuple):
    """Whether a requirement holds, holds or is the authority's to decide, or does not apply."""

    yes: bool
    ok: bool
    na: bool = False

    @property
    def is_fulfilled(self) -> bool:
        """Whether it holds as a condition: it applies, and the authority has nothing to decide."""
        return self.yes and not self.na

    @property
    def yes_or_na(self) -> bool:
        """Whether it is no obstacle."""
        return self.yes or self.na

    @property
    def ok_or_na(self) -> bool:
        """Whether it is no certain obstacle."""
        return self.ok or self.na

    @property
    def verdict(self) -> str:
        """The answer in a word. In a complete file nothing is unknown."""
        if self.na:
            return "not applicable"
        if not self.ok:
            return "not met"
        return "met" if self.yes else "refer"


Holds = Callable[[Any, World, date], bool]
Judges = Callable[[Any, World, date], Answer]

HOLDS: Mapping[str, Holds] = {
    "practice": practising.practice_holds,
    "interruption": practising.interruption_holds,
    "recency": practising.recency_holds,
    "updating": practising.updating_holds,
    "continuing education": educating.education_holds,
    "qualification": qualifying.qualification_holds,
    "registration": qualifying.registration_holds,
    "nationality": qualifying.nationality_holds,
    "residence": qualifying.residence_holds,
    "age": qualifying.age_holds,
    "declaration": qualifying.declaration_holds,
    "dates": qualifying.dates_hold,
    "elapsed": qualifying.elapsed_holds,
    "language": testing.language_holds,
    "certificate": testing.certificate_holds,
    "paper": testing.paper_holds,
}


def answer(requirement: Requirement, world: World, day: date) -> Answer:
    """Return what a requirement says of a complete file on one day."""
    kind = requirement.kind
    if kind in HOLDS:
        holds = HOLDS[kind](requirement, world, day)
        given = Answer(holds, holds)
    else:
        given = JUDGES[kind](requirement, world, day)
    applies = not _is_out(requirement, world, day)
    return Answer(given.yes, given.ok, given.na or not applies)


def _is_out(requirement: Requirement, world: World, day: date) -> bool:
    """Whether a requirement does not apply; a condition left to the authority is not fulfilled."""
    if requirement.when is not None and not answer(requirement.when, world, day).is_fulfilled:
        return True
    return requirement.unless is not None and answer(requirement.unless, world, day).is_fulfilled


def _all(requirement: All, world: World, day: date) -> Answer:
    return _every([answer(part, world, day) for part in requirement.of])


def _every(parts: list[Answer]) -> Answer:
    return Answer(
        all(part.yes_or_na for part in parts),
        all(part.ok_or_na for part in parts),
        bool(parts) and all(part.na for part in parts),
    )


def _at_least(k: int, parts: list[Answer]) -> Answer:
    return Answer(
        sum(part.yes and not part.na for part in parts) >= k,
        sum(part.ok and not part.na for part in parts) >= k,
        bool(parts) and all(part.na for part in parts),
    )


def _any(requirement: AnyOf, world: World, day: date) -> Answer:
    return _at_least(1, [answer(part, world, day) for part in requirement.of])


def _k_of_n(requirement: AtLeast, world: World, day: date) -> Answer:
    return _at_least(requirement.k, [answer(part, world, day) for part in requirement.of])


def _points(requirement: Points, world: World, day: date) -> Answer:
    answers = [(each.points, answer(each.for_, world, day)) for each in requirement.of]
    sure = sum(n for n, part in answers if part.yes and not part.na)
    thinkable = sum(n for n, part in answers if part.ok and not part.na)
    return Answer(
        sure >= requirement.needed,
        thinkable >= requirement.needed,
        all(part.na for _n, part in answers),
    )


def _not(requirement: Not, world: World, day: date) -> Answer:
    part = answer(requirement.of, world, day)
    return Answer(not part.ok, not part.yes, part.na)


def _conflict(requirement: Conflict, world: World, day: date) -> Answer:
    parts = [answer(part, world, day) for part in requirement.of]
    return Answer(all(part.yes for part in parts), any(part.ok for part in parts))


def _refer(requirement: Refer, world: World, day: date) -> Answer:
    del requirement, world, day
    return Answer(yes=False, ok=True)


def _by_hand(requirement: ByHand, world: World, day: date) -> Answer:
    del day
    name = f"{world.prefix}{known(requirement.id)}"
    reviews = [
        each for each in world.applicant.results.reviews if plain(each.requirement) == plain(name)
    ]
    assert reviews, "the oracle answers complete files only"
    verdict = max(reviews, key=lambda review: review.on).verdict
    return Answer(verdict == "met", verdict in {"met", "refer"})


def _same_as(requirement: SameAs, world: World, day: date) -> Answer:
    return answer(world.others[requirement.requirement], world, day)


def _bands(requirement: Bands, world: World, day: date) -> Answer:
    last = last_contact(requirement, world, day)
    owed = [
        _every([answer(part, world, day) for part in band.requires])
        for band in requirement.bands
        if _is_in_band(band, last, day, requirement.anchor)
    ]
    return Answer(any(part.yes_or_na for part in owed), any(part.ok_or_na for part in owed))


def _is_in_band(band: Band, last: date | None, day: date, anchor: str) -> bool:
    if last is None:
        return band.below is None and band.up_to is None

    def reached(bound: Period) -> int:
        return gap_has_reached(last, day, bound=bound, anchor=anchor)

    return (
        (band.from_ is None or reached(band.from_) >= 0)
        and (band.more_than is None or reached(band.more_than) > 0)
        and (band.below is None or reached(band.below) < 0)
        and (band.up_to is None or reached(band.up_to) <= 0)
    )


def _for_each(requirement: ForEach, world: World, day: date) -> Answer:
    by_key: dict[str, list[tuple[date, date]]] = {}
    for key, spell in _keyed(requirement, world):
        if not excluded(key, requirement.excluded):
            by_key.setdefault(plain(key), []).extend(dated([spell]))
    if requirement.from_age is not None:
        grown = after(exactly(world.facts.person.born), requirement.from_age)
        by_key = {
            key: [(max(start, grown), end) for start, end in spells if end >= grown]
            for key, spells in by_key.items()
        }
    turns = [
        answer(requirement.of, _turn(requirement, world, key), day)
        for key, spells in by_key.items()
        if _matters(requirement, spells, day)
    ]
    held = _every(turns)
    return Answer(held.yes, held.ok)


def _turn(requirement: ForEach, world: World, key: str) -> World:
    def bound() -> World:
        if requirement.over == "authority of registration":
            return world.bound(authority=key)
        return world.bound(country=key)

    return world.once(("turn", id(requirement), key), bound)


def _keyed(requirement: ForEach, world: World) -> list[tuple[str, Any]]:
    if requirement.over == "country of stay":
        return [(known(each.country), each) for each in known(world.facts.stays)]
    if requirement.over == "country of practice":
        return [(known(each.country), each) for each in known(world.facts.practice)]
    held = [each for each in known(world.facts.registrations) if each.state == "held"]
    return [(known(each.authority), each) for each in held]


def _matters(requirement: ForEach, spells: list[tuple[date, date]], day: date) -> bool:
    opens = first_day_counted(day, requirement.look_back)
    in_all = requirement.least_in_all
    if in_all is not None and n_days_inside(
        spells, day, look_back=requirement.look_back
    ) < enough_days(in_all):
        return False
    if requirement.least_stay is None:
        return in_all is not None or any(
            start <= day and end >= max(opens, start) for start, end in spells
        )
    return any(
        end_of_beginning(max(start, opens), requirement.least_stay) <= min(end, day + ONE_DAY)
        for start, end in unbroken_runs(spells)
    )


def _examination(requirement: ExaminationPassed, world: World, day: date) -> Answer:
    holds = testing.examination_holds(requirement, world, day)
    if requirement.remedial is None:
        return Answer(holds, holds)
    owed_from = testing.remedial_owed_from(requirement, world)
    if owed_from is None or day < owed_from:
        return Answer(holds, holds)
    remedial = answer(requirement.remedial, world, day)
    return Answer(holds and remedial.yes_or_na, holds and remedial.ok_or_na)


JUDGES: Mapping[str, Judges] = {
    "all": _all,
    "any": _any,
    "at least": _k_of_n,
    "points": _points,
    "not": _not,
    "conflict": _conflict,
    "refer": _refer,
    "by hand": _by_hand,
    "same as": _same_as,
    "bands": _bands,
    "for each": _for_each,
    "examination": _examination,
}
