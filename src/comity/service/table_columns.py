"""The columns of a table of applicants: their headings, and the facts they hold."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from comity.files.workbooks import TableProblem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

MOST_ENTRIES: Final = 20
"""Columns are numbered up to here."""
_NUMBERED: Final = re.compile(r"([a-z]+) ([0-9]{1,2})(?: (.+))?")
_BLANKS: Final = re.compile(r"[\s_-]+")


@dataclass(frozen=True, slots=True)
class Group:
    """Columns that belong together and may be numbered.

    Parameters
    ----------
    word : str
        With which their headings begin.
    section : str
        The applicant file's list of such entries.
    fields : mapping
        From the rest of each heading to the entry's field.
    """

    word: str
    section: str
    fields: Mapping[str, str]

    @property
    def first_field(self) -> str:
        """The field by which people name an entry."""
        return next(iter(self.fields.values()))


@dataclass(frozen=True, slots=True)
class Column:
    """A column, and which fact stands in it."""

    heading: str
    section: str
    field: str
    entry: int = 0

    @property
    def place(self) -> tuple[str, int]:
        """The section, and which of its entries."""
        return (self.section, self.entry)


SINGLE: Final[Mapping[str, tuple[str, str]]] = {
    "reference": ("about", "applicant"),
    "name": ("about", "name"),
    "born": ("person", "born"),
    "nationality": ("person", "nationality"),
    "residence": ("person", "residence"),
}
GROUPS: Final = (
    Group(
        "degree",
        "qualifications",
        {
            "title": "title",
            "level": "level",
            "country": "country",
            "school": "institution",
            "length": "length",
            "completed": "completed",
        },
    ),
    Group(
        "post",
        "practice",
        {
            "employer": "employer",
            "title": "title",
            "setting": "setting",
            "country": "country",
            "start": "start",
            "end": "end",
            "hours": "hours_a_week",
        },
    ),
    Group(
        "registration",
        "registrations",
        {
            "authority": "authority",
            "country": "country",
            "title": "title",
            "category": "category",
            "start": "start",
            "end": "end",
        },
    ),
)


def group_of(section: str) -> Group:
    """Return the columns of a section."""
    return next(each for each in GROUPS if each.section == section)


def heading_of(section: str, field: str, *, place: int = 0) -> str:
    """Return the heading of the column in which a fact stands.

    Examples
    --------
    >>> heading_of("practice", "hours_a_week"), heading_of("practice", "start", place=1)
    ('post hours', 'post 2 start')
    """
    for heading, where in SINGLE.items():
        if where == (section, field):
            return heading
    group = group_of(section)
    label = next((label for label, name in group.fields.items() if name == field), field)
    number = f" {place + 1}" if place else ""
    return f"{group.word}{number} {label}"


@lru_cache
def plain_headings() -> tuple[str, ...]:
    """Return every heading, without numbers, in the order in which tables are written."""
    several = (f"{group.word} {label}" for group in GROUPS for label in group.fields)
    return (*SINGLE, *several)


def columns_of(headings: Sequence[str]) -> tuple[tuple[Column, ...], tuple[TableProblem, ...]]:
    """Return the columns under some headings, or all that is wrong with these."""
    columns: list[Column] = []
    problems: list[TableProblem] = []
    for heading in headings:
        if not heading:
            # A cell below it is a problem of its own; a blank column is none.
            columns.append(Column("", "about", ""))
            continue
        column = _column(heading)
        if column is None:
            problems.append(_unknown(heading))
        elif any(column.place == each.place and column.field == each.field for each in columns):
            problems.append(_twice(heading))
        else:
            columns.append(column)
    if not problems and all(each.field != "applicant" for each in columns):
        problems.append(_without_reference(headings))
    return tuple(columns), tuple(problems)


def _plain(heading: str) -> str:
    return _BLANKS.sub(" ", heading).strip().casefold()


def _column(heading: str) -> Column | None:
    plain = _plain(heading)
    if plain in SINGLE:
        return Column(plain, *SINGLE[plain])
    match = _NUMBERED.fullmatch(plain)
    word, number, label = match.groups() if match else (*_parted(plain),)
    group = next((each for each in GROUPS if each.word == word), None)
    place = int(number) - 1
    if group is None or label not in group.fields or not 0 <= place < MOST_ENTRIES:
        return None
    name = group.fields[label]
    return Column(heading_of(group.section, name, place=place), group.section, name, place)


def _parted(plain: str) -> tuple[str, str, str]:
    word, _blank, label = plain.partition(" ")
    return word, "1", label


def _unknown(heading: str) -> TableProblem:
    near = get_close_matches(_plain(heading), plain_headings(), 1)
    return TableProblem(
        "there is no column of this name",
        row=1,
        column=heading,
        got=heading,
        expected=f"one of {', '.join(plain_headings())}",
        hint=f"did you mean “{near[0]}”?" if near else "leave the column out, or rename it",
    )


def _twice(heading: str) -> TableProblem:
    return TableProblem(
        "the column stands twice",
        row=1,
        column=heading,
        got=heading,
        hint="number the second one, as “post 2 employer”, or leave it out",
    )


def _without_reference(headings: Sequence[str]) -> TableProblem:
    return TableProblem(
        "no column holds the reference, by which an applicant is told from the others",
        row=1,
        got=", ".join(filter(None, headings))[:100],
        expected="a column with the heading “reference”",
        hint="the first row has to hold the headings",
    )
