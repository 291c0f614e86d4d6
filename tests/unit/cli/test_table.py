from __future__ import annotations

from typing import Any

import pytest

from comity.cli.table import comparison, row_of
from comity.core.eligibility.assessment import ComingChange, Verdict, Window
from tests.unit.cli.made_up import ON, assessment, day, result

NOT_MET = Verdict.NOT_MET


def day_told(**changes: Any) -> str:  # noqa: ANN401 - any part of an assessment
    return row_of(assessment(**changes))[3]


def decides(*requirements: Any, **changes: Any) -> str:  # noqa: ANN401 - see above
    return row_of(assessment(requirements=requirements, **changes))[4]


def test_a_row_names_applicant_title_and_answer() -> None:
    row = row_of(assessment(requirements=(result(),)))
    assert row == ("amara-n", "xa-council/\ndietitian", "✓ met", "", "Hours of practice")


def test_an_open_answer_says_until_when() -> None:
    assert day_told(windows=(Window(ON, ON + 30, "certain"),)) == "until 2026-12-25"
    assert day_told(windows=(Window(ON, None, "certain"),)) == ""


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"earliest": None}, ""),
        ({"earliest": ON + 10}, "from 2026-12-05"),
        ({"earliest": ON, "earliest_is_own_pace": True}, "once done"),
        ({"earliest": ON + 10, "earliest_is_own_pace": True}, "from 2026-12-05"),
        ({"earliest": ON + 10, "earliest_is_conditional": True}, "from 2026-12-05, perhaps"),
    ],
)
def test_a_closed_answer_says_from_when(changes: dict[str, Any], told: str) -> None:
    assert day_told(verdict=NOT_MET, **changes) == told


def test_what_is_short_stands_with_its_amount() -> None:
    short = result(verdict=NOT_MET, amount=840.5, needed=900, unit="hours", shortfall=59.5)
    assert decides(short, verdict=NOT_MET) == "Hours of practice: 59.5 hours short"


def test_what_is_too_much_is_over() -> None:
    over = result(verdict=NOT_MET, amount=31, needed=29, unit="months", shortfall=2)
    assert decides(over, verdict=NOT_MET) == "Hours of practice: 2 months over"


def test_others_with_the_same_verdict_are_counted() -> None:
    missed = result(verdict=NOT_MET)
    assert decides(missed, missed, result(), verdict=NOT_MET) == "Hours of practice (and 1 more)"
    assert decides(result(), result()) == "Hours of practice"


def test_a_title_that_asks_nothing_has_nothing_that_decides() -> None:
    assert decides() == ""


def test_an_open_date_that_closes_within_two_months_is_news() -> None:
    assert decides(result(), windows=(Window(ON, ON + 60, "certain"),)).endswith(
        "; closes in 60 days"
    )
    assert decides(result(), windows=(Window(ON, ON + 61, "certain"),)) == "Hours of practice"


def test_an_answer_that_will_change_is_news() -> None:
    change = ComingChange("2027", day("2027-02-01"), Verdict.MET, NOT_MET, ())
    assert decides(result(), coming=(change,)) == "Hours of practice; not met from 2027-02-01"


def test_no_assessments_give_no_table() -> None:
    assert comparison(()).splitlines()[-1] == "Nothing to compare."


def test_cautions_that_concern_all_are_told_once() -> None:
    two = (
        assessment(cautions=("The authority decides.", "One fact is open.")),
        assessment(applicant="thu", cautions=("The authority decides.",)),
    )
    shown = comparison(two)
    assert shown.count("The authority decides.") == 1
    assert "One fact is open." not in shown


@pytest.mark.parametrize(("columns", "widest"), [(60, 60), (90, 90), (500, 120)])
def test_a_table_keeps_within_the_terminal(
    columns: int, widest: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    rows = [assessment(requirements=(result(label="word " * 40),))] * 2
    widths = [len(line) for line in comparison(rows).splitlines()]
    assert max(widths) == widest


def test_a_terminal_too_narrow_for_columns_gets_paragraphs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    missed = result(verdict=NOT_MET, shortfall=60, unit="hours")
    made = assessment(verdict=NOT_MET, earliest=ON + 10, requirements=(missed,))
    shown = comparison((made,)).splitlines()
    assert shown[:4] == [
        "✗ amara-n: xa-council/dietitian",
        "  not met; from 2026-12-05; Hours of",
        "  practice: 60 hours short",
        "",
    ]
    assert max(map(len, shown)) <= 40
