"""Who practised what on which day: the log from which readiness is worked out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from comity.core.days.calendar import Day, iso
from comity.core.exam.responses import MAX_NAMED, ResponsesError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import numpy.typing as npt

    from comity.core.exam.items import Item
    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

SURE: Final = 0.98
"""A judged share is taken no nearer to nothing or all than this."""


class DatedAnswer(NamedTuple):
    """One answer: 1 right, 0 wrong."""

    person: str
    item: str
    on: Day
    score: float


@dataclass(frozen=True, slots=True)
class PracticeItem:
    """What readiness needs to know of an item.

    Parameters
    ----------
    id, domain : str
        Ids; the domain is one of the blueprint, or a part of one.
    judged : float or None
        Share of people just good enough who are expected to know it, 0 to 1.
    """

    id: str
    domain: str
    judged: float | None = None

    @property
    def judged_difficulty(self) -> float | None:
        """The judged share as a difficulty in logits: positive is hard."""
        if self.judged is None:
            return None
        share = min(max(self.judged, 1 - SURE), SURE)
        return float(np.log((1 - share) / share))


def practice_items(items: Iterable[Item]) -> tuple[PracticeItem, ...]:
    """Return what readiness needs to know of the items of a bank."""
    return tuple(
        PracticeItem(each.id, each.domain, None if each.judged is None else float(each.judged))
        for each in items
    )


@dataclass(frozen=True, slots=True, eq=False)
class Practice:
    """Everyone's answers, the oldest first. Made by `practice_from_log`, which checks.

    Parameters
    ----------
    items : tuple of PracticeItem
        What may be asked, each once.
    people : tuple of str
        Ids, sorted.
    person, item : ndarray of int
        Of each answer, the place in `people` and `items`.
    on : ndarray of int
        Of each answer, the day.
    score : ndarray of float
        Of each answer, 1 right or 0 wrong.
    today : Day
        The day up to which answers are in.
    """

    items: tuple[PracticeItem, ...]
    people: tuple[str, ...]
    person: Ints
    item: Ints
    on: Ints
    score: Floats
    today: Day

    def answers_of(self, person: str) -> npt.NDArray[np.bool_]:
        """Return which answers are a person's; none of a person who is not known."""
        if person not in self.people:
            return np.zeros(self.person.size, dtype=np.bool_)
        own: npt.NDArray[np.bool_] = self.person == self.people.index(person)
        return own


def practice_from_log(
    answers: Iterable[DatedAnswer], items: Sequence[PracticeItem], *, today: Day
) -> Practice:
    """Return the checked log, sorted by day; answers of one day keep their order.

    All answers are kept, not just first ones: a later answer to the same item shows how well that
    item is remembered, which the model of readiness tells from ability.

    Raises
    ------
    ResponsesError
        When an item is unknown or stands twice, a score is neither 0 nor 1, or an answer lies after
        `today`; with all faults at once.
    """
    log = sorted(answers, key=lambda each: each.on)
    place = {item.id: at for at, item in enumerate(items)}
    faults = [*_faults_of_items(items), *_faults_of_answers(log, place, today)]
    if faults:
        raise ResponsesError(tuple(faults))
    people = tuple(sorted({each.person for each in log}))
    row = {person: at for at, person in enumerate(people)}
    return Practice(
        tuple(items),
        people,
        np.array([row[each.person] for each in log], dtype=np.int64),
        np.array([place[each.item] for each in log], dtype=np.int64),
        np.array([each.on for each in log], dtype=np.int64),
        np.array([each.score for each in log], dtype=np.float64),
        today,
    )


def _faults_of_items(items: Sequence[PracticeItem]) -> list[str]:
    """Return items given twice or judged to be known by more than all."""
    ids = [item.id for item in items]
    twice = sorted({each for each in ids if ids.count(each) > 1}) if len({*ids}) < len(ids) else []
    strange = [
        f"{item.id!r} is judged {item.judged:g}"
        for item in items
        if item.judged is not None and not 0 <= item.judged <= 1
    ]
    return [
        *([f"items that stand more than once: {_named(twice)}"] if twice else []),
        *([f"a judged share must be from 0 to 1: {strange[0]}"] if strange else []),
    ]


def _faults_of_answers(log: Sequence[DatedAnswer], place: dict[str, int], today: Day) -> list[str]:
    """Return what is wrong with answers, a sentence for each kind of fault."""
    unknown = sorted({each.item for each in log if each.item not in place})
    strange = [each for each in log if each.score not in {0, 1}]
    early = [each for each in log if each.on > today]
    faults = [f"answers to unknown items: {_named(unknown)}"] if unknown else []
    if strange:
        one = strange[0]
        faults.append(
            f"scores must be 0 or 1: {one.person!r} has {one.score:g} on {one.item!r}"
            + _and_more(len(strange))
        )
    if early:
        one = early[0]
        faults.append(
            f"answers must not lie after {iso(today)}: {one.person!r} answered {one.item!r}"
            f" on {iso(one.on)}" + _and_more(len(early))
        )
    return faults


def _and_more(count: int) -> str:
    return f", and {count - 1} more" if count > 1 else ""


def _named(ids: Sequence[str]) -> str:
    """Return the first few ids as a list in words."""
    rest = f" and {len(ids) - MAX_NAMED} more" if len(ids) > MAX_NAMED else ""
    return ", ".join(repr(each) for each in ids[:MAX_NAMED]) + rest
