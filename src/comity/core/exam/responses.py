"""Who answered which item right: one table, in one form, with what is odd about it said aloud."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

MAX_NAMED = 5
"""How many offenders a message names before it only counts the rest."""
ROWS_AND_COLUMNS = 2


class ResponsesError(ValueError):
    """The answers cannot be read as a table of right and wrong.

    Parameters
    ----------
    faults : tuple of str
        Everything that is wrong, a sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


class Answer(NamedTuple):
    """One answer of a log: 1 right, 0 wrong."""

    person: str
    item: str
    score: float


@dataclass(frozen=True, slots=True, eq=False)
class Responses:
    """Scores of people on items.

    Made by `responses_from_table` or `responses_from_log`, which check; equality is by ids, their
    order, and scores.

    Parameters
    ----------
    people, items : tuple of str
        Ids of the rows and the columns, each once.
    scores : ndarray of shape (n_people, n_items)
        1 right, 0 wrong, NaN not seen; float, contiguous, read-only.
    """

    people: tuple[str, ...]
    items: tuple[str, ...]
    scores: Floats

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Responses):
            return NotImplemented
        same_ids = (self.people, self.items) == (other.people, other.items)
        return same_ids and np.array_equal(self.scores, other.scores, equal_nan=True)

    def __hash__(self) -> int:
        return hash((self.people, self.items, self.scores.tobytes()))

    @property
    def seen(self) -> npt.NDArray[np.bool_]:
        """Where a person saw an item."""
        return ~np.isnan(self.scores)

    @property
    def n_people(self) -> int:
        """The number of people."""
        return len(self.people)

    @property
    def n_items(self) -> int:
        """The number of items."""
        return len(self.items)

    def of_items(self, wanted: Sequence[str]) -> Responses:
        """Return the columns of some items, in the order asked for."""
        place = {item: column for column, item in enumerate(self.items)}
        unknown = tuple(f"no answers to an item {item!r}" for item in wanted if item not in place)
        if unknown:
            raise ResponsesError(unknown)
        columns = [place[item] for item in wanted]
        return Responses(self.people, tuple(wanted), _frozen(self.scores[:, columns]))


def responses_from_table(
    scores: npt.ArrayLike,
    *,
    people: Sequence[str] | None = None,
    items: Sequence[str] | None = None,
) -> Responses:
    """Return a checked table.

    Parameters
    ----------
    scores : array_like of shape (n_people, n_items)
        0, 1, or NaN where an item was not seen; whole numbers, truth values and floats all do.
    people, items : sequence of str, optional
        Ids; without them rows and columns are numbered from 1.

    Raises
    ------
    ResponsesError
        When the table is not rectangular, an id stands twice or is missing, or a score is neither
        0 nor 1 nor NaN; with all faults at once.

    Examples
    --------
    >>> responses_from_table([[1, 0], [1, 1]], items=("q1", "q2")).items
    ('q1', 'q2')
    """
    try:
        table = np.array(scores, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise ResponsesError((f"scores must be a table of numbers: {error}",)) from None
    if table.ndim != ROWS_AND_COLUMNS:
        raise ResponsesError((f"scores must have rows and columns, got {table.ndim} dimension(s)",))
    row_ids = _numbered("person", table.shape[0]) if people is None else tuple(people)
    column_ids = _numbered("item", table.shape[1]) if items is None else tuple(items)
    faults = [
        *_faults_of_ids("person", row_ids, table.shape[0]),
        *_faults_of_ids("item", column_ids, table.shape[1]),
        *_faults_of_scores(table),
    ]
    if faults:
        raise ResponsesError(tuple(faults))
    return Responses(row_ids, column_ids, _frozen(table))


def responses_from_log(answers: Iterable[Answer], known_items: Sequence[str]) -> Responses:
    """Return the table of everyone's first answer to each item.

    A later answer to the same item measures memory of that item, not ability, so it is left out.
    People are sorted by id; items keep the order of `known_items`.

    Raises
    ------
    ResponsesError
        When an answer belongs to no known item or its score is neither 0 nor 1.
    """
    first: dict[tuple[str, str], float] = {}
    for answer in answers:
        first.setdefault((answer.person, answer.item), answer.score)
    column = {item: place for place, item in enumerate(known_items)}
    strangers = {item for _, item in first if item not in column}
    if strangers:
        raise ResponsesError((f"answers to unknown items: {_named(sorted(strangers))}",))
    people = tuple(sorted({person for person, _ in first}))
    row = {person: place for place, person in enumerate(people)}
    table = np.full((len(people), len(known_items)), np.nan)
    for (person, item), score in first.items():
        table[row[person], column[item]] = score
    return responses_from_table(table, people=people, items=known_items)


Oddity = Literal["nothing seen", "all right", "all wrong", "seen by nobody", "seen by one person"]


@dataclass(frozen=True, slots=True)
class Remark:
    """Something odd about a person or an item, and the rule that is kept for it.

    Parameters
    ----------
    subject : str
        Id of the person or item.
    of : {"person", "item"}
    oddity : str
        What is odd.
    rule : str
        What we do about it, a sentence without a full stop.
    """

    subject: str
    of: Literal["person", "item"]
    oddity: Oddity
    rule: str


_RULES_FOR_PEOPLE: dict[Oddity, str] = {
    "nothing seen": "counts nowhere; ability is the mean of the group, with its whole spread",
    "all right": "the likeliest ability is infinite; a finite estimate rests on the group as well",
    "all wrong": "the likeliest ability is infinite; a finite estimate rests on the group as well",
}
_RULES_FOR_ITEMS: dict[Oddity, str] = {
    "seen by nobody": "has no figures yet",
    "seen by one person": "one answer tells nothing of the item; only the answer is shown",
    "all right": "no discrimination and no likeliest difficulty; left out unless there is a prior",
    "all wrong": "no discrimination and no likeliest difficulty; left out unless there is a prior",
}


def remarks_on(responses: Responses) -> tuple[Remark, ...]:
    """Return what is odd about people and items, people first, each in the order of the table."""
    people = _oddities(responses.scores, {0: "nothing seen"})
    items = _oddities(responses.scores.T, {0: "seen by nobody", 1: "seen by one person"})
    return (
        *(
            Remark(responses.people[at], "person", odd, _RULES_FOR_PEOPLE[odd])
            for at, odd in people
        ),
        *(Remark(responses.items[at], "item", odd, _RULES_FOR_ITEMS[odd]) for at, odd in items),
    )


def _oddities(scores: Floats, by_count: dict[int, Oddity]) -> list[tuple[int, Oddity]]:
    """Return the rows which have no, one, only right or only wrong answers."""
    n_seen = (~np.isnan(scores)).sum(axis=1)
    n_right = np.nansum(scores, axis=1)
    found: list[tuple[int, Oddity]] = []
    for at in np.flatnonzero((n_seen <= max(by_count)) | (n_right == 0) | (n_right == n_seen)):
        fallback: Oddity = "all right" if n_right[at] else "all wrong"
        found.append((int(at), by_count.get(int(n_seen[at]), fallback)))
    return found


def _frozen(table: Floats) -> Floats:
    """Return a contiguous copy that nobody can write to."""
    copy = np.array(table, dtype=np.float64, order="C")
    copy.setflags(write=False)
    return copy


def _numbered(what: str, count: int) -> tuple[str, ...]:
    """Return ids for rows or columns that have none."""
    return tuple(f"{what} {number}" for number in range(1, count + 1))


def _named(ids: Sequence[str]) -> str:
    """Return the first few ids as a list in words."""
    rest = f" and {len(ids) - MAX_NAMED} more" if len(ids) > MAX_NAMED else ""
    return ", ".join(repr(each) for each in ids[:MAX_NAMED]) + rest


def _faults_of_ids(what: str, ids: tuple[str, ...], count: int) -> list[str]:
    """Return what is wrong with the ids of rows or columns."""
    faults = []
    if len(ids) != count:
        faults.append(f"{len(ids)} {what} ids for a table with {count}")
    twice = [each for each, times in Counter(ids).items() if times > 1]
    if twice:
        faults.append(f"{what} ids that stand more than once: {_named(twice)}")
    return faults


def _faults_of_scores(table: Floats) -> list[str]:
    """Return where scores are something else than right, wrong or not seen."""
    strange = np.argwhere(~(np.isnan(table) | (table == 0) | (table == 1)))
    if not strange.size:
        return []
    row, column = strange[0]
    found = f"row {row + 1}, column {column + 1} has {table[row, column]:g}"
    rest = f", and {len(strange) - 1} more" if len(strange) > 1 else ""
    return [f"scores must be 0, 1 or empty: {found}{rest}"]
