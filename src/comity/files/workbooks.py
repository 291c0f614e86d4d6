"""Workbooks (XLSX) as grids of text, read with limits, and written plainly."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final, NoReturn

from openpyxl import Workbook, load_workbook

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

MOST_UNPACKED: Final = 60_000_000
MOST_PARTS: Final = 2_000
_MOST_TIMES: Final = 200
"""Tables pack well, some forty times; a bomb packs a thousand times."""
_SUSPICIOUS: Final = 5_000_000
_NOT_FORMAT: Final = re.compile(r'"[^"]*"|\[[^\]]*\]|\\.')
_WHOLE_DIGITS: Final = 15


@dataclass(frozen=True, slots=True)
class TableProblem:
    """One thing to mend in a table: where, what was found, what would do, and how to mend it.

    Parameters
    ----------
    message : str
        What is wrong, in one clause without a full stop.
    row : int or None
        As the spreadsheet numbers it; None for what concerns all of it.
    column : str
        Its heading.
    got, expected, hint : str
        May be empty.
    """

    message: str
    row: int | None = None
    column: str = ""
    got: str = ""
    expected: str = ""
    hint: str = ""


class TableError(ValueError):
    """A file is no table that can be read."""

    def __init__(self, problem: TableProblem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Grid:
    """Numbered rows of text, those without any left out, and what is wrong with single cells."""

    rows: tuple[tuple[int, tuple[str, ...]], ...]
    problems: tuple[TableProblem, ...] = ()


def read_workbook(data: bytes, limits: tuple[int, int]) -> Grid:
    """Return what stands on the first sheet of a workbook.

    Parameters
    ----------
    data : bytes
        The file; it begins as archives do.
    limits : tuple of int
        After how many rows in which something stands, and after which column, to stop; one more
        of each is read, so that one sees there are more.

    Raises
    ------
    TableError
        When it is no workbook, or unpacks to more than a table would.
    """
    _check_archive(data)
    try:
        book = load_workbook(
            io.BytesIO(data), read_only=True, data_only=True, keep_links=False, keep_vba=False
        )
        try:
            return _grid(book.worksheets[0], limits)
        finally:
            book.close()
    except TableError:
        raise
    # What openpyxl and its parser raise over broken workbooks has no common class.
    except Exception as error:
        raise TableError(
            TableProblem(
                "the workbook cannot be read",
                got="broken or foreign parts",
                expected="XLSX as spreadsheet programs save it",
                hint="open it and save it anew as XLSX, or as CSV UTF-8",
            )
        ) from error


def _check_archive(data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        _refuse("the workbook is damaged", hint="save it anew as XLSX, or as CSV UTF-8")
    if not any(each.filename == "xl/workbook.xml" for each in parts):
        _refuse(
            "the file is no table",
            got="an archive of other files",
            expected="CSV or XLSX",
            hint="save the table as XLSX, or as CSV UTF-8",
        )
    unpacked = sum(each.file_size for each in parts)
    is_bomb = unpacked > max(_SUSPICIOUS, _MOST_TIMES * len(data))
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED or is_bomb:
        _refuse(
            "the workbook unpacks to more than a table of applicants would",
            got=f"{unpacked / 1_000_000:.0f} MB in {len(parts)} parts",
            expected=f"at most {MOST_UNPACKED // 1_000_000} MB",
            hint="copy the rows into a new workbook, and save that",
        )


def _grid(sheet: Any, limits: tuple[int, int]) -> Grid:
    most_rows, most_columns = limits
    sheet.reset_dimensions()  # what the file says of its own size need not be so
    rows: list[tuple[int, tuple[str, ...]]] = []
    problems: list[TableProblem] = []
    blank = 0
    for number, cells in enumerate(sheet.iter_rows(max_col=most_columns + 1), start=1):
        texts = tuple(_text(cell) for cell in cells)
        if not any(text.strip() for text in texts):
            blank += 1
            if blank > most_rows:
                break
            continue
        if rows:
            problems += _errors(cells, number, rows[0][1])
        rows.append((number, texts))
        if len(rows) > most_rows:
            break
    return Grid(tuple(rows), tuple(problems))


def _errors(cells: Iterable[Any], number: int, head: Sequence[str]) -> Iterator[TableProblem]:
    for place, cell in enumerate(cells):
        if getattr(cell, "data_type", "") == "e":
            yield TableProblem(
                "the cell shows an error instead of a value",
                row=number,
                column=head[place].strip() if place < len(head) else "",
                got=str(cell.value),
                hint="type the value itself",
            )


def _text(cell: Any) -> str:
    """Return a cell as a person would type it; a month or year shown as such stays one."""
    value = cell.value
    if isinstance(value, datetime | date):
        return _day(value, str(cell.number_format))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, time | timedelta):
        return _hours(value)
    return "" if value is None else str(value)


def _number(value: float) -> str:
    """Return a number without an exponent; one that no person types is left to be refused."""
    if abs(value) >= 10**_WHOLE_DIGITS:
        return str(value)
    return str(int(value)) if value.is_integer() else format(Decimal(repr(value)), "f")


def _hours(value: time | timedelta) -> str:
    """Return hours and minutes, more than a day's too."""
    if isinstance(value, time):
        value = timedelta(hours=value.hour, minutes=value.minute)
    hours, minutes = divmod(round(value.total_seconds() / 60), 60)
    return f"{hours}:{minutes:02}"


def _day(value: date, shown_as: str) -> str:
    signs = _NOT_FORMAT.sub("", shown_as).casefold()
    if "d" in signs or "y" not in signs:
        return f"{value:%Y-%m-%d}"
    return f"{value:%Y-%m}" if "m" in signs else f"{value:%Y}"


def _refuse(message: str, *, got: str = "", expected: str = "", hint: str = "") -> NoReturn:
    raise TableError(TableProblem(message, got=got, expected=expected, hint=hint))


def write_workbook(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Return a workbook of one sheet, every cell a text."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Applicants")
    sheet.freeze_panes = "B2"
    sheet.append(list(headings))
    for row in rows:
        sheet.append([cell or None for cell in row])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
