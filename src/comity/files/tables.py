"""Tables of people as offices keep them: CSV and XLSX in, and out again.

What comes in may come from anywhere. Nothing in a workbook is run or followed: macros, links to
other files and pictures are never looked at, formulas count as the value that was saved with them.
What goes out never begins a cell with a sign that makes a formula of it.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, NoReturn

from comity.files.decoding import text_of
from comity.files.workbooks import Grid, TableError, TableProblem, read_workbook, write_workbook

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

Format = Literal["csv", "xlsx"]

MOST_BYTES: Final = 5_000_000
MOST_ROWS: Final = 2_000
MOST_COLUMNS: Final = 400
MOST_CELLS: Final = 200_000
MOST_CHARACTERS: Final = 2_000
_SEPARATORS: Final = ",;\t"
_MEDIA_TYPES: Final = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_BEGINNINGS: Final = (
    (b"%PDF", "a PDF", "open the table it was made from, and save that as CSV or XLSX"),
    (
        b"\xd0\xcf\x11\xe0",
        "an old workbook, or one with a password",
        "open it and save it as XLSX without a password",
    ),
    (b"PK\x05\x06", "an empty archive", "save the table anew as CSV or XLSX"),
)
# OWASP, CSV Injection: what a spreadsheet may take for a formula. A quotation mark before it makes
# it a text; one that stood there already gets a second one, so that reading takes off just ours.
_RISKY: Final = re.compile(r"'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
_QUOTED: Final = re.compile(r"''*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")


@dataclass(frozen=True, slots=True)
class Row:
    """A row below the headings; `number` is what the spreadsheet shows at its side."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """What stood in a table.

    Parameters
    ----------
    headings : tuple of str
        As typed, without blanks around them; an empty one where a column has none.
    rows : tuple of Row
        Those in which something stands, each as long as the headings.
    problems : tuple of TableProblem
        What is wrong with single cells.
    """

    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    problems: tuple[TableProblem, ...] = ()


def media_type_of(form: Format) -> str:
    """Return what browsers call a format."""
    return _MEDIA_TYPES[form]


# -------------------------------------------------------------------------------------------- in


def read_table(data: bytes) -> Table:
    """Return the table that stands in a file, whatever its name says.

    Parameters
    ----------
    data : bytes
        CSV in UTF-8 (with or without its mark; parted by commas, semicolons or tabs), or XLSX.

    Raises
    ------
    TableError
        When it is neither, or larger than a person's table would be; says what to do.
    """
    if len(data) > MOST_BYTES:
        _refuse(
            "the file is too large",
            got=f"{len(data) / 1_000_000:.1f} MB",
            expected=f"at most {MOST_BYTES // 1_000_000} MB",
            hint="bring the table in by parts",
        )
    for beginning, what, hint in _BEGINNINGS:
        if data.startswith(beginning):
            _refuse("the file is no table", got=what, expected="CSV or XLSX", hint=hint)
    limits = (MOST_ROWS + 1, MOST_COLUMNS)
    grid = read_workbook(data, limits) if data.startswith(b"PK") else _grid_of_text(data)
    return _table(grid)


def _grid_of_text(data: bytes) -> Grid:
    text, problems = text_of(data, "the table")
    for each in problems:
        where = each.place
        raise TableError(
            TableProblem(
                each.message,
                row=where.line if where and where.line else None,
                got=each.got,
                expected="a table saved as CSV in UTF-8, or as XLSX",
                hint="in a spreadsheet program: save as “CSV UTF-8”, or as XLSX",
            )
        )
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text))
    rows: list[tuple[int, tuple[str, ...]]] = []
    try:
        for number, cells in enumerate(reader, start=1):
            if any(cell.strip() for cell in cells):
                rows.append((number, tuple(cells)))
            if len(rows) > MOST_ROWS + 1 or len(cells) > MOST_COLUMNS:
                break
    except csv.Error as error:
        _refuse("the file cannot be read as CSV", got=str(error), hint="save it anew as XLSX")
    return Grid(tuple(rows))


def _separator(text: str) -> str:
    """Return the sign that parts the headings; quoted ones do not count."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", first)
    return max(_SEPARATORS, key=bare.count)


def _table(grid: Grid) -> Table:
    if not grid.rows:
        _refuse(
            "the table is empty",
            expected="a row of headings, and a row for each applicant",
            hint="check that the table stands on the first sheet",
        )
    _number, head = grid.rows[0]
    headings = _stripped(tuple(cell.strip() for cell in head))
    n_columns = max(len(_stripped(cells)) for _number, cells in grid.rows)
    n_rows = len(grid.rows) - 1
    for what, found, most in (
        ("columns", n_columns, MOST_COLUMNS),
        ("rows", n_rows, MOST_ROWS),
        ("cells", n_columns * n_rows, MOST_CELLS),
    ):
        if found > most:
            _refuse(
                f"the table has too many {what}",
                got=f"more than {most}",
                expected=f"at most {most}",
                hint="bring it in by parts" if what != "columns" else "leave out what is not used",
            )
    rows = tuple(Row(number, _filled(cells, len(headings))) for number, cells in grid.rows[1:])
    return Table(headings, rows, (*grid.problems, *_cell_problems(grid, headings)))


def _cell_problems(grid: Grid, headings: Sequence[str]) -> Iterator[TableProblem]:
    for number, cells in grid.rows[1:]:
        for place, cell in enumerate(cells):
            heading = headings[place] if place < len(headings) else ""
            if not heading and cell.strip():
                yield TableProblem(
                    "a cell stands in a column without a heading",
                    row=number,
                    got=_short(cell),
                    hint="name the column, or empty the cell",
                )
            if len(cell) > MOST_CHARACTERS:
                yield TableProblem(
                    "a cell holds more than belongs into one",
                    row=number,
                    column=heading,
                    got=f"{len(cell)} characters",
                    expected=f"at most {MOST_CHARACTERS}",
                )


def _filled(cells: Sequence[str], n: int) -> tuple[str, ...]:
    plain = [without_guard(cell.strip()) for cell in cells[:n]]
    return (*plain, *("" for _ in range(n - len(plain))))


def _stripped(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return cells without the empty ones at their end."""
    last = max((place for place, cell in enumerate(cells) if cell.strip()), default=-1)
    return cells[: last + 1]


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"  # noqa: PLR2004 - a line's worth


def _refuse(message: str, *, got: str = "", expected: str = "", hint: str = "") -> NoReturn:
    raise TableError(TableProblem(message, got=got, expected=expected, hint=hint))


# ------------------------------------------------------------------------------------------- out


def write_table(headings: Sequence[str], rows: Iterable[Sequence[str]], form: Format) -> bytes:
    """Return a file with a table, no cell of which a spreadsheet takes for a formula."""
    safe = ([with_guard(cell) for cell in row] for row in rows)
    if form == "xlsx":
        return write_workbook(headings, safe)
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(headings)
    writer.writerows(safe)
    # The mark tells spreadsheet programs that it is UTF-8.
    return b"\xef\xbb\xbf" + stream.getvalue().encode("utf-8")


def with_guard(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula.

    Examples
    --------
    >>> with_guard("=1+1"), with_guard("Ward 3"), without_guard(with_guard("=1+1"))
    ("'=1+1", 'Ward 3', '=1+1')
    """
    return f"'{cell}" if _RISKY.match(cell) else cell


def without_guard(cell: str) -> str:
    """Return a cell as it was before `with_guard`."""
    return cell[1:] if _QUOTED.match(cell) else cell
