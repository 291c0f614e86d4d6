from __future__ import annotations

import pytest

from comity.cli.sentences import Line, answer_lines, laid_out, source_text, window_text
from comity.core.eligibility.assessment import (
    Assessment,
    ComingChange,
    Remedy,
    RequirementResult,
    SourceNote,
    Verdict,
    Window,
)
from tests.unit.cli.made_up import ON, assessment, day, result


def told(made: Assessment) -> list[str]:
    return [line.text for line in answer_lines(made)]


def about(made: RequirementResult) -> list[str]:
    """Return what is told beneath one requirement."""
    lines = list(answer_lines(assessment(requirements=(made,))))
    return [line.text for line in lines if line.depth]


@pytest.mark.parametrize(
    ("window", "text"),
    [
        (Window(None, None, "certain"), "always"),
        (Window(ON, None, "certain"), "from 2026-11-25 on, with no end in sight"),
        (Window(None, ON, "certain"), "until 2026-11-25"),
        (Window(ON, ON + 1, "certain"), "from 2026-11-25 until 2026-11-26"),
        (
            Window(ON, ON, "possible"),
            "from 2026-11-25 until 2026-11-25 (possibly: some facts are not certain)",
        ),
    ],
)
def test_a_window_is_told_by_its_days(window: Window, text: str) -> None:
    assert window_text(window) == text


def test_a_source_is_cited_with_what_is_known_of_it() -> None:
    whole = SourceNote("Act", "4", "2026", day("2026-05-01"))
    assert source_text(whole) == "Act, 2026, 4, read 2026-05-01"
    assert source_text(SourceNote("Act")) == "Act"


def test_open_dates_are_listed_where_something_is_known() -> None:
    open_now = assessment(windows=(Window(ON, ON + 30, "certain"),))
    assert "from 2026-11-25 until 2026-12-25" in told(open_now)


def test_where_nothing_is_known_no_dates_are_listed() -> None:
    assert told(assessment()) == told(assessment(windows=(Window(None, None, "possible"),)))


def test_an_answer_that_hangs_on_work_says_when_it_would_close() -> None:
    closing = assessment(if_stops_until=day("2027-03-01"))
    assert "If you stop working now, this closes on 2027-03-01." in told(closing)


def test_the_soonest_day_is_told_to_those_who_cannot_apply_yet() -> None:
    says = "Soonest, once everything below is done: 2026-12-05."
    assert says in told(assessment(verdict=Verdict.NOT_MET, earliest=ON + 10))
    assert says not in told(assessment(verdict=Verdict.MET, earliest=ON + 10))
    assert says not in told(assessment(verdict=Verdict.NOT_MET, earliest=ON))


def test_a_requirement_of_a_later_step_says_when_it_is_checked() -> None:
    lines = told(assessment(requirements=(result(), result(at="decision"))))
    assert "Hours of practice: met" in lines
    assert "Hours of practice: met, checked at decision" in lines


def test_a_requirement_gives_its_rule_and_its_source() -> None:
    assert about(result()) == [
        "At least 900 hours of practice.",
        "Source: Rules of registration, 4, read 2026-05-01; edition 2026.",
    ]


def test_what_is_met_for_a_time_says_until_when() -> None:
    assert "Holds until 2026-12-05." in about(result(until=ON + 10))
    assert "Holds until 2026-12-05." not in about(result(until=ON + 10, verdict=Verdict.REFER))


def test_the_reason_is_told_unless_the_requirement_does_not_concern_one() -> None:
    assert "400 hours counted." in about(result(reason="400 hours counted"))
    silent = result(reason="400 hours counted", verdict=Verdict.NOT_APPLICABLE)
    assert "400 hours counted." not in about(silent)


def test_what_stands_for_a_requirement_is_named() -> None:
    lines = about(result(deemed_by="register-of-cindral"))
    assert "Satisfied otherwise: register of cindral." in lines


def test_what_is_still_to_be_known_is_listed() -> None:
    assert "Still to be known: a, b." in about(result(missing=("a", "b")))


def test_a_remedy_has_its_first_day_if_that_is_still_to_come() -> None:
    later = Remedy("Work on", ON + 10, "60 hours are missing")
    assert about(result(remedy=later))[1:3] == [
        "What would fix it: Work on (from 2026-12-05).",
        "60 hours are missing.",
    ]
    assert about(result(remedy=Remedy("Work on", ON)))[1] == "What would fix it: Work on."


def test_sources_that_disagree_are_named_beside_each_other() -> None:
    two = (SourceNote("Handbook", "2"), SourceNote("Website"))
    assert "Sources that disagree: Handbook, 2 / Website." in about(result(conflict=two))


@pytest.mark.parametrize(
    ("requirements", "end"), [((), "to not met."), (("Age", "Hours"), "to not met (Age, Hours).")]
)
def test_a_coming_edition_says_how_the_answer_changes(
    requirements: tuple[str, ...], end: str
) -> None:
    change = ComingChange("2027", day("2027-02-01"), Verdict.MET, Verdict.NOT_MET, requirements)
    assert f"From 2027-02-01 edition 2027 applies: the answer goes from met {end}" in told(
        assessment(coming=(change,))
    )


@pytest.mark.parametrize(("columns", "widest"), [(20, 40), (40, 40), (72, 72), (300, 100)])
def test_lines_keep_within_the_terminal(
    columns: int, widest: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    shown = laid_out([Line("word " * 100, 1, "·")])
    assert max(map(len, shown.splitlines())) in range(widest - 5, widest + 1)


def test_a_mark_and_the_numbers_of_a_list_hang_before_the_text(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    text = "Not yet.\n1. First of all send the papers to the office.\nThen apply."
    assert laid_out([Line(text)]).splitlines() == [
        "Not yet.",
        "1. First of all send the papers to the",
        "   office.",
        "Then apply.",
    ]


def test_a_word_is_never_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert laid_out([Line("x" * 60)]) == "x" * 60
