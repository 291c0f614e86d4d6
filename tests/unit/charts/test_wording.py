from __future__ import annotations

import pytest

from comity.charts.wording import ENGLISH
from comity.core.eligibility.assessment import Verdict
from tests.assets.brief.samples import day

NO_BREAK = "\u00a0"


@pytest.mark.parametrize(
    ("start", "until", "words"),
    [
        (None, None, "at all times"),
        (None, "2027-02-28", "until 28 Feb 2027"),
        ("2026-09-01", None, "from 1 Sep 2026 on"),
        ("2026-09-01", "2027-02-28", "from 1 Sep 2026 until 28 Feb 2027"),
    ],
)
def test_a_run_of_days_is_said_in_words(start: str | None, until: str | None, words: str) -> None:
    said = ENGLISH.span(day(start) if start else None, day(until) if until else None)
    assert said.replace(NO_BREAK, " ") == words


def test_a_date_does_not_break_across_lines() -> None:
    assert ENGLISH.day(day("2027-03-03")) == f"3{NO_BREAK}Mar{NO_BREAK}2027"


def test_the_first_day_there_is_has_words() -> None:
    assert ENGLISH.span(0, 0).replace(NO_BREAK, " ") == "from 1 Jan 1900 until 1 Jan 1900"


def test_every_verdict_has_a_word_of_its_own() -> None:
    assert set(ENGLISH.verdicts) == set(Verdict)
    assert len(set(ENGLISH.verdicts.values())) == len(Verdict)
