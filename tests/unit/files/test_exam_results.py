"""Tables of real results."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.exam.real_results import RealResult
from comity.files.exam_results import load_results, read_results

if TYPE_CHECKING:
    from pathlib import Path

TODAY = day_from_date(date(2026, 11, 25))
SAT = day_from_date(date(2026, 10, 14))
HEAD = "person,day,passed\n"


@pytest.mark.parametrize(
    "text",
    [
        "person,day,passed\np1,2026-10-14,yes\np2,2026-10-14,0\n",
        "Passed;Person;Day\n1;p1;2026-10-14\nno;p2;2026-10-14\n",
    ],
)
def test_results_are_read_in_any_order_of_columns(text: str) -> None:
    found = read_results(text, "r.csv", today=TODAY)
    assert found.problems == ()
    assert found.results == (RealResult("p1", SAT, True), RealResult("p2", SAT, False))  # noqa: FBT003 - a row


@pytest.mark.parametrize(
    ("text", "line", "column", "got"),
    [
        ("", 0, 0, "an empty file"),
        ("person,day\np1,2026-10-14\n", 1, 1, "the headings person, day"),
        (f"{HEAD}p1,2026-10-14,perhaps\n", 2, 15, "'perhaps'"),
        (f"{HEAD}p1,14.10.2026,yes\n", 2, 4, "'14.10.2026'"),
        (f"{HEAD}p1,2026-11-26,yes\n", 2, 4, "2026-11-26, which is after today, 2026-11-25"),
        (f"{HEAD},2026-10-14,yes\n", 2, 1, "a row without person"),
        (f"{HEAD}p1,2026-10-14\n", 2, 4, "2 cells in a row"),
        (
            f"{HEAD}p1,2026-10-14,yes\np1,2026-10-14,no\n",
            3,
            1,
            "p1 on 2026-10-14 a second time, after line 2",
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_place(text: str, line: int, column: int, got: str) -> None:
    found = read_results(text, "r.csv", today=TODAY)
    assert not found.is_sound
    assert found.results == ()
    (problem,) = found.problems
    assert problem.place is not None
    assert (problem.code, problem.got) == ("X511", got)
    assert (problem.place.line, problem.place.column) == (line, column)


def test_all_that_is_wrong_is_told_in_one_run_and_a_missing_file_too(tmp_path: Path) -> None:
    broken = read_results(f"{HEAD}p1,soon,perhaps\n,2026-10-14,yes\n", "r.csv", today=TODAY)
    assert len(broken.problems) == 3
    assert not load_results(tmp_path / "none.csv", today=TODAY).is_sound
