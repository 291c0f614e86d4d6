"""What comes after a licence, among what needs a person."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.desk import clock
from comity.store.cases import change_document
from comity.store.models import PlannedDay
from comity.store.spans import refresh_all
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, Case

pytestmark = pytest.mark.django_db

DECIDED = """
progress:
  - {id: p1, milestone: xb-register/dietitian/decision, on: 2026-10-01}
"""
TAKEN_UP = f"""{DECIDED.rstrip()}
  - {{id: p2, milestone: xb-register/dietitian/registration, on: 2026-10-20}}
"""
ENDING = """
progress:
  - {id: p1, milestone: xb-register/dietitian/decision, on: 2024-07-01}
  - {id: p2, milestone: xb-register/dietitian/registration, on: 2024-07-20}
"""


@pytest.fixture(autouse=True)
def day(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be the demo's day."""
    monkeypatch.setattr(clock, "demo_day", lambda: date(2026, 11, 25))


def with_more(case: Case, more: str) -> Case:
    text = case.document.rstrip() + "\n" + more
    return change_document(case, text, base_version=case.version, actor=None)


def test_a_licence_to_be_taken_up_needs_somebody(
    case: Case, adviser: Account, client_of: Callable[[Account | None], Client]
) -> None:
    all_kept()
    with_more(case, DECIDED)
    page = client_of(adviser).get("/?whose=mine").content.decode()
    # Rulebook of the demo: to be taken up within 3 months of the decision.
    assert "The licence has to be taken up by 1 January 2027, or it is lost" in page
    assert f"/cases/{case.pk}/plan?title=xb-register%2Fdietitian" in page


def test_once_it_is_taken_up_nobody_is_asked_to(
    case: Case, adviser: Account, client_of: Callable[[Account | None], Client]
) -> None:
    all_kept()
    with_more(case, TAKEN_UP)
    page = client_of(adviser).get("/?whose=mine").content.decode()
    assert "has to be taken up" not in page


def test_a_licence_that_ends_needs_somebody(
    case: Case, adviser: Account, client_of: Callable[[Account | None], Client]
) -> None:
    all_kept()
    with_more(case, ENDING)
    page = client_of(adviser).get("/?whose=mine").content.decode()
    # Rulebook of the demo: it lasts 30 months from the decision.
    assert "The licence ends on 1 January 2027" in page


def test_days_follow_when_other_editions_come_into_force(case: Case) -> None:
    case = with_more(case, DECIDED)
    assert not PlannedDay.objects.exists()
    all_kept()
    refresh_all()
    assert PlannedDay.objects.filter(case=case, key__endswith="/claim").count() == 1


def test_days_go_with_what_they_rest_on(case: Case) -> None:
    all_kept()
    case = with_more(case, DECIDED)
    assert PlannedDay.objects.filter(is_after_licence=True).exists()
    text = case.document.replace(DECIDED.strip(), "")
    change_document(case, text, base_version=case.version, actor=None)
    assert not PlannedDay.objects.filter(is_after_licence=True).exists()
