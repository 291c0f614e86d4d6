"""The list of applicants: found, narrowed, put in order, and new ones in it."""

from __future__ import annotations

import html
import re
from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.desk.applicants.asking import Asked, asked_in, kept_search
from comity.store.audit import detail_of
from comity.store.cases import add_action, add_case, close_case
from comity.store.converters import applicant_of
from comity.store.models import AuditRecord, Case
from comity.store.rulebooks import rulebooks_in_force
from comity.store.spans import refresh_all
from tests.desk.conftest import case_of
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Open = Callable[[Account | None], Client]

PAGES = ("/applicants", "/applicants/new", "/applicants/import", "/applicants/import/columns.xlsx")


def added(reference: str, name: str, *, adviser: Account | None = None) -> Case:
    return add_case(f"applicant: {reference}\nname: {name}\n", actor=adviser, adviser=adviser)


def names(client: Client, query: str = "") -> list[str]:
    page = client.get(f"/applicants{query}").content.decode()
    found = re.findall(r'<th scope="row">\s*<a href="/cases/[^"]+">([^<]+)</a>', page)
    return [html.unescape(each) for each in found]


def found_by(client: Client, **said: str) -> list[str]:
    answer = client.post("/applicants", said)
    assert answer.status_code == 302
    return names(client, answer.headers["Location"].removeprefix("/applicants"))


@pytest.mark.parametrize("page", PAGES)
def test_pages_are_open_to_members_and_closed_to_others(
    page: str, owner: Account, adviser: Account, outsider: Account, client_of: Open
) -> None:
    assert client_of(owner).get(page).status_code == 200
    assert client_of(adviser).get(page).status_code == 200
    assert client_of(outsider).get(page).status_code == 404
    anonymous = client_of(None).get(page)
    assert anonymous.headers["Location"].startswith("/sign-in?next=")


@pytest.mark.parametrize("page", ["/applicants", "/applicants/new", "/applicants/import"])
def test_nothing_is_sent_by_others(page: str, outsider: Account, client_of: Open) -> None:
    sent = {"name": "Lu", "reference": "a-1", "words": "soren"}
    assert client_of(outsider).post(page, sent).status_code == 404
    assert client_of(None).post(page, sent).status_code == 302
    assert Case.objects.filter(reference="a-1").exists() is False


def test_an_office_without_applicants_is_told_how_to_begin(owner: Account, client_of: Open) -> None:
    page = client_of(owner).get("/applicants").content.decode()
    assert "Nobody here yet" in page
    assert 'href="/applicants/new"' in page


def test_the_list_stands_in_the_navigation(owner: Account, client_of: Open) -> None:
    page = client_of(owner).get("/applicants").content.decode()
    assert '<a href="/applicants" aria-current="page">Applicants</a>' in page


# -------------------------------------------------------------------------------------- searches


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("adebayo", ["Lu Adebayo"]),
        ("LU  ade", ["Lu Adebayo"]),
        ("a-02", ["Örjan Li"]),
        ("örjan", ["Örjan Li"]),
        ("ÖRJAN", ["Örjan Li"]),
        ("%", []),
        ("nobody", []),
        ("", ["Lu Adebayo", "Örjan Li"]),
    ],
)
def test_people_are_found_by_parts_of_name_and_reference(
    words: str, expected: list[str], adviser: Account, client_of: Open
) -> None:
    added("a-01", "Lu Adebayo")
    added("a-02", "Örjan Li")
    assert found_by(client_of(adviser), words=words) == expected


def test_no_address_holds_what_was_searched_for(adviser: Account, client_of: Open) -> None:
    added("a-01", "Lu Adebayo")
    client = client_of(adviser)
    location = client.post("/applicants", {"words": "Adebayo", "state": "all"}).headers["Location"]
    assert "debayo" not in location
    page = client.get(location).content.decode()
    assert 'value="Adebayo"' in page
    links = re.findall(r'(?:href|action)="([^"]*)"', page)
    assert links
    assert [each for each in links if "debayo" in each] == []


def test_a_search_is_known_to_its_own_session_only(
    adviser: Account, owner: Account, client_of: Open
) -> None:
    added("a-01", "Lu Adebayo")
    added("a-02", "Mei Li")
    location = client_of(adviser).post("/applicants", {"words": "Adebayo"}).headers["Location"]
    query = location.removeprefix("/applicants")
    assert names(client_of(owner), query) == ["Lu Adebayo", "Mei Li"]


def test_a_session_keeps_a_dozen_searches_and_each_once(client_of: Open, adviser: Account) -> None:
    session = client_of(adviser).session
    first = kept_search(session, "first")
    assert kept_search(session, " first ") == first
    for number in range(12):
        kept_search(session, f"word {number}")
    assert len(session["searches"]) == 12
    assert first not in session["searches"]
    assert kept_search(session, "  ") == ""


def test_what_makes_no_sense_in_an_address_is_taken_as_not_said() -> None:
    nonsense = {"page": "-3", "sort": "shoe", "verdict": "maybe", "state": "lost", "next": "9"}
    assert asked_in(nonsense) == Asked()
    assert asked_in({"page": "٣"}) == Asked()
    assert asked_in({"sort": "-name", "page": "2"}).query == "sort=-name&page=2"


@pytest.mark.parametrize("query", ["?page=999999", "?care=9999999", "?title=x/y&verdict=met"])
def test_addresses_made_up_by_hand_find_nobody_and_break_nothing(
    query: str, case: Case, adviser: Account, client_of: Open
) -> None:
    del case
    assert names(client_of(adviser), query) == []


# --------------------------------------------------------------------------------------- filters


TITLE = ("xb-register", "dietitian")


def verdicts_of_the_core() -> dict[str, dict[tuple[str, str], str]]:
    """Return each case's verdicts today as the core assesses them, not as rows tell."""
    day = day_from_date(date(2026, 11, 25))
    return {
        case.name: {
            (rulebook.authority.id, title): assess(
                applicant_of(case), rulebook, title=title, on=day, today=day
            ).verdict.value
            for rulebook in rulebooks_in_force()
            for title in rulebook.titles()
        }
        for case in Case.objects.all()
    }


@pytest.mark.parametrize("verdict", ["met", "refer", "unknown", "not met"])
def test_answers_narrow_the_list_as_the_core_gives_them(
    verdict: str, adviser: Account, client_of: Open
) -> None:
    all_kept()
    for name in ("hana", "kofi", "leilani", "soren", "ingrid", "baraka"):
        case_of(name)
    refresh_all()
    client = client_of(adviser)
    core = verdicts_of_the_core()
    words = {"not met", "not applicable"} if verdict == "not met" else {verdict}
    one = {name for name, found in core.items() if found[TITLE] in words}
    some = {name for name, found in core.items() if words & set(found.values())}
    own = {
        name
        for name, found in core.items()
        if words & {found[key] for key in found if key[0] == TITLE[0]}
    }
    assert set(found_by(client, title="/".join(TITLE), verdict=verdict)) == one
    assert set(found_by(client, title=f"{TITLE[0]}/", verdict=verdict)) == own
    assert set(found_by(client, verdict=verdict)) == some


def test_cases_are_narrowed_by_who_cares_for_them(
    adviser: Account, owner: Account, client_of: Open
) -> None:
    added("a-1", "Ann", adviser=adviser)
    added("a-2", "Ben", adviser=owner)
    added("a-3", "Cem")
    client = client_of(adviser)
    assert names(client, "?care=mine") == ["Ann"]
    assert names(client, "?care=nobody") == ["Cem"]
    assert names(client, f"?care={owner.pk}") == ["Ben"]


def test_cases_are_narrowed_by_their_next_day(adviser: Account, client_of: Open) -> None:
    due = {"Ann": date(2026, 11, 24), "Ben": date(2026, 11, 25), "Cem": date(2026, 12, 10)}
    for number, (name, day) in enumerate(due.items()):
        add_action(added(f"a-{number}", name), "Ring", actor=adviser, due=day)
    added("a-9", "Dov")
    client = client_of(adviser)
    assert names(client, "?next=overdue") == ["Ann"]
    assert names(client, "?next=two+weeks") == ["Ben"]
    assert names(client, "?next=month") == ["Ben", "Cem"]
    assert names(client, "?next=none") == ["Dov"]
    assert names(client, "?sort=next") == ["Ann", "Ben", "Cem", "Dov"]
    assert names(client, "?sort=-next") == ["Cem", "Ben", "Ann", "Dov"]
    page = client.get("/applicants").content.decode()
    assert page.count('<span class="overdue">overdue</span>') == 1


def test_closed_cases_are_shown_when_asked_for(adviser: Account, client_of: Open) -> None:
    close_case(added("a-1", "Ann"), actor=adviser)
    added("a-2", "Ben")
    client = client_of(adviser)
    assert names(client) == ["Ben"]
    assert names(client, "?state=closed") == ["Ann"]
    assert names(client, "?state=all") == ["Ann", "Ben"]


def test_lists_are_put_in_order_from_both_ends(adviser: Account, client_of: Open) -> None:
    for reference, name in (("c", "ann"), ("a", "Ben"), ("b", "Cem")):
        added(reference, name)
    client = client_of(adviser)
    assert names(client) == ["ann", "Ben", "Cem"]
    assert names(client, "?sort=-name") == ["Cem", "Ben", "ann"]
    assert names(client, "?sort=reference") == ["Ben", "Cem", "ann"]
    assert names(client, "?sort=changed") == ["Cem", "Ben", "ann"]


def test_a_row_shows_the_best_answer_and_the_next_action(
    case: Case, adviser: Account, client_of: Open
) -> None:
    all_kept()
    refresh_all()
    add_action(case, "Ask for the letter", actor=adviser, due=date(2026, 12, 1))
    page = client_of(adviser).get("/applicants").content.decode()
    assert "Ask for the letter" in page
    assert re.search(r'class="verdict verdict-[a-z-]+"', page)
    assert "Ade Okonjo" in page


def test_without_rulebooks_no_answer_is_shown(
    case: Case, adviser: Account, client_of: Open
) -> None:
    del case
    page = client_of(adviser).get("/applicants").content.decode()
    assert "If handed in today" not in page
    assert 'class="verdict' not in page


def test_answers_that_rest_on_older_editions_are_said_to(
    case: Case, adviser: Account, client_of: Open
) -> None:
    del case
    all_kept()
    assert "Work them out anew" in client_of(adviser).get("/applicants").content.decode()
    refresh_all()
    assert "Work them out anew" not in client_of(adviser).get("/applicants").content.decode()


# ----------------------------------------------------------------------------------------- pages


def many(n: int) -> None:
    Case.objects.bulk_create(
        Case(
            reference=f"a-{number:04}",
            name=f"Person {number:04}",
            document=f"applicant: a-{number:04}\n",
        )
        for number in range(n)
    )


def test_pages_follow_each_other(adviser: Account, client_of: Open) -> None:
    many(60)
    client = client_of(adviser)
    first, second, third = (names(client, f"?page={number}") for number in (1, 2, 3))
    assert [len(first), len(second), len(third)] == [25, 25, 10]
    assert [*first, *second, *third] == sorted({*first, *second, *third})
    page = client.get("/applicants?page=2").content.decode()
    assert '<a class="button button-quiet" rel="prev" href="?page=1">' in page
    assert '<a class="button button-quiet" rel="next" href="?page=3">' in page
    assert "60 applicants" in page
    assert 'rel="next"' not in client.get("/applicants?page=3").content.decode()


def test_beyond_a_thousand_nobody_is_counted(adviser: Account, client_of: Open) -> None:
    many(1_001)
    assert "More than 1,000 applicants" in client_of(adviser).get("/applicants").content.decode()


def test_a_longer_list_asks_the_database_no_more(adviser: Account, client_of: Open) -> None:
    all_kept()
    client = client_of(adviser)
    add_action(case_of("hana", adviser=adviser), "Ring", actor=adviser, due=date(2026, 12, 1))
    refresh_all()
    client.get("/applicants")
    with CaptureQueriesContext(
        connection,
    ) as few:
        client.get("/applicants")
    many(20)
    refresh_all()
    with CaptureQueriesContext(connection) as more:
        client.get("/applicants")
    assert len(more) <= len(few)
    assert [each["sql"] for each in more if '"document"' in each["sql"]] == []


# ------------------------------------------------------------------------------------------- new


def test_a_name_and_a_reference_are_enough(adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    assert 'value="a-0001"' in client.get("/applicants/new").content.decode()
    answer = client.post(
        "/applicants/new", {"name": "Lu Li", "reference": "a-0001", "is_mine": "on"}
    )
    case = Case.objects.get()
    assert answer.headers["Location"] == f"/cases/{case.pk}"
    assert (case.name, case.reference, case.adviser) == ("Lu Li", "a-0001", adviser)
    assert client.get(f"/cases/{case.pk}").status_code == 200
    record = AuditRecord.objects.get(case_id=case.pk)
    assert (record.action, record.actor) == ("case/added", f"account/{adviser.pk}")
    assert (detail_of(record) or {})["after"] == "applicant: a-0001\nname: Lu Li\n"
    assert 'value="a-0002"' in client.get("/applicants/new").content.decode()


def test_a_new_case_may_be_in_nobodys_care(adviser: Account, client_of: Open) -> None:
    client_of(adviser).post("/applicants/new", {"name": "Lu", "reference": "a-1"})
    assert Case.objects.get().adviser is None


@pytest.mark.parametrize(
    ("name", "reference", "said"),
    [
        ("", "a-1", "This field is required."),
        ("Lu", "Lu Li", "“Lu Li” cannot be taken. Expected: a short name of small letters"),
        ("Lu\x01", "a-1", "Null characters"),
        ("Lu", "soren", "The office has an applicant with this reference."),
    ],
)
def test_what_cannot_be_taken_is_said_at_its_field(
    name: str, reference: str, said: str, adviser: Account, outsider: Account, client_of: Open
) -> None:
    del outsider
    answer = client_of(adviser).post("/applicants/new", {"name": name, "reference": reference})
    page = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert said in page or "control characters" in page
    assert Case.objects.count() == 1
