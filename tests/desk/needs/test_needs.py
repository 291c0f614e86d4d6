"""The first page: what needs a person, in order, each with its day, reason and next action."""

from __future__ import annotations

import re
from datetime import date
from html import unescape
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.desk import clock
from comity.desk.needs import found, views
from comity.store.cases import add_action, add_case, change_document, close_case
from comity.store.converters import applicant_of
from comity.store.given import give, settle
from comity.store.models import Case, Given, StoredEdition
from comity.store.rulebooks import rulebooks_in_force
from comity.store.spans import refresh_all
from tests.desk.conftest import case_of
from tests.desk.editions import demo_text, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from pytest_django import DjangoAssertNumQueries

    from comity.store.models import Account

    Opened = Callable[[Account | None], Client]

TODAY = day_from_date(date(2026, 11, 25))
PASSPORT = """\
applicant: ada
name: Ada Papers
papers:
  - {{id: pass, kind: passport, expires: {day}}}
"""


@pytest.fixture(autouse=True)
def day(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be the demo's day."""
    monkeypatch.setattr(clock, "demo_day", lambda: date(2026, 11, 25))


@pytest.fixture
def council() -> StoredEdition:
    """Keep the Council's edition in force."""
    return kept("XA", "2025")


def words(client: Client, address: str = "/") -> str:
    """Return what the page says, in one line."""
    response = client.get(address)
    assert response.status_code == 200
    return said_in(response.content.decode())


def said_in(page: str) -> str:
    """Return the words between the tags."""
    main = page.partition("<main")[2].partition("</main>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())


# --------------------------------------------------------------------------------- who gets in


@pytest.mark.parametrize("who", ["owner", "adviser"])
def test_members_see_what_needs_them(
    who: str, client_of: Opened, request: pytest.FixtureRequest
) -> None:
    assert "Needs you" in words(client_of(request.getfixturevalue(who)))


@pytest.mark.usefixtures("case")
def test_an_applicant_is_led_to_their_own_case(
    case: Case, applicant: Account, outsider: Account, client_of: Opened
) -> None:
    response = client_of(applicant).get("/")
    assert (response.status_code, response["Location"]) == (302, f"/cases/{case.pk}")
    stranger = client_of(outsider).get("/")
    assert stranger["Location"] == f"/cases/{Case.objects.get(reference='soren').pk}"


def test_an_applicant_without_a_case_is_told_whom_to_write_to(
    applicant: Account, client_of: Opened
) -> None:
    assert "desk@lantern.example" in words(client_of(applicant))


def test_nobody_in_particular_is_sent_to_sign_in(client_of: Opened) -> None:
    response = client_of(None).get("/")
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in")


# --------------------------------------------------------------------------------------- empty


def test_a_fresh_office_is_told_what_will_stand_here(owner: Account, client_of: Opened) -> None:
    said = words(client_of(owner))
    assert "A fresh office" in said
    assert "No rules are read yet." in said


@pytest.mark.usefixtures("council")
def test_when_nothing_is_due_it_says_so_kindly(owner: Account, client_of: Opened) -> None:
    add_case(PASSPORT.format(day="2036-01-01"), actor=owner, adviser=owner)
    case = Case.objects.get()
    case.spans.all().delete()
    said = words(client_of(owner))
    assert "Nothing needs you just now" in said
    assert "nobody in your care waits for an answer" in said


# -------------------------------------------------------------------------------------- entries


def test_a_paper_about_to_lapse_names_its_day_and_the_next_step(
    owner: Account, client_of: Opened
) -> None:
    case = add_case(PASSPORT.format(day="2026-12-05"), actor=owner, adviser=owner)
    page = client_of(owner).get("/").content.decode()
    said = said_in(page)
    assert "Now until 5 Dec 2026 Ada Papers The passport lapses on 5 December 2026." in said
    assert "Ask for a new one, and write down when it comes. The ball is with Applicant" in said
    assert f'href="/cases/{case.pk}/facts/papers/pass"' in page


@pytest.mark.parametrize(
    ("day", "is_there"),
    [
        ("2026-10-24", False),
        ("2026-10-25", True),
        ("2026-11-25", True),
        ("2027-01-26", True),
        ("2027-01-27", False),
    ],
)
def test_papers_are_spoken_of_a_month_after_and_two_months_before(
    day: str, owner: Account, client_of: Opened, *, is_there: bool
) -> None:
    add_case(PASSPORT.format(day=day), actor=owner, adviser=owner)
    assert ("Ada Papers" in words(client_of(owner))) is is_there


def test_a_paper_that_lapsed_is_said_to_have(owner: Account, client_of: Opened) -> None:
    add_case(PASSPORT.format(day="2026-11-20"), actor=owner, adviser=owner)
    assert "The passport lapsed on 20 November 2026." in words(client_of(owner))


@pytest.mark.usefixtures("council")
def test_open_dates_that_end_are_told_with_the_days_left(
    adviser: Account, client_of: Opened
) -> None:
    case_of("leilani", adviser=adviser)
    refresh_all()
    said = words(client_of(adviser))
    titles = " · ".join(
        f"{title}, Halvenian Council of Nutrition Professions"
        for title in ("Dietitian", "Provisional dietitian")
    )
    # The demo's own window: until 18 December 2026.
    assert f"In 23 days, on 18 December 2026, the open dates end: {titles}." in said
    assert "Within a month" in said


@pytest.mark.usefixtures("council")
def test_open_dates_press_nobody_once_the_application_is_made(
    adviser: Account, client_of: Opened
) -> None:
    case = case_of("leilani", adviser=adviser)
    case.document += (
        "progress:\n  - {id: sent, milestone: xa-council/dietitian/submission, on: 2026-11-20}\n"
    )
    case.save()
    refresh_all()
    said = words(client_of(adviser))
    assert "the open dates end: Provisional dietitian, " in said
    assert "Professions · " not in said


@pytest.mark.usefixtures("council")
def test_missing_facts_lead_to_the_intake(adviser: Account, client_of: Opened) -> None:
    case = add_case("applicant: nia\nname: Nia\n", actor=adviser, adviser=adviser)
    page = client_of(adviser).get("/").content.decode()
    said = said_in(page)
    assert "Waiting for an answer no day Nia On 2 titles nobody can be told yet" in said
    assert "Go on with the questions. The ball is with Adviser" in said
    assert f'href="/cases/{case.pk}/intake"' in page


@pytest.mark.usefixtures("council")
def test_the_applicant_who_can_sign_in_holds_the_ball(
    adviser: Account, applicant: Account, client_of: Opened
) -> None:
    case = add_case("applicant: nia\nname: Nia\n", actor=adviser, adviser=adviser)
    Case.objects.filter(pk=case.pk).update(account=applicant)
    said = words(client_of(adviser))
    assert "Remind them of the questions" in said
    assert "The ball is with Applicant" in said


def test_a_passage_that_waits_to_be_read_is_the_adviser_s(
    adviser: Account, client_of: Opened
) -> None:
    text = (
        'rulebook: "1"\nauthority: {id: board, name: Board, country: XC}\nread: 2026-11-01\n'
        "wholly_read: yes\ntitles:\n  - id: one\n    name: Title One\n    profession: 2265\n"
        "    requires:\n      - {id: folder, kind: by hand, label: Folder of cases, text: Cases,"
        " checked_by: an adviser, source: {document: Rules}}\n"
    )
    StoredEdition.objects.create(
        authority="board", edition="1", text=text, digest="1" * 64, state="in force"
    )
    case = add_case("applicant: nia\nname: Nia\n", actor=adviser, adviser=adviser)
    said = words(client_of(adviser))
    assert "“Folder of cases” waits for somebody to read it: Title One, Board." in said
    document = (
        f"{case.document}results:\n  reviews:\n    - {{id: r, requirement: board/one/folder,"
        " verdict: met, by: Ade, on: 2026-11-20, reason: read}\n"
    )
    change_document(case, document, base_version=1, actor=adviser)
    assert "waits for somebody to read it" not in words(client_of(adviser))


def test_an_overdue_action_says_since_when(adviser: Account, client_of: Opened) -> None:
    case = add_case("applicant: nia\nname: Nia\n", actor=adviser, adviser=adviser)
    add_action(case, "Letter of the ward", actor=adviser, holder="employer", due=date(2026, 11, 22))
    add_action(case, "Far away", actor=adviser, due=date(2026, 12, 27))
    said = words(client_of(adviser))
    assert "Was due 3 days ago, on 22 November 2026. Letter of the ward" in said
    assert "The ball is with Employer" in said
    assert "Far away" not in said


def test_a_stale_edition_is_in_both_views(owner: Account, client_of: Opened) -> None:
    text = demo_text("XC", "2026").replace("read: 2026-11-09", "read: 2024-11-09", 1)
    kept("XC", "2026", text=text)
    for whose in ("mine", "office"):
        page = client_of(owner).get(f"/?whose={whose}").content.decode()
        assert "Edition 2026 should have been read again by 9 September 2025." in page
        assert 'href="/rulebooks/xc-board/2026/edit"' in page


# ------------------------------------------------------------------------- what was said before


def told(case: Case, actor: Account) -> Given:
    """Give the answer on the Council's titles out, as it is now."""
    (rulebook,) = rulebooks_in_force()
    answers = [
        assess(applicant_of(case), rulebook, title=title, on=TODAY, today=TODAY)
        for title in rulebook.titles()
    ]
    return give(
        case,
        sort="message",
        content=b"Dear Leilani",
        media_type="text/plain",
        recipient="Leilani",
        assessments=answers,
        actor=actor,
    )


@pytest.mark.usefixtures("council")
def test_what_was_said_and_is_no_longer_so_comes_first(adviser: Account, client_of: Opened) -> None:
    case = case_of("leilani", adviser=adviser)
    given = told(case, adviser)
    assert "the answer on" not in words(client_of(adviser))
    text = re.sub(r"(?m)^  qualifications:\n(?:    .*\n)+", "  qualifications: []\n", case.document)
    assert text != case.document
    change_document(case, text, base_version=case.version, actor=adviser)
    page = client_of(adviser).get("/").content.decode()
    said = said_in(page)
    assert "“Met”; now it is “Not met”, because the facts have changed since." in said
    assert said.index("“Met”; now it is") < said.index("How this is ordered")
    assert f'href="/cases/{case.pk}/history"' in page
    settle(given, actor=adviser)
    assert "now it is" not in words(client_of(adviser))


@pytest.mark.usefixtures("council")
def test_what_cannot_be_compared_at_once_is_counted_and_compared_next_time(
    adviser: Account, client_of: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = case_of("leilani", adviser=adviser)
    told(case, adviser)
    text = re.sub(r"(?m)^  qualifications:\n(?:    .*\n)+", "  qualifications: []\n", case.document)
    change_document(case, text, base_version=case.version, actor=adviser)
    monkeypatch.setattr(found, "SECONDS_FOR_COMPARING", -1.0)
    said = words(client_of(adviser))
    assert "What was said in 1 more case is yet to be compared" in said
    monkeypatch.undo()
    assert "because the facts have changed since" in words(client_of(adviser))


# --------------------------------------------------------------------------------------- whose


def test_a_person_with_cases_sees_their_own_first_and_the_office_when_asked(
    owner: Account, adviser: Account, client_of: Opened
) -> None:
    add_case(PASSPORT.format(day="2026-12-05"), actor=owner, adviser=adviser)
    other = PASSPORT.format(day="2026-12-06").replace("ada", "bea").replace("Ada", "Bea")
    add_case(other, actor=owner, adviser=owner)
    mine, office = words(client_of(adviser)), words(client_of(adviser), "/?whose=office")
    assert "Ada Papers" in mine
    assert "Bea Papers" not in mine
    assert "Bea Papers" in office
    assert "Olive Brandt" in office


def test_a_person_without_cases_sees_the_office(
    owner: Account, adviser: Account, client_of: Opened
) -> None:
    add_case(PASSPORT.format(day="2026-12-05"), actor=owner, adviser=owner)
    assert "Ada Papers" in words(client_of(adviser))


def test_closed_cases_need_nobody(owner: Account, client_of: Opened) -> None:
    case = add_case(PASSPORT.format(day="2026-12-05"), actor=owner, adviser=owner)
    add_action(case, "Call her", actor=owner, due=date(2026, 11, 26))
    close_case(case, actor=owner)
    said = words(client_of(owner))
    assert "Ada Papers" not in said
    assert "Call her" not in said


# ---------------------------------------------------------------------------------------- many


def many(n: int, adviser: Account) -> None:
    """Keep many cases whose passports lapse."""
    for number in range(n):
        text = PASSPORT.format(day="2026-12-05").replace("ada", f"ada-{number}")
        add_case(text.replace("Ada", f"Ada{number}"), actor=adviser, adviser=adviser)


def test_of_a_long_group_the_first_are_shown_and_all_when_asked(
    adviser: Account, client_of: Opened
) -> None:
    many(views.IN_A_GROUP + 3, adviser)
    client = client_of(adviser)
    first = client.get("/").content.decode()
    assert first.count('class="need ') == views.IN_A_GROUP
    link = re.search(r'href="(\?whose=mine&amp;group=now)"', first)
    assert link is not None
    every = client.get(f"/{unescape(link.group(1))}").content.decode()
    assert every.count('class="need ') == views.IN_A_GROUP + 3


@pytest.mark.usefixtures("council")
def test_no_more_is_asked_of_the_database_for_many_cases_than_for_few(
    adviser: Account, client_of: Opened, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    client = client_of(adviser)
    many(12, adviser)
    client.get("/")
    with django_assert_max_num_queries(24):
        client.get("/")


@pytest.mark.usefixtures("council")
def test_nobody_is_assessed_for_the_page(
    adviser: Account, client_of: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    case_of("leilani", adviser=adviser)
    add_case("applicant: nia\nname: Nia\n", actor=adviser, adviser=adviser)
    refresh_all()

    def refuse(*_args: object, **_more: object) -> None:
        message = "somebody was assessed"
        raise AssertionError(message)

    monkeypatch.setattr("comity.store.given.assess", refuse)
    monkeypatch.setattr("comity.service.intake.assess", refuse)
    monkeypatch.setattr("comity.store.spans.spans_of", refuse)
    assert "Leilani" in words(client_of(adviser))
