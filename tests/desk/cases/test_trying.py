"""What if: answers before and after, and nothing saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.store.models import AuditRecord, Case
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Open = Callable[[Account | None], Client]

HTMX = {"HX-Request": "true"}
pytestmark = pytest.mark.usefixtures("demo_rulebooks")


def tried(client: Client, case: Case, **asked: str) -> tuple[int, str]:
    response = client.get(reverse("desk-case-what-if", args=[case.pk]), asked)
    return response.status_code, response.content.decode()


def test_a_day_on_which_everything_holds_turns_the_answer(
    adviser: Account, client_of: Open
) -> None:
    case = case_of("thu")
    before = (case.document, AuditRecord.objects.count())
    status, page = tried(client_of(adviser), case, apply_on="2027-01-20")
    assert status == 200
    assert "the application is handed in on 20 January 2027" in page
    assert page.count("no difference") < 6
    assert (Case.objects.get(pk=case.pk).document, AuditRecord.objects.count()) == before


def test_several_things_are_tried_together(adviser: Account, client_of: Open) -> None:
    case = case_of("soren")
    _status, page = tried(
        client_of(adviser),
        case,
        months="6",
        amount="50",
        unit="share",
        full_week="40",
        counts="degree",
        paper="papers/letter/",
        paper_on="2026-12-01",
    )
    assert "6 more months of practice at 20 hours a week" in page
    assert "is recognised" in page
    assert "employers&#x27; letters arrives on 1 December 2026" in page


def test_hours_a_week_are_taken_as_they_are(adviser: Account, client_of: Open) -> None:
    _status, page = tried(client_of(adviser), case_of("thu"), months="2", amount="18", unit="hours")
    assert "2 more months of practice at 18 hours a week" in page


def test_what_belongs_together_is_asked_for_together(adviser: Account, client_of: Open) -> None:
    client, case = client_of(adviser), case_of("thu")
    status, page = tried(client, case, paper="papers/passport/")
    assert status == 422
    assert "Say on which day it arrives." in page
    assert tried(client, case, months="500", amount="50")[0] == 422
    assert "Say how much, as 50." in tried(client, case, months="5")[1]


def test_a_fact_is_tried_as_typed_and_not_saved(
    adviser: Account, applicant: Account, client_of: Open
) -> None:
    case = case_of("thu")
    entry = reverse("desk-case-what-if-entry", args=[case.pk, "practice", "hospital"])
    response = client_of(adviser).post(entry, {"start": "January 2024"}, headers=HTMX)
    page = response.content.decode()
    assert "this fact were as typed" in page
    assert "verdict-met" in page
    assert Case.objects.get(pk=case.pk).document == case.document
    plain = client_of(adviser).post(entry, {"start": "January 2024"}).content.decode()
    assert "Go back to the form" in plain
    wrong = client_of(adviser).post(entry, {"start": "soon"}, headers=HTMX)
    assert wrong.status_code == 422
    assert "“soon” cannot be taken" in wrong.content.decode()
    nowhere = reverse("desk-case-what-if-section", args=[case.pk, "hobbies"])
    assert client_of(adviser).post(nowhere).status_code == 404
    assert client_of(applicant).post(entry, {"start": "2024"}).status_code == 404
