"""Applicants as rows of a table: one row a person, further entries in numbered columns.

A table says less than an applicant file. What it has no column for, and what a cell leaves empty,
stays as it is: a table adds and changes, it never takes away.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final

from comity.core.days.partial import PartialDate
from comity.core.declaring.fields import complaints_of, fields_of
from comity.core.declaring.shapes import ScalarShape
from comity.core.eligibility.question_words import NAMED_BY
from comity.core.facts.model import Applicant, Person
from comity.core.facts.sections import entries_of
from comity.files.workbooks import TableProblem
from comity.service.applicant_parts import RECORDS, identifier_of
from comity.service.editing import Refused, changed_entry, record_of, with_entries, with_none
from comity.service.editing_fields import FieldError, read_field, shown
from comity.service.table_columns import GROUPS, Column, columns_of, group_of, heading_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from comity.core.declaring.fields import DeclaredField
    from comity.files.tables import Row, Table

_NONE: Final = "none"
_MINUTES: Final = 60
_HUNDREDTHS: Final = 100

Place = tuple[str, int]
"""A section, and which of its entries; of the person and the name, the first."""


@dataclass(frozen=True, slots=True)
class RowRead:
    """What a row says of one applicant.

    Parameters
    ----------
    number : int
        Of the row.
    reference : str
        The applicant's id.
    said : mapping
        For each entry something is said of: the values, by field.
    typed : mapping
        The same as typed.
    none : frozenset of str
        Sections of which it says that there is nothing in them.
    """

    number: int
    reference: str
    said: Mapping[Place, Mapping[str, Any]]
    typed: Mapping[Place, Mapping[str, str]]
    none: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """The applicant's name, as far as the row says it."""
        return str(self.said.get(("about", 0), {}).get("name") or "")

    @property
    def counts(self) -> tuple[int, ...]:
        """How many degrees, posts and registrations it names."""
        return tuple(
            sum(section == group.section for section, _entry in self.said) for group in GROUPS
        )


@dataclass(frozen=True, slots=True)
class Difference:
    """A value that a row would change: the column, what stands there, what would."""

    heading: str
    before: str
    after: str


@dataclass(slots=True)
class TableRead:
    """All rows that could be read, and all that is wrong with the table."""

    rows: list[RowRead] = field(default_factory=list)
    problems: list[TableProblem] = field(default_factory=list)


# -------------------------------------------------------------------------------------------- in


def read_rows(table: Table) -> TableRead:
    """Return what the rows of a table say, with every problem by row and column."""
    columns, problems = columns_of(table.headings)
    found = TableRead(problems=[*problems, *table.problems])
    if problems:
        return found
    seen: dict[str, int] = {}
    for row in table.rows:
        read = _row(row, columns, found.problems)
        if read is None:
            continue
        if read.reference in seen:
            found.problems.append(_double(read, seen[read.reference]))
        else:
            seen[read.reference] = read.number
            found.rows.append(read)
    found.problems.sort(key=lambda each: each.row or 0)
    return found


def _double(read: RowRead, first: int) -> TableProblem:
    return TableProblem(
        f"the same reference stands in row {first}",
        row=read.number,
        column="reference",
        got=read.reference,
        expected="one row for each applicant",
        hint="put further posts and degrees into numbered columns, as “post 2 employer”",
    )


def _row(row: Row, columns: Sequence[Column], problems: list[TableProblem]) -> RowRead | None:
    said: dict[Place, dict[str, Any]] = defaultdict(dict)
    typed: dict[Place, dict[str, str]] = defaultdict(dict)
    before = len(problems)
    filled = [
        (each, text) for each, text in zip(columns, row.cells, strict=True) if text and each.field
    ]
    none = _nothing_in(filled)
    for column, text in filled:
        if column.section in none:
            continue
        try:
            value = read_field(_field_of(column), text, ())
        except FieldError as error:
            problems.append(_cell_problem(error, row.number, column))
            continue
        if value is not None:
            said[column.place][column.field] = value
            typed[column.place][column.field] = text
    about = said.get(("about", 0), {})
    reference = str(about.pop("applicant", ""))
    problems.extend(_complaints(said, row.number))
    if not reference and len(problems) == before:
        problems.append(_without_reference(row.number))
    if len(problems) > before:
        return None
    return RowRead(row.number, reference, dict(said), dict(typed), none)


def _nothing_in(filled: Sequence[tuple[Column, str]]) -> frozenset[str]:
    """Return the sections whose only cell says “none”."""
    by_section: dict[str, list[tuple[Column, str]]] = defaultdict(list)
    for column, text in filled:
        by_section[column.section].append((column, text))
    return frozenset(
        group.section
        for group in GROUPS
        if len(cells := by_section[group.section]) == 1
        and cells[0][1].casefold() == _NONE
        and cells[0][0].field == group.first_field
    )


def _without_reference(number: int) -> TableProblem:
    return TableProblem(
        "the row has no reference",
        row=number,
        column="reference",
        expected="a short name of small letters, digits and hyphens, as a-017",
    )


def _cell_problem(error: FieldError, number: int, column: Column) -> TableProblem:
    problem = error.problem
    return TableProblem(
        problem.rule or "the value cannot be taken",
        row=number,
        column=column.heading,
        got=problem.found,
        expected=problem.expected,
        hint=problem.hint,
    )


def _complaints(said: Mapping[Place, Mapping[str, Any]], number: int) -> Iterator[TableProblem]:
    for (section, place), values in said.items():
        if section in RECORDS:
            record = RECORDS[section](id="x", **values)
            yield from _complaints_of(record, section, place=place, number=number)


def _complaints_of(
    record: object, section: str, *, place: int, number: int
) -> Iterator[TableProblem]:
    for each in complaints_of(record):
        yield TableProblem(
            each.message,
            row=number,
            column=heading_of(section, str(each.path[0]), place=place),
            got=each.got,
            expected=each.expected,
            hint=each.hint,
        )


def _field_of(column: Column) -> DeclaredField:
    return _field(column.section, column.field)


def _field(section: str, name: str) -> DeclaredField:
    record = {"about": Applicant, "person": Person}.get(section) or RECORDS[section]
    return next(each for each in fields_of(record) if each.name == name)


def new_applicant(row: RowRead) -> Applicant:
    """Return the applicant of a row that the office does not have yet."""
    return _after(row, Applicant(applicant=row.reference))


# ------------------------------------------------------------------------- people who are there


def differences(row: RowRead, applicant: Applicant) -> tuple[Difference, ...]:
    """Return what a row would change of somebody who is there already, in the row's order."""
    found = []
    for (section, place), values in row.said.items():
        record = _record_at(applicant, section, place)
        for name, value in values.items():
            held = getattr(record, name, None)
            if held != value:
                heading = heading_of(section, name, place=place)
                told = [_cell(each, _field(section, name)) for each in (held, value)]
                found.append(Difference(heading, *told))
    unknown = (each for each in sorted(row.none) if entries_of(applicant, each) is None)
    none = (Difference(heading_of(each, group_of(each).first_field), "", _NONE) for each in unknown)
    return (*found, *none)


def conflicts(row: RowRead, applicant: Applicant) -> Iterator[TableProblem]:
    """Yield what speaks against a row that changes somebody: it would take facts away, or clash."""
    for section in sorted(row.none):
        if entries_of(applicant, section):
            yield TableProblem(
                "the table says none where facts are known",
                row=row.number,
                column=heading_of(section, group_of(section).first_field),
                got=_NONE,
                hint="empty the cell, or remove the facts on the applicant's page",
            )
    for section, place in row.said:
        record = _record_at(applicant, section, place)
        if section in RECORDS and record is not None:
            new = replace(record, **row.said[section, place])
            yield from _complaints_of(new, section, place=place, number=row.number)


def changed_text(text: str, row: RowRead, applicant: Applicant) -> str:
    """Return an applicant's file with what a row says put into it; comments stay.

    What a table changes is stated again, however well the old value was known.

    Raises
    ------
    ValueError
        When the file cannot take it; `conflicts` tells why beforehand.
    """
    places = [
        place
        for place, values in row.said.items()
        if any(
            getattr(_record_at(applicant, *place), name, None) != value
            for name, value in values.items()
        )
    ]
    for section, place in places:
        typed = dict(row.typed[section, place])
        typed.pop("applicant", None)
        if section != "about":
            typed["evidence"] = "stated"
        record = _record_at(applicant, section, place)
        entry = record.id if section in RECORDS and record is not None else ""
        text = _put(text, section, typed, entry=entry)
    for section in row.none:
        if entries_of(applicant, section) is None:
            text = _with_nothing(text, section)
    return text


def _put(text: str, section: str, typed: Mapping[str, str], *, entry: str) -> str:
    edited = changed_entry(text, section, typed, entry=entry)
    if isinstance(edited, Refused):
        problem = next(iter(edited.problems.values()))
        raise ValueError(problem.sentence)  # noqa: TRY004 - the value is at fault, not its type
    return edited.text


def _with_nothing(text: str, section: str) -> str:
    edited = with_none(text, section)
    return text if isinstance(edited, Refused) else edited.text


def _record_at(applicant: Applicant, section: str, place: int) -> Any:  # noqa: ANN401
    if section not in RECORDS:
        return record_of(applicant, section, "")
    entries = tuple(entries_of(applicant, section) or ())
    return entries[place] if place < len(entries) else None


def _after(row: RowRead, applicant: Applicant) -> Applicant:
    """Return a new applicant with what a row says."""
    about = dict(row.said.get(("about", 0), {}))
    person = Person(**row.said.get(("person", 0), {}))
    applicant = replace(applicant, **about, facts=replace(applicant.facts, person=person))
    for group in GROUPS:
        places = sorted(place for place in row.said if place[0] == group.section)
        entries = tuple(_entries(group.section, [row.said[place] for place in places]))
        if entries or group.section in row.none:
            applicant = with_entries(applicant, group.section, entries)
    return applicant


def _entries(section: str, several: Iterable[Mapping[str, Any]]) -> Iterator[Any]:
    held: set[str] = set()
    for values in several:
        named = str(values.get(NAMED_BY.get(section, ""), ""))
        base = identifier_of(named) or group_of(section).word
        key, number = base, 1
        while key in held:
            number += 1
            key = f"{base}-{number}"
        held.add(key)
        yield RECORDS[section](id=key, **values)


# ------------------------------------------------------------------------------------------- out


def headings_for(n_entries: Mapping[str, int]) -> tuple[str, ...]:
    """Return the headings of a table in which so many entries of each section have a place."""
    single = [heading_of(section, name) for section, name in SINGLE_FIELDS]
    several = [
        heading_of(group.section, name, place=place)
        for group in GROUPS
        for place in range(max(1, n_entries.get(group.section, 0)))
        for name in group.fields.values()
    ]
    return (*single, *several)


SINGLE_FIELDS: Final = (
    ("about", "applicant"),
    ("about", "name"),
    ("person", "born"),
    ("person", "nationality"),
    ("person", "residence"),
)


def numbers_of(applicant: Applicant) -> dict[str, int]:
    """Return how many entries an applicant has in each section that tables know."""
    return {group.section: len(entries_of(applicant, group.section) or ()) for group in GROUPS}


def cells_of(applicant: Applicant, n_entries: Mapping[str, int]) -> list[str]:
    """Return an applicant's row below the headings of `headings_for`."""
    cells = [
        _cell(getattr(record_of(applicant, section, ""), name), _field(section, name))
        for section, name in SINGLE_FIELDS
    ]
    for group in GROUPS:
        entries = entries_of(applicant, group.section)
        for place in range(max(1, n_entries.get(group.section, 0))):
            record = entries[place] if entries and place < len(entries) else None
            values = [getattr(record, name, None) for name in group.fields.values()]
            texts = [
                _cell(value, _field(group.section, name))
                for value, name in zip(values, group.fields.values(), strict=True)
            ]
            if place == 0 and entries is not None and not entries:
                texts[0] = _NONE
            cells += texts
    return cells


def _cell(value: Any, declared: DeclaredField) -> str:  # noqa: ANN401
    """Return a value as spreadsheets keep it whole: days by year, month, day; hours decimal."""
    if value is None:
        return ""
    if isinstance(value, PartialDate):
        return "still" if value.is_open else value.text
    shape = declared.shape
    if isinstance(shape, ScalarShape) and shape.scalar.name == "hours":
        hundredths, rest = divmod(int(value) * _HUNDREDTHS, _MINUTES)
        if not rest:
            return f"{hundredths / _HUNDREDTHS:g}"
    return shown(value, shape)
