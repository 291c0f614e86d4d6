"""What the rulebook tells of booking: sittings that can still be entered for, fee, attempts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date, iso
from comity.core.exam.booking import Booking, FirstSitting
from comity.demo.caseload import demo_files
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts
from comity.service.mock_booking import bookable, choice_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Title

TODAY = day_from_date(date(2026, 11, 25))


@cache
def title() -> Title:
    texts = {name: text for name, text in demo_files().items() if name.endswith("XA/2025.yaml")}
    (rulebook,) = load_rulebook_texts(texts).rulebooks
    return next(each for each in rulebook.editions[-1].titles if each.examinations)


@cache
def applicant(name: str) -> Applicant:
    found = read_applicant(demo_files()[f"applicants/{name}.yaml"], "a").applicant
    assert found is not None
    return found


def test_sittings_fee_and_attempts_are_those_of_the_rulebook() -> None:
    (examination,) = title().examinations
    found = bookable(title(), examination, applicant("hana"), today=TODAY)
    assert found is not None
    assert [iso(each.on) for each in found.sittings] == ["2027-03-06", "2027-07-03", "2027-11-06"]
    assert (found.rules.fee_minor, found.currency) == (41_000, "EUR")
    assert found.rules.attempts == 3
    assert found.rules.day_minor == 0


def test_a_sitting_whose_entry_has_closed_is_left_out() -> None:
    (examination,) = title().examinations
    closed = day_from_date(date(2026, 12, 12))
    found = bookable(title(), examination, applicant("hana"), today=closed)
    assert found is not None
    assert [iso(each.on) for each in found.sittings] == ["2027-07-03", "2027-11-06"]


@pytest.mark.parametrize("name", ["kofi", "yasmin"])
def test_who_has_passed_or_booked_has_nothing_to_weigh(name: str) -> None:
    (examination,) = title().examinations
    assert bookable(title(), examination, applicant(name), today=TODAY) is None


def test_days_by_appointment_and_no_published_day_give_no_choice() -> None:
    (examination,) = title().examinations
    agreed = replace(examination, by_appointment=True, sittings=())
    assert bookable(title(), agreed, applicant("hana"), today=TODAY) is None
    none = replace(examination, sittings=())
    assert bookable(title(), none, applicant("hana"), today=TODAY) is None


def test_the_next_sitting_stands_beside_the_best_of_the_later_ones() -> None:
    (examination,) = title().examinations
    found = bookable(title(), examination, applicant("hana"), today=TODAY)
    assert found is not None
    options = tuple(
        FirstSitting(each.on, 0.6, 0.9, 1.4, 574.4, 100.0, cost)
        for each, cost in zip(found.sittings, (50.0, 90.0, 70.0), strict=True)
    )
    choice = choice_of(Booking("book the first", options[0], 0, 0, options, (), ()), found)
    assert [iso(each) for each in (choice.now.on, choice.later.on, choice.closes)] == [
        "2027-03-06",
        "2027-11-06",
        "2026-12-11",
    ]
    assert choice.now_fees == 574
