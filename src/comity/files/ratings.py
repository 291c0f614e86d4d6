"""What judges expect of people only just good enough: a table of shares, CSV."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.problems import Place, Problem
from comity.files.decoding import read_bytes, text_of
from comity.files.responses import grid_of_csv

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    import numpy.typing as npt

    from comity.files.responses import Cell, Grid

_JUDGE: Final = "judge"


@dataclass(frozen=True, slots=True, eq=False)
class LoadedRatings:
    """Shares by judge (rows) and item (columns), NaN where none was given."""

    file: str
    judges: tuple[str, ...]
    items: tuple[str, ...]
    shares: npt.NDArray[np.float64]
    problems: tuple[Problem, ...]
    text: str = ""


def load_ratings(path: Path) -> LoadedRatings:
    """Return the ratings of a CSV file, with everything that is wrong in it."""
    data, problems = read_bytes(path, str(path))
    text = ""
    if not problems:
        text, problems = text_of(data, str(path))
    if problems:
        return LoadedRatings(str(path), (), (), np.empty((0, 0)), problems, text)
    return read_ratings(text, str(path))


def read_ratings(text: str, file: str) -> LoadedRatings:
    """Return the ratings that stand in a text."""
    grid = grid_of_csv(text, file)
    if isinstance(grid, Problem):
        found = _problem(grid.place or Place(file, 0, 0), grid.got)
        return LoadedRatings(file, (), (), np.empty((0, 0)), (found,), text)
    items = tuple(cell.text for cell in grid.head[1:])
    judges = tuple(row[0].text for row in grid.rows)
    problems = tuple(_problems(grid, items))
    shares = np.full((len(judges), len(items)), np.nan)
    for at, row in enumerate(grid.rows):
        for column, cell in enumerate(row[1 : len(items) + 1]):
            shares[at, column] = np.nan if not cell.text else (share_in(cell.text) or 0.0)
    return LoadedRatings(file, judges, items, shares, problems, text)


def _problems(grid: Grid, items: tuple[str, ...]) -> Iterator[Problem]:
    if grid.head[0].text.casefold() != _JUDGE or not items:
        headings = ", ".join(cell.text for cell in grid.head[:5])
        yield _problem(grid.head[0].place, f"the headings {headings}")
        return
    yield from _of_names(grid.head[1:])
    yield from _of_names([row[0] for row in grid.rows])
    for row in grid.rows:
        if len(row) > len(grid.head):
            yield _problem(row[len(grid.head)].place, "a cell beyond the headings")
        for cell in row[1:]:
            if cell.text and share_in(cell.text) is None:
                yield _problem(cell.place, repr(cell.text))


def _of_names(cells: Sequence[Cell]) -> Iterator[Problem]:
    seen: set[str] = set()
    for cell in cells:
        if not cell.text or cell.text in seen:
            yield _problem(cell.place, f"{cell.text} twice" if cell.text else "no name")
        seen.add(cell.text)


def share_in(text: str) -> float | None:
    """Return a share from 0 to 1 that is written as 0.7, 0,7 or 70 %; None for anything else.

    Examples
    --------
    >>> share_in("70 %"), share_in("0.7"), share_in("70")
    (0.7, 0.7, None)
    """
    plain = text.replace(",", ".").replace(" ", "")
    try:
        share = float(plain.removesuffix("%")) / (100 if plain.endswith("%") else 1)
    except ValueError:
        return None
    return share if 0 <= share <= 1 else None


def _problem(place: Place, got: str) -> Problem:
    return Problem(
        "X510",
        "this is no table of ratings",
        place=place,
        got=got,
        expected="judge and the ids of items on the first line; then shares, as 0.7 or 70 %",
        hint="leave a cell empty where a judge gave no rating",
    )
