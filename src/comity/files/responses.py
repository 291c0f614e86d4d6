"""Answers of people to items, from tables and into them: CSV for people, Parquet for programs.

Two layouts are read from either. Long: a row an answer, with the columns ``person`` and ``item``
and at least one of ``answer`` (what was chosen or written) and ``right`` (1 or 0); ``on``, the day,
may follow. Wide: a row a person, ``person`` in the first column and a column an item; where every
cell is 1, 0 or empty they mean right and wrong, else what was answered.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final, Literal

from comity.core.days.calendar import Day, day_from_date, iso
from comity.core.problems import Place, Problem, has_errors
from comity.files.decoding import MAX_BYTES, read_bytes, text_of
from comity.files.tables import with_guard, without_guard

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

Layout = Literal["long", "wide"]
PERSON: Final = "person"
_LONG: Final = ("person", "item", "answer", "right", "on")
_RIGHT: Final = {"1": 1.0, "0": 0.0, "1.0": 1.0, "0.0": 0.0, "yes": 1.0, "no": 0.0}
_PARQUET: Final = b"PAR1"
MOST_CELLS: Final = 2_000_000
_EXPECTED: Final = "person,item,answer on the first line, or person and the ids of the items"


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer as a table has it.

    Parameters
    ----------
    person, item : str
        Ids.
    answer : str
        What was chosen (ids of options, parted by blanks) or written; empty where only right or
        wrong is told.
    right : float or None
        1 right, 0 wrong; None where the table leaves it to the key.
    on : Day or None
    place : Place
        Where it stands; of Parquet the line is the number of the row.
    """

    person: str
    item: str
    answer: str
    right: float | None
    on: Day | None
    place: Place


@dataclass(frozen=True, slots=True)
class LoadedResponses:
    """What stood in a table of answers.

    Parameters
    ----------
    file : str
        As the user named it.
    given : tuple of GivenAnswer
        Row by row; those that cannot be read are left out.
    people, items : tuple of str
        As they come; of a wide table also those with no answer at all.
    problems : tuple of Problem
    text : str
        What stands in a CSV file, to show problems.
    """

    file: str
    given: tuple[GivenAnswer, ...]
    people: tuple[str, ...]
    items: tuple[str, ...]
    problems: tuple[Problem, ...]
    text: str = ""

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell and where it stands."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Grid:
    """The headings of a table, and its rows as long as they stand in the file."""

    file: str
    head: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]


def load_responses(path: Path) -> LoadedResponses:
    """Return the answers of a CSV or Parquet file, with everything that is wrong in it."""
    data, problems = read_bytes(path, str(path))
    if problems:
        return LoadedResponses(str(path), (), (), (), problems)
    return read_responses(data, str(path))


def read_responses(data: bytes, file: str) -> LoadedResponses:
    """Return the answers that the bytes of a file state."""
    if data.startswith(_PARQUET) and len(data) <= MAX_BYTES:
        return _from_grid(_grid_of_parquet(data, file), file, "")
    text, problems = text_of(data, file)
    if problems:
        return LoadedResponses(file, (), (), (), problems, text)
    return _from_grid(grid_of_csv(text, file), file, text)


def _from_grid(grid: Grid | Problem, file: str, text: str) -> LoadedResponses:
    if isinstance(grid, Problem):
        return LoadedResponses(file, (), (), (), (grid,), text)
    names = [cell.text.casefold() for cell in grid.head]
    problem = _head_problem(grid, names)
    if problem is not None:
        return LoadedResponses(file, (), (), (), (problem,), text)
    is_long = "item" in names and ("answer" in names or "right" in names)
    given, problems = _long(grid, names) if is_long else _wide(grid)
    problems += tuple(_twice(given)) if is_long else ()
    people = (each.person for each in given) if is_long else (row[0].text for row in grid.rows)
    items = (each.item for each in given) if is_long else (cell.text for cell in grid.head[1:])
    return LoadedResponses(
        file, given, tuple(dict.fromkeys(people)), tuple(dict.fromkeys(items)), problems, text
    )


# ------------------------------------------------------------------------------------------ grids


def grid_of_csv(text: str, file: str) -> Grid | Problem:
    """Return the cells of a CSV text; rows in which nothing stands are left out."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = [
            tuple(_cells(cells, file, reader.line_num))
            for cells in reader
            if any(cell.strip() for cell in cells)
        ]
    except csv.Error as error:
        return _no_table(Place(file, reader.line_num or 1, 1), str(error))
    if not rows:
        return _no_table(Place(file, 0, 0), "an empty file")
    return Grid(file, rows[0], tuple(rows[1:]))


def _cells(cells: Sequence[str], file: str, line: int) -> Iterator[Cell]:
    column = 1
    for cell in cells:
        inner = column + len(cell) - len(cell.lstrip())
        text = cell.strip()
        yield Cell(without_guard(text), Place(file, line, inner, inner + max(len(text), 1)))
        column += len(cell) + 1


def _grid_of_parquet(data: bytes, file: str) -> Grid | Problem:
    import pyarrow as pa  # type: ignore[import-untyped]  # noqa: PLC0415 - slow to load
    from pyarrow import parquet  # noqa: PLC0415

    try:
        stored = parquet.ParquetFile(pa.BufferReader(data))
        n_cells = stored.metadata.num_rows * stored.metadata.num_columns
        if n_cells > MOST_CELLS:
            return _no_table(Place(file, 0, 0), f"{n_cells} cells, more than {MOST_CELLS}")
        table = stored.read()
        columns = [[_as_text(value) for value in column.to_pylist()] for column in table.columns]
    except (pa.ArrowException, OSError, ValueError) as error:
        return _no_table(Place(file, 0, 0), f"Parquet that is broken: {str(error)[:80]}")
    head = tuple(Cell(name, Place(file, 0, 0)) for name in table.column_names)
    rows = enumerate(zip(*columns, strict=True), 1)
    return Grid(
        file,
        head,
        tuple(
            tuple(Cell(cell, Place(file, number, at)) for at, cell in enumerate(row, 1))
            for number, row in rows
        ),
    )


def _as_text(value: object) -> str:
    if value is None or value != value:  # noqa: PLR0124 - not a number
        return ""
    if isinstance(value, bool):
        return str(int(value))
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return value.isoformat()[:10] if isinstance(value, date) else str(value).strip()


def _no_table(place: Place, got: str) -> Problem:
    return Problem(
        "X501",
        "the file is no table of answers",
        place=place,
        got=got,
        expected=_EXPECTED,
        hint="save the table as CSV in UTF-8, or as Parquet",
    )


def _head_problem(grid: Grid, names: Sequence[str]) -> Problem | None:
    place = grid.head[0].place if grid.head else Place(grid.file, 0, 0)
    if PERSON not in names or ("item" not in names and names[0] != PERSON):
        got = ", ".join(cell.text for cell in grid.head[:5])
        return _no_table(place, f"the headings {got}")
    if len(names) == 1:
        return _no_table(place, "no column but person")
    twice = next((at for at, name in enumerate(names) if name and name in names[:at]), None)
    if twice is not None:
        cell = grid.head[twice]
        return replace(
            _no_table(cell.place, f"the heading {cell.text} twice"),
            hint="give each column a heading of its own",
        )
    return None


# ---------------------------------------------------------------------------------------- layouts


def _long(grid: Grid, names: Sequence[str]) -> tuple[tuple[GivenAnswer, ...], tuple[Problem, ...]]:
    at = {name: names.index(name) for name in _LONG if name in names}
    given: list[GivenAnswer] = []
    problems: list[Problem] = []
    for row in grid.rows:
        found = {name: row[place] for name, place in at.items() if place < len(row)}
        faults = list(_faults_of_row(row[0].place, found))
        problems += faults
        if not faults:
            given.append(_answer_of(row[0].place, found))
    return tuple(given), tuple(problems)


def _faults_of_row(place: Place, found: dict[str, Cell]) -> Iterator[Problem]:
    texts = {name: cell.text for name, cell in found.items()}
    for name in (PERSON, "item"):
        if not texts.get(name):
            yield _no_answer(place, f"a row without {name}", f"the id of the {name}")
    right = texts.get("right", "")
    if right and right.casefold() not in _RIGHT:
        yield _no_answer(found["right"].place, repr(right), "1 for right, 0 for wrong")
    on = texts.get("on", "")
    if on and day_in(on) is None:
        yield _no_answer(found["on"].place, repr(on), "year-month-day, as 2026-11-25")


def _answer_of(place: Place, found: dict[str, Cell]) -> GivenAnswer:
    texts = {name: cell.text for name, cell in found.items()}
    at = found.get("answer") or found.get("right")
    return GivenAnswer(
        texts[PERSON],
        texts["item"],
        texts.get("answer", ""),
        _RIGHT.get(texts.get("right", "").casefold()),
        day_in(texts.get("on", "")),
        place if at is None else at.place,
    )


def _wide(grid: Grid) -> tuple[tuple[GivenAnswer, ...], tuple[Problem, ...]]:
    given: list[GivenAnswer] = []
    problems: list[Problem] = []
    seen: dict[str, Place] = {}
    is_scored = all(
        cell.text in {"0", "1", "", "0.0", "1.0"} for row in grid.rows for cell in row[1:]
    )
    for row in grid.rows:
        person = row[0]
        if not person.text:
            problems.append(
                _no_answer(person.place, "a row without person", "the id of the person")
            )
            continue
        first = seen.setdefault(person.text, person.place)
        if first is not person.place:
            problems.append(_given_twice(person.place, person.text, first))
            continue
        if len(row) > len(grid.head):
            extra = row[len(grid.head)]
            problems.append(_no_answer(extra.place, "a cell beyond the headings", "one a column"))
        for heading, cell in zip(grid.head[1:], row[1:], strict=False):
            if cell.text and heading.text:
                right = _RIGHT[cell.text] if is_scored else None
                answer = "" if is_scored else cell.text
                given.append(
                    GivenAnswer(person.text, heading.text, answer, right, None, cell.place)
                )
    return tuple(given), tuple(problems)


def day_in(text: str) -> Day | None:
    """Return the day that a text states; None where it is none."""
    try:
        return day_from_date(date.fromisoformat(text[:10]))
    except ValueError:
        return None


def _twice(given: Iterable[GivenAnswer]) -> Iterator[Problem]:
    seen: dict[tuple[str, str, Day | None], Place] = {}
    for each in given:
        key = (each.person, each.item, each.on)
        first = seen.setdefault(key, each.place)
        if first is not each.place:
            day = "" if each.on is None else f" on {iso(each.on)}"
            yield _given_twice(each.place, f"{each.person} on {each.item}{day}", first)


def _given_twice(place: Place, got: str, first: Place) -> Problem:
    return Problem(
        "X503",
        "the same answer is given twice",
        place=place,
        got=got,
        expected="each person once on an item and a day",
        hint="keep the first answer; of later ones to the same item, say the day in a column on",
        related=((first, "first given here"),),
    )


def _no_answer(place: Place, got: str, expected: str) -> Problem:
    return Problem("X502", "a row that is no answer", place=place, got=got, expected=expected)


# -------------------------------------------------------------------------------------------- out


def responses_csv(given: Sequence[GivenAnswer], layout: Layout = "long") -> bytes:
    """Return answers as CSV, no cell of which a spreadsheet takes for a formula."""
    head, rows = _table(given, layout)
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(with_guard(each) for each in head)
    writer.writerows([with_guard(cell) for cell in row] for row in rows)
    return stream.getvalue().encode("utf-8")


def responses_parquet(given: Sequence[GivenAnswer], layout: Layout = "long") -> bytes:
    """Return answers as Parquet: texts, but for ``right`` (a number) and ``on`` (a day)."""
    import pyarrow as pa  # noqa: PLC0415 - slow to load
    from pyarrow import parquet  # noqa: PLC0415

    head, rows = _table(given, layout)
    columns = list(zip(*rows, strict=True)) or [()] * len(head)
    typed = {
        name: _column(name, values, layout=layout)
        for name, values in zip(head, columns, strict=True)
    }
    sink = pa.BufferOutputStream()
    parquet.write_table(pa.table(typed), sink)
    written: bytes = sink.getvalue().to_pybytes()
    return written


def _column(name: str, values: Sequence[str], *, layout: Layout) -> object:
    import pyarrow as pa  # noqa: PLC0415

    if layout == "long" and name == "right":
        return pa.array([int(each) if each else None for each in values], pa.int8())
    if layout == "long" and name == "on":
        days = [date.fromisoformat(each) if each else None for each in values]
        return pa.array(days, pa.date32())
    return pa.array([each or None for each in values], pa.string())


def _table(given: Sequence[GivenAnswer], layout: Layout) -> tuple[list[str], list[list[str]]]:
    if layout == "long":
        rows = [
            [each.person, each.item, each.answer, _shown(each.right), each.on and iso(each.on)]
            for each in given
        ]
        kept = [
            at
            for at, name in enumerate(_LONG)
            if name in {PERSON, "item"} or any(row[at] for row in rows)
        ]
        return [_LONG[at] for at in kept], [[row[at] or "" for at in kept] for row in rows]
    cells: dict[str, dict[str, str]] = {}
    # Of several answers to an item the first one counts, as everywhere else.
    for each in given:
        row = cells.setdefault(each.person, {})
        row.setdefault(each.item, each.answer or _shown(each.right))
    items = list(dict.fromkeys(each.item for each in given))
    return [PERSON, *items], [
        [person, *(row.get(item, "") for item in items)] for person, row in cells.items()
    ]


def _shown(right: float | None) -> str:
    return "" if right is None else str(int(right))
