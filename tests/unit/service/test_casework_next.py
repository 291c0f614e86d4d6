"""The applicant's next three things: said once, in plain words, the most urgent first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.brief.plain import is_plain
from comity.core.days.calendar import iso
from comity.service.casework_next import N_THINGS, Task, nearest
from comity.service.editing import Edited, changed_entry
from tests.unit.service.casework_cases import TODAY, case_of, case_with, text_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.service.casework_next import NextThing

PEOPLE = ("baraka", "eunbi", "hana", "kofi", "leilani", "mehtap", "soren", "thu", "titilope")


def said(things: Sequence[NextThing]) -> list[tuple[str, str]]:
    return [(each.sort, each.says) for each in things]


@pytest.mark.parametrize("name", PEOPLE)
def test_there_are_one_to_three_things_and_all_of_them_are_plain(name: str) -> None:
    things = case_of(name).next_things()
    assert 1 <= len(things) <= N_THINGS
    assert all(is_plain(each.says) for each in things)


def test_who_may_apply_now_is_told_to_hand_in_and_by_when() -> None:
    first = case_of("leilani").next_things()[0]
    assert (first.sort, iso(first.day or 0)) == ("hand in", "2026-12-18")


def test_what_the_office_asked_for_comes_first_by_its_day() -> None:
    tasks = [Task("Ask for the letter"), Task("Send the photo", TODAY + 3)]
    assert said(case_of("hana").next_things(tasks))[:2] == [
        ("task", "Send the photo"),
        ("task", "Ask for the letter"),
    ]


def test_papers_that_are_awaited_or_about_to_lapse_come_before_steps() -> None:
    things = said(case_of("soren").next_things())
    assert things[0] == ("send paper", "employers' letters")
    found = changed_entry(text_of("soren"), "papers", {"expires": "1 Jan 2027"}, entry="passport")
    assert isinstance(found, Edited)
    lapsing = case_with(found.text).next_things()
    assert said(lapsing)[:2] == [("renew", "passport"), ("send paper", "employers' letters")]


def test_an_empty_file_leads_to_the_first_question() -> None:
    things = case_with("applicant: new\n").next_things()
    assert [each.sort for each in things] == ["question"]
    assert things[0].says.endswith("?")
    assert things[0].path


def test_the_nearest_answer_is_one_that_leads_somewhere() -> None:
    found = nearest(case_of("thu").answers())
    assert found is not None
    assert (found.authority, found.title) == ("xb-register", "dietitian")
    assert nearest(case_with("applicant: new\n").answers()) is None
