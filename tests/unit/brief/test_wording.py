from __future__ import annotations

from dataclasses import fields

import pytest

from comity.brief.wording import ENGLISH, WORDINGS, Wording, wording_of
from comity.core.eligibility.assessment import Verdict
from tests.assets.brief.samples import day

NO_BREAK = "\u00a0"


def test_dates_are_written_out_within_a_text() -> None:
    said = ENGLISH.spoken("Work until 2027-03-14, not 2027-13-14.")
    assert said.replace(NO_BREAK, " ") == "Work until 14 March 2027, not 2027-13-14."


def test_no_date_breaks_across_lines() -> None:
    said = ENGLISH.spoken("From 14 March 2027 on, or 2027-03-15.")
    assert said == (f"From 14{NO_BREAK}March{NO_BREAK}2027 on, or 15{NO_BREAK}March{NO_BREAK}2027.")


@pytest.mark.parametrize(
    ("start", "until", "words"),
    [
        (None, None, "at any time"),
        (None, "2027-02-28", "until 28 February 2027"),
        ("2026-09-01", None, "from 1 September 2026 on"),
        ("2026-09-01", "2027-02-28", "from 1 September 2026 until 28 February 2027"),
    ],
)
def test_a_run_of_days_is_said_in_words(start: str | None, until: str | None, words: str) -> None:
    said = ENGLISH.span(day(start) if start else None, day(until) if until else None)
    assert said.replace(NO_BREAK, " ") == words


def test_an_unknown_language_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"^no wording for the language 'xx'; there is en"):
        wording_of("xx")


@pytest.mark.parametrize("wording", WORDINGS.values(), ids=WORDINGS)
def test_every_verdict_has_its_words(wording: Wording) -> None:
    for words in (
        wording.plain.answers,
        wording.plain.sentences,
        wording.plain.items,
        wording.detail.verdicts,
        wording.chart.verdicts,
    ):
        assert set(words) == set(Verdict)
    assert len(wording.months) == len(wording.chart.months) == 12


@pytest.mark.parametrize("wording", WORDINGS.values(), ids=WORDINGS)
def test_the_applicants_words_have_no_percentages(wording: Wording) -> None:
    plain = wording.plain
    texts = [str(getattr(plain, field.name)) for field in fields(plain)]
    assert [text for text in texts if "%" in text] == []
