"""What is given out is kept as it was given, and listed once it no longer holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.core.facts.sections import entries_of
from comity.store.converters import applicant_of
from comity.store.given import content_of
from comity.store.models import Case, Given
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Open = Callable[[Account | None], Client]

pytestmark = pytest.mark.usefixtures("demo_rulebooks")
TITLE = {"title": "xb-register/dietitian"}
SHOWN = {"shown": "xb-register/dietitian"}


def address(name: str, case: Case, *more: object) -> str:
    return reverse(f"desk-case-{name}", args=[case.pk, *more])


def test_a_brief_comes_as_a_pdf_and_is_kept(case: Case, adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    assert client.get(address("brief", case)).status_code == 405
    response = client.post(address("brief", case), SHOWN)
    assert response.headers["Content-Type"] == "application/pdf"
    assert response.content.startswith(b"%PDF")
    kept = Given.objects.get(case=case)
    assert (kept.sort, content_of(kept)) == ("brief", response.content)
    again = client.get(address("given", case, kept.pk))
    assert again.content == response.content


def test_an_applicant_gets_their_own_brief_and_nobody_elses(
    case: Case, applicant: Account, outsider: Account, client_of: Open
) -> None:
    assert client_of(applicant).post(address("brief", case)).content.startswith(b"%PDF")
    kept = Given.objects.get(case=case)
    assert client_of(applicant).get(address("given", case, kept.pk)).status_code == 200
    assert client_of(outsider).post(address("brief", case)).status_code == 404
    assert client_of(outsider).get(address("given", case, kept.pk)).status_code == 404
    assert client_of(None).post(address("brief", case)).status_code == 302


def test_a_message_is_shown_and_kept_when_it_is_copied(
    case: Case, adviser: Account, applicant: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    page = client.get(address("message", case), TITLE).content.decode()
    assert "this is where you stand on" in page
    assert not Given.objects.exists()
    kept = client.post(address("message", case), SHOWN, headers={"HX-Request": "true"})
    assert "It is kept as given" in kept.content.decode()
    content = content_of(Given.objects.get(case=case)) or b""
    assert content.decode().startswith("Hello ")
    given = Given.objects.get(case=case)
    assert client.get(address("given", case, given.pk)).content == content
    assert client_of(applicant).get(address("given", case, given.pk)).status_code == 404


def test_a_letter_is_drafted_where_the_authority_decides(adviser: Account, client_of: Open) -> None:
    case = case_of("baraka")
    client = client_of(adviser)
    page = client.get(address("letter", case), TITLE).content.decode()
    assert "Date and signature" in page
    assert client.post(address("letter", case), SHOWN).content.startswith(b"%PDF")
    assert Given.objects.get(case=case).sort == "letter"


def test_where_there_is_nothing_to_ask_discretion_for_the_page_says_so(
    case: Case, adviser: Account, client_of: Open
) -> None:
    page = client_of(adviser).get(address("letter", case), TITLE).content.decode()
    assert "There is nothing to ask discretion for" in page


def test_what_no_longer_holds_is_said_on_the_case_until_it_is_settled(
    case: Case, adviser: Account, outsider: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    client.post(address("message", case), SHOWN)
    given = Given.objects.get(case=case)
    client.post(address("facts-none", case, "education"))
    for each in ("registrations", "practice"):
        client.post(address("facts-remove", case, each, _first(case, each)))
    page = client.get(reverse("desk-case", args=[case.pk])).content.decode()
    assert "no longer holds" in page
    assert client_of(outsider).post(address("given-settle", case, given.pk)).status_code == 404
    client.post(address("given-settle", case, given.pk))
    page = client.get(reverse("desk-case", args=[case.pk])).content.decode()
    assert "no longer holds" not in page


def _first(case: Case, section: str) -> str:
    entries = entries_of(applicant_of(Case.objects.get(pk=case.pk)), section) or ()
    return str(entries[0].id)
