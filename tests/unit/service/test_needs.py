"""What needs a person: the order, what a file tells lists, and the entries of a case."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.demo.caseload import demo_rulebooks
from comity.files.applicants import read_applicant
from comity.service.needs import (
    AHEAD_DAYS,
    STAKES,
    Mark,
    NamedTitle,
    Need,
    Whose,
    answer_open,
    in_order,
    is_handed_in,
    issuer_of,
    marks_of,
    named_titles,
    one_a_day,
    stale_editions,
    urgency_of,
    window_closing,
)

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant


def day_of(year: int, month: int, day: int) -> int:
    """Return a day as the core counts it."""
    return day_from_date(date(year, month, day))


TODAY = day_of(2026, 11, 25)
ANNA = Whose("1", "Anna")
BERT = Whose("2", "Bert", has_account=True)
BOARD = NamedTitle("board", "dietitian", "Dietitian, Board", "submission")
READ_BY_HAND = replace(
    BOARD, title="other", name="Other", by_hand=(("board/other/portfolio", "Portfolio"),)
)


def applicant(lines: str) -> Applicant:
    """Return the applicant of a file with some lines."""
    found = read_applicant(f"applicant: anna\n{lines}", "anna.yaml")
    assert found.applicant is not None, found.problems
    return found.applicant


# -------------------------------------------------------------------------------------- order


@pytest.mark.parametrize(
    ("days", "urgency"),
    [(-3, "now"), (0, "now"), (14, "now"), (15, "this month"), (31, "this month"), (32, "later")],
)
def test_urgency_is_told_by_the_days_that_are_left(days: int, urgency: str) -> None:
    need = Need("window closing", "adviser", TODAY + days)
    assert urgency_of(need, today=TODAY) == urgency


def test_an_answer_that_is_no_longer_so_is_urgent_whenever_it_was_given() -> None:
    assert urgency_of(Need("answer changed", "adviser"), today=TODAY) == "now"


def test_what_has_no_day_waits_behind_what_has_one() -> None:
    assert urgency_of(Need("open question", "adviser"), today=TODAY) == "no day"


def test_in_a_group_what_is_most_at_stake_comes_first_however_few_days_are_left() -> None:
    action = Need("action due", "adviser", TODAY, ANNA)
    paper = Need("paper lapsing", "applicant", TODAY + 1, ANNA)
    window = Need("window closing", "adviser", TODAY + 9, ANNA)
    changed = Need("answer changed", "adviser", TODAY - 40, ANNA)
    for several in permutations((action, paper, window, changed)):
        (group,) = in_order(several, today=TODAY)
        assert group.urgency == "now"
        assert group.needs == (changed, window, paper, action)


def test_a_nearer_group_comes_before_a_higher_stake() -> None:
    action = Need("action due", "adviser", TODAY, ANNA)
    window = Need("window closing", "adviser", TODAY + 60, ANNA)
    groups = in_order((window, action), today=TODAY)
    assert [(group.urgency, group.needs) for group in groups] == [
        ("now", (action,)),
        ("later", (window,)),
    ]


def test_of_two_alike_the_earlier_day_and_then_the_name_decides() -> None:
    first = Need("paper lapsing", "applicant", TODAY + 2, BERT, "passport")
    second = Need("paper lapsing", "applicant", TODAY + 3, ANNA, "passport")
    third = Need("paper lapsing", "applicant", TODAY + 3, BERT, "passport")
    (group,) = in_order((third, second, first), today=TODAY)
    assert group.needs == (first, second, third)


def test_every_sort_has_its_stake() -> None:
    needs = [Need(sort, "adviser", None, ANNA) for sort in reversed(STAKES)]
    found = [need.sort for group in in_order(needs, today=TODAY) for need in group.needs]
    assert tuple(found) == STAKES


def test_the_same_entry_is_told_once() -> None:
    need = Need("by hand", "adviser", None, ANNA, "Portfolio")
    assert in_order((need, need), today=TODAY)[0].needs == (need,)


def test_nothing_needs_nobody() -> None:
    assert in_order((), today=TODAY) == ()


# -------------------------------------------------------------------------------------- marks


def test_a_paper_lapses_on_its_last_day() -> None:
    found = marks_of(
        applicant("papers:\n  - {id: p1, kind: passport, country: XA, expires: 2027-01-15}\n")
    )
    assert found == (Mark("lapses", "passport", day_of(2027, 1, 15), "papers/p1"),)


def test_of_a_last_day_known_in_part_the_first_possible_one_counts() -> None:
    found = marks_of(applicant("papers:\n  - {id: p1, kind: passport, expires: 2027-01}\n"))
    assert found[0].day == day_of(2027, 1, 1)


def test_a_paper_that_has_been_replaced_needs_nobody() -> None:
    found = marks_of(
        applicant(
            "papers:\n"
            "  - {id: old, kind: passport, country: XA, expires: 2026-12-01}\n"
            "  - {id: new, kind: passport, country: XA, expires: 2036-12-01}\n"
        )
    )
    assert [mark.place for mark in found] == ["papers/new"]


def test_papers_of_two_countries_lapse_each_for_itself() -> None:
    found = marks_of(
        applicant(
            "facts:\n  certificates:\n"
            "    - {id: a, of: criminal record, country: XA, expires: 2026-12-01}\n"
            "    - {id: b, of: criminal record, country: XB, expires: 2026-12-31}\n"
        )
    )
    assert [(mark.what, mark.place) for mark in found] == [
        ("criminal record certificate", "certificates/a"),
        ("criminal record certificate", "certificates/b"),
    ]


def test_whoever_was_asked_for_a_new_paper_holds_the_ball() -> None:
    found = marks_of(
        applicant(
            "papers:\n"
            "  - {id: old, kind: transcript, expires: 2026-12-01}\n"
            "  - {id: new, kind: transcript, status: requested}\n"
        )
    )
    assert [mark.holder for mark in found] == ["school"]


def test_a_registration_that_goes_on_never_lapses() -> None:
    assert marks_of(applicant("facts:\n  registrations:\n    - {id: r, end: ..}\n")) == ()


def test_a_registration_that_ends_is_named_by_its_authority() -> None:
    found = marks_of(
        applicant("facts:\n  registrations:\n    - {id: r, authority: Board, end: 2026-12-31}\n")
    )
    assert found == (Mark("lapses", "Board", day_of(2026, 12, 31), "registrations/r"),)


def test_reviews_and_milestones_are_marked() -> None:
    found = marks_of(
        applicant(
            "results:\n  reviews:\n    - {id: v, requirement: b/t/r, verdict: met, by: Ada,"
            " on: 2026-01-01, reason: read}\n"
            "progress:\n  - {id: p, milestone: b/t/submission, on: 2026-02-01}\n"
        )
    )
    assert found == (Mark("reviewed", "b/t/r"), Mark("reached", "b/t/submission"))


@pytest.mark.parametrize(
    ("paper", "holder"),
    [
        ("reference letter", "employer"),
        ("Diploma", "school"),
        ("photo", "applicant"),
        ("certificate of good standing", "authority"),
    ],
)
def test_the_words_of_a_paper_tell_who_issues_it(paper: str, holder: str) -> None:
    assert issuer_of(paper) == holder


# ------------------------------------------------------------------------------------ entries


def test_open_dates_press_nobody_once_the_application_is_made() -> None:
    until = TODAY + AHEAD_DAYS
    reached = ("board/dietitian/submission",)
    assert window_closing(BOARD, ANNA, until=until, reached=reached) is None
    need = window_closing(BOARD, ANNA, until=until, reached=("board/other/submission",))
    assert need == Need("window closing", "adviser", until, ANNA, "Dietitian, Board", place="case")


def test_open_dates_of_one_applicant_that_end_on_one_day_are_one_entry() -> None:
    several = [
        Need("window closing", "adviser", TODAY + 3, ANNA, "One"),
        Need("window closing", "adviser", TODAY + 3, BERT, "One"),
        Need("window closing", "adviser", TODAY + 3, ANNA, "Two"),
        Need("window closing", "adviser", TODAY + 4, ANNA, "Three"),
    ]
    assert [(each.whose, each.subject, each.others, each.n) for each in one_a_day(several)] == [
        (ANNA, "One", ("Two",), 2),
        (BERT, "One", (), 1),
        (ANNA, "Three", (), 1),
    ]


def test_a_milestone_named_alone_stands_for_every_title() -> None:
    assert is_handed_in(BOARD, ("submission",))
    assert not is_handed_in(BOARD, ("decision",))


def test_a_question_is_for_the_applicant_who_can_sign_in() -> None:
    found = answer_open((BOARD, READ_BY_HAND), BERT)
    assert found == Need("open question", "applicant", None, BERT, place="intake", n=2)


def test_a_question_is_for_the_adviser_where_the_applicant_cannot_sign_in() -> None:
    found = answer_open((BOARD,), ANNA)
    assert found is not None
    assert found.holder == "adviser"


def test_a_passage_to_read_is_the_adviser_s_even_if_the_applicant_can_sign_in() -> None:
    found = answer_open((READ_BY_HAND,), BERT)
    assert found == Need("by hand", "adviser", None, BERT, "Portfolio", "Other", place="facts")


def test_a_passage_that_was_read_is_no_longer_waited_for() -> None:
    found = answer_open((READ_BY_HAND,), BERT, reviewed=("board/other/portfolio",))
    assert found is not None
    assert found.sort == "open question"


def test_without_an_open_title_nothing_is_asked() -> None:
    assert answer_open((), ANNA) is None


def test_titles_have_the_names_and_passages_of_their_edition_in_force() -> None:
    found = named_titles(demo_rulebooks().rulebooks, today=TODAY)
    title = found["xc-board", "dietitian"]
    assert title.name == "Registered dietitian, Cindral Board of Dietetics"
    assert title.milestone == "submission"
    assert title.by_hand == (("xc-board/dietitian/portfolio", "Portfolio of four case studies"),)


def test_an_edition_is_stale_on_the_day_after_it_should_have_been_read() -> None:
    rulebooks = tuple(
        each for each in demo_rulebooks().rulebooks if each.authority.id == "xc-board"
    )
    again = day_of(2027, 9, 9)  # ten months after 9 November 2026
    assert list(stale_editions(rulebooks, today=again)) == []
    (need,) = stale_editions(rulebooks, today=again + 1)
    assert (need.sort, need.subject, need.detail, need.day) == (
        "stale edition",
        "Cindral Board of Dietetics",
        "2026",
        again,
    )
