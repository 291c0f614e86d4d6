"""Facts changed in place: read, kept, or refused beside their field; never overwritten silently."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.service.editing import mark_of
from comity.store.audit import detail_of, verify
from comity.store.cases import change_document, close_case
from comity.store.converters import applicant_of
from comity.store.models import AuditRecord, Case

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.core.facts.model import PracticeSpell
    from comity.store.models import Account

    Open = Callable[[Account | None], Client]

HTMX = {"HX-Request": "true"}


@pytest.fixture
def post(case: Case) -> str:
    """Return the id of the first post in the file."""
    return (applicant_of(case).facts.practice or ())[0].id


def spot(case: Case, entry: str, section: str = "practice") -> str:
    return reverse("desk-case-facts-one", args=[case.pk, section, entry])


def sent(case: Case, entry: str, **typed: str) -> dict[str, str]:
    return {"base": mark_of(applicant_of(case), "practice", entry), **typed}


def now(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def practice(case: Case) -> PracticeSpell:
    return (applicant_of(now(case)).facts.practice or ())[0]


@pytest.mark.usefixtures("demo_rulebooks")
def test_a_changed_fact_comes_back_with_the_new_answer_and_strip(
    case: Case, adviser: Account, post: str, client_of: Open
) -> None:
    response = client_of(adviser).post(
        spot(case, post),
        sent(case, post, hours_a_week="20", title="dietitian", shown="xc-board/dietitian"),
        headers=HTMX,
    )
    page = response.content.decode()
    assert practice(case).hours_a_week == 20 * 60
    assert practice(case).title == "dietitian"
    assert "Cindral Board of Dietetics" in page
    assert 'id="fact-practice"' in page
    assert 'id="answer"' in page
    assert page.count('hx-swap-oob="outerHTML"') == 2
    assert 'id="strip-wide" type="application/json"' in page


@pytest.mark.usefixtures("demo_rulebooks")
def test_without_scripts_a_changed_fact_leads_back_to_all_facts(
    case: Case, adviser: Account, post: str, client_of: Open
) -> None:
    client = client_of(adviser)
    form = client.get(spot(case, post), {"edit": ""})
    assert 'name="hours_a_week"' in form.content.decode()
    response = client.post(spot(case, post), sent(case, post, start="May 2019"))
    assert response.status_code == 302
    assert response.headers["Location"].endswith("/facts#fact-practice")
    assert str(practice(case).start) == "2019-05"


def test_an_answer_that_cannot_be_read_stays_in_its_field_with_what_would_do(
    case: Case, adviser: Account, post: str, client_of: Open
) -> None:
    before = case.document
    response = client_of(adviser).post(
        spot(case, post), sent(case, post, start="last spring"), headers=HTMX
    )
    page = response.content.decode()
    assert response.status_code == 422
    assert 'value="last spring"' in page
    assert 'aria-invalid="true"' in page
    assert "“last spring” cannot be taken. Expected: a day as 3 May 2019" in page
    assert now(case).document == before


def test_an_edit_of_another_entry_meanwhile_is_kept_beside_mine(
    case: Case, adviser: Account, owner: Account, post: str, client_of: Open
) -> None:
    mine = sent(case, post, hours_a_week="21")
    text = case.document.replace("residence:", "residence:  ")
    text = text + "# a comment of somebody else\n"
    change_document(case, text, base_version=case.version, actor=owner)
    response = client_of(adviser).post(spot(case, post), mine, headers=HTMX)
    assert response.status_code == 200
    assert practice(case).hours_a_week == 21 * 60
    assert "# a comment of somebody else" in now(case).document


def test_two_edits_of_one_entry_are_shown_side_by_side_and_nothing_is_overwritten(
    case: Case, adviser: Account, owner: Account, post: str, client_of: Open
) -> None:
    mine = sent(case, post, hours_a_week="21")
    client_of(owner).post(spot(case, post), sent(case, post, hours_a_week="33"), headers=HTMX)
    response = client_of(adviser).post(spot(case, post), mine, headers=HTMX)
    page = response.content.decode()
    assert response.status_code == 409
    assert "Somebody else has changed this in the meantime" in page
    assert ">33<" in page
    assert ">21<" in page
    assert practice(case).hours_a_week == 33 * 60
    again = client_of(adviser).post(
        spot(case, post), sent(now(case), post, hours_a_week="21"), headers=HTMX
    )
    assert again.status_code == 200
    assert practice(case).hours_a_week == 21 * 60


def test_what_was_typed_into_an_entry_taken_out_meanwhile_is_offered_as_new(
    case: Case, adviser: Account, owner: Account, post: str, client_of: Open
) -> None:
    mine = sent(case, post, employer="River Clinic")
    gone = reverse("desk-case-facts-remove", args=[case.pk, "practice", post])
    client_of(owner).post(gone, headers=HTMX)
    response = client_of(adviser).post(spot(case, post), mine, headers=HTMX)
    page = response.content.decode()
    assert response.status_code == 409
    assert "taken this out of the file in the meantime" in page
    assert 'value="River Clinic"' in page
    assert reverse("desk-case-facts-new", args=[case.pk, "practice"]) in page


def test_a_new_entry_is_added_and_taken_out_again(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    new = reverse("desk-case-facts-new", args=[case.pk, "stays"])
    assert 'name="country"' in client.get(new).content.decode()
    n_before = len(applicant_of(case).facts.stays or ())
    client.post(new, {"country": "xb", "start": "2020"})
    stays = applicant_of(now(case)).facts.stays or ()
    assert len(stays) == n_before + 1
    address = reverse("desk-case-facts-remove", args=[case.pk, "stays", stays[-1].id])
    assert client.post(address, headers=HTMX).status_code == 200
    assert len(applicant_of(now(case)).facts.stays or ()) == n_before


def test_the_name_is_changed_and_a_section_is_said_to_be_empty(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    about = reverse("desk-case-facts-section", args=[case.pk, "about"])
    client.post(about, {"base": mark_of(applicant_of(case), "about", ""), "name": "Hana K."})
    assert now(case).name == "Hana K."
    client.post(reverse("desk-case-facts-none", args=[case.pk, "education"]))
    assert applicant_of(now(case)).facts.education == ()


def test_who_changed_what_from_what_to_what_stands_in_the_history(
    case: Case, adviser: Account, post: str, client_of: Open
) -> None:
    client = client_of(adviser)
    client.post(spot(case, post), sent(case, post, hours_a_week="20"))
    record = AuditRecord.objects.filter(case_id=case.pk).latest("sequence")
    detail = detail_of(record) or {}
    assert ["Hours a week", "20"] in detail["after"]
    assert verify().is_sound
    page = client.get(reverse("desk-case-history", args=[case.pk])).content.decode()
    assert "Changed facts" in page
    assert adviser.name in page
    assert "<ins>20</ins>" in page


def test_sections_and_entries_that_are_not_there_are_not_found(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    assert client.get(spot(case, "nowhere")).status_code == 404
    assert client.get(spot(case, "x", section="hobbies")).status_code == 404
    single = reverse("desk-case-facts-section", args=[case.pk, "practice"])
    assert client.get(single).status_code == 404
    none = reverse("desk-case-facts-none", args=[case.pk, "person"])
    assert client.post(none).status_code == 404


def test_a_closed_case_is_read_and_not_changed(
    case: Case, adviser: Account, post: str, client_of: Open
) -> None:
    close_case(case, actor=adviser)
    client = client_of(adviser)
    assert client.get(reverse("desk-case-facts", args=[case.pk])).status_code == 200
    assert client.post(spot(case, post), sent(case, post, hours_a_week="1")).status_code == 403


@pytest.mark.parametrize("who", ["applicant", "outsider"])
def test_nobody_but_members_changes_facts(
    who: str, case: Case, post: str, client_of: Open, request: pytest.FixtureRequest
) -> None:
    client = client_of(request.getfixturevalue(who))
    before = case.document
    for address in (
        spot(case, post),
        reverse("desk-case-facts-new", args=[case.pk, "stays"]),
        reverse("desk-case-facts-none", args=[case.pk, "education"]),
        reverse("desk-case-facts-section", args=[case.pk, "about"]),
        reverse("desk-case-facts-remove", args=[case.pk, "practice", post]),
    ):
        assert client.post(address, {"name": "x"}).status_code == 404
    assert client_of(None).post(spot(case, post)).status_code == 302
    assert now(case).document == before
