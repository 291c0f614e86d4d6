from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.service.assessing import Asked, Inputs, read_inputs
from comity.service.demo import lay_out
from comity.service.discretion import FICTIONAL, case_of, letter_text, notice_for, titles_of

if TYPE_CHECKING:
    from comity.core.eligibility.discretion import Letter

TODAY = day_from_date(date(2026, 11, 25))
WIDTH = 88


@pytest.fixture(scope="module")
def inputs(tmp_path_factory: pytest.TempPathFactory) -> Inputs:
    """Return Ingrid, who was away for eleven days more than the 29 months allowed."""
    folder = lay_out(tmp_path_factory.mktemp("discretion") / "demo").folder
    return read_inputs([folder / "applicants" / "ingrid.yaml"], [folder / "rulebooks"], today=TODAY)


def letter_of(inputs: Inputs) -> Letter:
    (title,) = titles_of(inputs, Asked(title="xc-board/dietitian"))
    case = case_of(inputs, Asked(), title=title, today_at=lambda _zone: TODAY)
    assert case.letter is not None
    return case.letter


def test_a_title_may_be_of_several_authorities(inputs: Inputs) -> None:
    found = titles_of(inputs, Asked(title="dietitian"))
    assert [rulebook.authority.id for rulebook, _name in found] == [
        "xa-council",
        "xb-register",
        "xc-board",
    ]


def test_the_letter_names_who_writes_to_whom_and_when(inputs: Inputs) -> None:
    lines = letter_text(letter_of(inputs)).splitlines()
    assert lines[0] == "Ingrid Halldóra Mwangi-Sólnes"
    assert "Cindral Board of Dietetics" in lines
    assert "25 November 2026" in lines


def test_the_letter_gives_the_measure_the_shortfall_and_the_section(inputs: Inputs) -> None:
    text = " ".join(letter_text(letter_of(inputs)).split())
    assert "asked for: 29 months; held: 29 months and 11 days;" in text
    assert "section 9(2)" in text


def test_no_line_of_a_letter_is_too_wide_or_ends_in_spaces(inputs: Inputs) -> None:
    lines = letter_text(letter_of(inputs), notice=FICTIONAL).splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert [line for line in lines if line != line.rstrip()] == []


def test_parts_with_nothing_in_them_have_no_heading(inputs: Inputs) -> None:
    letter = replace(letter_of(inputs), rows=(), speaks_for=(), papers=())
    text = letter_text(letter)
    assert "Papers attached" not in text
    assert "What speaks for discretion" not in text
    assert "The requirements concerned" not in text


def test_a_row_leaves_out_what_is_not_known(inputs: Inputs) -> None:
    letter = letter_of(inputs)
    row = replace(letter.rows[0], has="", shortfall="")
    text = letter_text(replace(letter, rows=(row,)))
    assert "held:" not in text
    assert "short by:" not in text
    assert "asked for: 29 months" in text


def test_invented_rules_are_marked_and_real_ones_are_not(inputs: Inputs) -> None:
    rulebook = inputs.rulebooks[0]
    real = replace(
        rulebook, editions=tuple(replace(each, fictional=False) for each in rulebook.editions)
    )
    assert (notice_for(rulebook), notice_for(real)) == (FICTIONAL, "")
    text = letter_text(letter_of(inputs), notice=FICTIONAL)
    assert text.endswith(f"\n\n{FICTIONAL}\n")


def test_a_file_that_was_not_read_makes_no_case(inputs: Inputs) -> None:
    unread = replace(inputs.applicants[0], applicant=None)
    (title,) = titles_of(inputs, Asked(title="xc-board/dietitian"))
    with pytest.raises(ValueError, match="file that was read without errors"):
        case_of(
            replace(inputs, applicants=(unread,)),
            Asked(),
            title=title,
            today_at=lambda _zone: TODAY,
        )
