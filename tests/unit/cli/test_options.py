from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

import pytest
import typer

from comity.cli.options import Clock, day_of, output_of, refuse, tell
from comity.core.problems import Place, Problem
from tests.unit.cli.made_up import ON

if TYPE_CHECKING:
    from pathlib import Path

PROBLEM = Problem("F111", "the file cannot be read", place=Place("a.yaml", 0, 0), got="nothing")


def test_a_day_is_read_with_spaces_around_it() -> None:
    assert day_of(" 2026-11-25 ", "--on") == ON
    assert day_of(None, "--on") is None


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("soon", "'soon' is no day; write year-month-day, as 2026-11-25."),
        ("2026-02-30", "'2026-02-30' is no day; write year-month-day, as 2026-11-25."),
        ("1899-12-31", "1899-12-31 is too far away; days go from 1900 to 2250."),
        ("2251-01-01", "2251-01-01 is too far away; days go from 1900 to 2250."),
    ],
)
def test_what_is_no_day_is_wrong_usage(text: str, message: str) -> None:
    with pytest.raises(typer.BadParameter) as refused:
        day_of(text, "--on")
    assert (refused.value.message, refused.value.param_hint) == (message, "--on")


@pytest.mark.parametrize("text", ["1900-01-01", "2250-12-31"])
def test_the_first_and_the_last_day_are_read(text: str) -> None:
    days = date.fromisoformat(text) - date(1900, 1, 1)
    assert day_of(text, "--on") == days.days


def test_output_goes_anywhere_but_into_an_input(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").touch()
    out = tmp_path / "out.pdf"
    assert output_of(out, inputs=[tmp_path / "a.yaml"]) == out
    with pytest.raises(typer.BadParameter, match="is the file that is read"):
        output_of(tmp_path / "x" / ".." / "a.yaml", inputs=[tmp_path / "a.yaml"])


def test_a_fixed_clock_tells_one_day_everywhere() -> None:
    clock = Clock(ON)
    assert clock.today_at() == clock.today_at("Pacific/Kiritimati") == ON


def test_the_real_clock_is_a_day_ahead_where_the_sun_rises_first() -> None:
    """UTC+14 and UTC-11: at any moment these two are one or two days apart (IANA database)."""
    clock = Clock(None)
    east, west = clock.today_at("Pacific/Kiritimati"), clock.today_at("Pacific/Pago_Pago")
    assert east - west in {1, 2}
    assert clock.today_at() in {east, east - 1, west}
    assert clock.today_at("Pacific/Kiritimati") is east


def test_problems_are_told_on_standard_error(capsys: pytest.CaptureFixture[str]) -> None:
    tell([PROBLEM], {})
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err == "a.yaml: error F111: the file cannot be read\n   got nothing\n"


def test_problems_are_told_as_data_to_programs(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(typer.Exit) as left:
        refuse([PROBLEM], {}, as_data=True)
    (problem,) = json.loads(capsys.readouterr().err)["problems"]
    assert (left.value.exit_code, problem["code"], problem["file"]) == (1, "F111", "a.yaml")
