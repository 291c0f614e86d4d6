"""Real results of examinations: a table, CSV, a row an examination that somebody sat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import iso
from comity.core.exam.real_results import RealResult
from comity.core.problems import Place, Problem, has_errors
from comity.files.decoding import read_bytes, text_of
from comity.files.responses import day_in, grid_of_csv

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.files.responses import Cell, Grid

_HEAD: Final = ("person", "day", "passed")
_PASSED: Final = {"1": True, "0": False, "yes": True, "no": False}
_EXPECTED: Final = "person,day,passed on the first line; then p07,2026-10-14,yes"


@dataclass(frozen=True, slots=True)
class LoadedResults:
    """What stood in a table of results; rows that cannot be read are left out."""

    file: str
    results: tuple[RealResult, ...]
    problems: tuple[Problem, ...]
    text: str = ""

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)


def load_results(path: Path, *, today: Day) -> LoadedResults:
    """Return the results of a CSV file, with everything that is wrong in it."""
    data, problems = read_bytes(path, str(path))
    text = ""
    if not problems:
        text, problems = text_of(data, str(path))
    if problems:
        return LoadedResults(str(path), (), problems, text)
    return read_results(text, str(path), today=today)


def read_results(text: str, file: str, *, today: Day) -> LoadedResults:
    """Return the results that stand in a text."""
    grid = grid_of_csv(text, file)
    if isinstance(grid, Problem):
        problem = _problem(grid.place or Place(file, 0, 0), grid.got)
        return LoadedResults(file, (), (problem,), text)
    names = [cell.text.casefold() for cell in grid.head]
    if sorted(names) != sorted(_HEAD):
        got = ", ".join(cell.text for cell in grid.head[:5])
        problem = _problem(grid.head[0].place, f"the headings {got}")
        return LoadedResults(file, (), (problem,), text)
    problems = tuple(_problems(grid, names, today))
    results = () if problems else tuple(_result(_row(row, names)) for row in grid.rows)
    return LoadedResults(file, results, problems, text)


def _row(row: Sequence[Cell], names: Sequence[str]) -> dict[str, str]:
    return {name: cell.text for name, cell in zip(names, row, strict=False)}


def _result(row: dict[str, str]) -> RealResult:
    on = day_in(row["day"])
    assert on is not None  # noqa: S101 - rows without a day are problems
    return RealResult(row["person"], on, _PASSED[row["passed"].casefold()])


def _problems(grid: Grid, names: Sequence[str], today: Day) -> Iterator[Problem]:
    seen: dict[tuple[str, Day], Place] = {}
    for row in grid.rows:
        cells = dict(zip(names, row, strict=False))
        if len(row) != len(names):
            yield _problem(row[-1].place, f"{len(row)} cells in a row")
            continue
        if not cells["person"].text:
            yield _problem(cells["person"].place, "a row without person")
        on = day_in(cells["day"].text)
        if on is None:
            yield _problem(cells["day"].place, repr(cells["day"].text))
        elif on > today:
            got = f"{iso(on)}, which is after today, {iso(today)}"
            yield _problem(cells["day"].place, got)
        if cells["passed"].text.casefold() not in _PASSED:
            yield _problem(cells["passed"].place, repr(cells["passed"].text))
        key = (cells["person"].text, on or 0)
        first = seen.setdefault(key, cells["person"].place)
        if on is not None and first is not cells["person"].place:
            got = f"{key[0]} on {iso(on)} a second time, after line {first.line}"
            yield _problem(cells["person"].place, got)


def _problem(place: Place, got: str) -> Problem:
    return Problem(
        "X511",
        "this is no table of results",
        place=place,
        got=got,
        expected=_EXPECTED,
        hint="keep a row for each examination that was sat and whose result is known",
    )
