"""Which edition's word counts on a day: certain before possible, later where there is none yet."""

from __future__ import annotations

from datetime import date

import pytest

from comity.core.days.calendar import Day, day_from_date
from comity.files.rulebooks import load_rulebook_texts
from comity.service.edition_runs import edition_on

TEXT = """\
rulebook: "NAME"
authority: {id: xa, name: Council, country: XA}
applies: APPLIES
read: 2026-05-01
wholly_read: yes
titles:
  - id: dietitian
    name: Dietitian
    profession: 2265
    requires:
      - {id: age, kind: age, at_least: 21 years, source: {document: Rules}}
"""


def day(text: str) -> Day:
    return day_from_date(date.fromisoformat(text))


def picked(on: str, *applies: str, events: dict[str, str] | None = None) -> str:
    """Return the name of the edition picked among those that apply so, named by their order."""
    texts = {
        f"{number}.yaml": TEXT.replace("NAME", str(number)).replace("APPLIES", each)
        for number, each in enumerate(applies, start=1)
    }
    (rulebook,) = load_rulebook_texts(texts).rulebooks
    known = {name: day(text) for name, text in (events or {}).items()}
    return edition_on(rulebook, "dietitian", day=day(on), events=known).rulebook


OLD, NEW = "{until: 2027-01-31}", "{from: 2027-02-01}"


@pytest.mark.parametrize(
    ("on", "edition"), [("2027-01-31", "1"), ("2027-02-01", "2"), ("2020-01-01", "1")]
)
def test_the_edition_of_the_day_is_picked(on: str, edition: str) -> None:
    assert picked(on, OLD, NEW) == edition


def test_an_event_that_has_been_decides_before_the_day() -> None:
    assert picked("2027-06-01", OLD, NEW, events={"submission": "2026-12-01"}) == "1"


def test_of_two_days_that_may_be_the_newest_edition_is_picked() -> None:
    assert picked("2027-02-10", "{from: 2027-02}", "{from: 2027-02}") == "2"


def test_before_the_first_edition_the_first_one_counts() -> None:
    assert picked("2020-01-01", "{from: 2026-01-01, until: 2027-01-31}", NEW) == "1"


def test_after_the_last_edition_the_last_one_counts() -> None:
    assert picked("2030-01-01", OLD, "{from: 2027-02-01, until: 2028-01-01}") == "2"
