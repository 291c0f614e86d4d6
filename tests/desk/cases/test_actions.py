"""What is to be done, notes, and whether a case is open: kept by members alone."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.store.models import Case

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Open = Callable[[Account | None], Client]


def address(name: str, case: Case, *more: object) -> str:
    return reverse(f"desk-case-{name}", args=[case.pk, *more])


def test_an_action_is_added_done_and_taken_up_again(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    sent = {"text": "Ask the school", "holder": "school", "due": "2026-12-01"}
    client.post(address("actions", case), sent)
    action = case.actions.get()
    assert (action.holder, action.due) == ("school", date(2026, 12, 1))
    assert Case.objects.get(pk=case.pk).next_day == date(2026, 12, 1)
    client.post(address("actions-one", case, action.pk))
    assert case.actions.get().done_at is not None
    client.post(address("actions-one", case, action.pk), {"do": "reopen"})
    assert case.actions.get().done_at is None
    assert client.post(address("actions-one", case, 999)).status_code == 404


def test_an_action_without_words_is_asked_for_again(
    case: Case, adviser: Account, client_of: Open
) -> None:
    response = client_of(adviser).post(address("actions", case), {"text": "", "holder": "school"})
    assert response.status_code == 422
    assert "A next action" in response.content.decode()
    assert not case.actions.exists()


def test_a_note_is_kept_and_shown_to_members(case: Case, adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    client.post(address("notes", case), {"text": "Rang on Monday"})
    assert client.post(address("notes", case), {"text": " "}).status_code == 422
    assert "Rang on Monday" in client.get(reverse("desk-case", args=[case.pk])).content.decode()


def test_a_case_is_closed_and_opened_again(case: Case, adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    client.post(address("state", case), {"do": "close", "reason": "licensed"})
    assert Case.objects.get(pk=case.pk).closed_at is not None
    assert client.post(address("notes", case), {"text": "late"}).status_code == 403
    client.post(address("state", case), {"do": "reopen"})
    assert Case.objects.get(pk=case.pk).closed_at is None


def test_a_case_is_put_in_a_members_care_and_in_nobody_elses(
    case: Case, owner: Account, adviser: Account, applicant: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    client.post(address("state", case), {"do": "care", "adviser": str(owner.pk)})
    assert Case.objects.get(pk=case.pk).adviser == owner
    client.post(address("state", case), {"do": "care", "adviser": str(applicant.pk)})
    assert Case.objects.get(pk=case.pk).adviser is None


@pytest.mark.parametrize("who", ["applicant", "outsider"])
def test_applicants_change_none_of_it(
    who: str, case: Case, client_of: Open, request: pytest.FixtureRequest
) -> None:
    client = client_of(request.getfixturevalue(who))
    for page in ("actions", "notes", "state"):
        assert client.post(address(page, case), {"text": "x"}).status_code == 404
        assert client_of(None).post(address(page, case)).status_code == 302
    assert not case.notes.exists()
