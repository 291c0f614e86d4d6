"""What the brief tells an applicant of readiness: words with their caution, or nothing at all."""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from typing import TYPE_CHECKING

from comity.core.days.calendar import day_from_date
from comity.core.exam.items import Bank
from comity.core.exam.readiness_words import CAUTION, WORDS
from comity.demo.exam_class import demo_items, examination_files
from comity.files.item_bank import read_blueprint
from comity.files.responses import read_responses
from comity.service.brief_readiness import ready_page
from comity.service.exam_readiness import (
    Wanted,
    known_of,
    over_time,
    prepare,
    study_calendar,
    time_said,
)
from comity.service.exam_responses import mark

if TYPE_CHECKING:
    from comity.core.exam.readiness import Prospect

TODAY = day_from_date(date(2026, 11, 25))
EXAM = day_from_date(date(2027, 1, 20))


@cache
def known() -> Prospect:
    files = examination_files()
    bank = Bank(bank="b", items=demo_items())
    blueprint = read_blueprint(files["examination/blueprint.yaml"], "b").value
    assert blueprint is not None
    loaded = read_responses(files["examination/responses.csv"].encode("utf-8"), "a.csv")
    return known_of(mark(loaded, bank).dated(default=TODAY), bank, blueprint, today=TODAY)


def test_an_applicant_is_told_words_and_no_figure_of_a_chance() -> None:
    page = ready_page(prepare(known(), Wanted(person="p07", exam=EXAM, hours_a_week=4)))
    assert page is not None
    assert page.sentence in {words.sentence for words in WORDS.values()}
    assert page.caution == CAUTION
    assert not re.search(r"\d ?%|0\.\d", f"{page.sentence} {page.advice} {page.caution}")
    assert page.about == "Your examination on 20\N{NO-BREAK SPACE}January\N{NO-BREAK SPACE}2027"


def test_the_weeks_of_study_follow_with_their_hours() -> None:
    page = ready_page(prepare(known(), Wanted(person="p07", exam=EXAM, hours_a_week=4)))
    assert page is not None
    assert page.weeks[1].what == "30\N{NO-BREAK SPACE}November\N{NO-BREAK SPACE}2026"
    assert page.weeks[1].first == "4 h"
    assert "Labels" in page.weeks[1].second


def test_without_hours_to_study_no_weeks_are_told() -> None:
    page = ready_page(prepare(known(), Wanted(person="p07", exam=EXAM)))
    assert page is not None
    assert page.weeks == ()


def test_nothing_is_told_before_it_rests_on_enough() -> None:
    assert ready_page(prepare(known(), Wanted(person="nobody", exam=EXAM))) is None


def test_nothing_is_told_without_a_pass_mark() -> None:
    prospect = known()
    without = known_of(
        (), Bank(bank="b", items=demo_items()), prospect.blueprint, today=TODAY, cut=0.6
    )
    assert without.exam.cut == 0.6
    assert ready_page(prepare(without, Wanted(person="p07", exam=EXAM))) is None


def test_readiness_over_time_ends_on_the_day_of_the_examination() -> None:
    days = over_time(prepare(known(), Wanted(person="p07", exam=EXAM)))
    assert days[0][0] == TODAY
    assert days[-1][0] == EXAM
    assert days[-1][1].p_pass is not None


def test_the_calendar_has_each_day_of_study_and_the_examination() -> None:
    prepared = prepare(known(), Wanted(person="p07", exam=EXAM, hours_a_week=2))
    assert prepared.plan is not None
    days = {session.on for week in prepared.plan.weeks for session in week.sessions}
    text = study_calendar(prepared)
    assert text.count("BEGIN:VEVENT") == len(days) + 1
    assert "The authority" in re.sub(r"\r\n ", "", text)
    assert text == study_calendar(prepared), "the same plan gives the same text"


def test_who_waits_goes_on_studying_until_the_later_sitting() -> None:
    later = EXAM + 56
    wanted = Wanted(person="p07", exam=EXAM, hours_a_week=4, sittings=(later,))
    booking = prepare(known(), wanted).booking
    assert booking is not None
    assert [each.on for each in booking.options] == [EXAM, later]
    assert booking.options[1].p_pass >= booking.options[0].p_pass


def test_times_are_said_in_hours_and_minutes() -> None:
    assert [time_said(each) for each in (0, 30, 60, 90)] == ["0", "30 min", "1 h", "1 h 30 min"]
