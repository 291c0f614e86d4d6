from __future__ import annotations

import re
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest

from tests.desk.plans.conftest import XA, XB

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, Case

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("rules")]
SCRIPT = re.compile(r"<script.*?</script>", re.DOTALL)
TAG = re.compile(r"<[^>]*>")


def address(case: Case, part: str = "", title: str = XB) -> str:
    return f"/cases/{case.pk}/plan{part}?title={title}"


@pytest.mark.parametrize(
    ("who", "status"), [("owner", 200), ("adviser", 200), ("applicant", 200), ("outsider", 404)]
)
@pytest.mark.parametrize("part", ["", "/shown", "/what-if"])
def test_members_and_the_applicant_see_the_plan(
    who: str,
    status: int,
    part: str,
    case: Case,
    client_of: Callable[[Account | None], Client],
    request: pytest.FixtureRequest,
) -> None:
    client = client_of(request.getfixturevalue(who))
    assert client.get(address(case, part)).status_code == status


def test_who_has_not_signed_in_is_sent_to_sign_in(
    case: Case, client_of: Callable[[Account | None], Client]
) -> None:
    assert client_of(None).get(address(case)).status_code == 302


def test_the_page_itself_works_nothing_out(
    case: Case,
    owner: Account,
    client_of: Callable[[Account | None], Client],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def never(*_given: object, **_named: object) -> None:
        message = "planned while the page waited"
        raise AssertionError(message)

    monkeypatch.setattr("comity.desk.plans.made.plan", never)
    page = client_of(owner).get(address(case)).content.decode()
    assert 'hx-trigger="load"' in page
    assert "<progress" in page


def test_members_read_percentiles_criticality_and_sources(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    page = client_of(owner).get(address(case, "/shown")).content.decode()
    for word in (
        "P10",
        "P50",
        "P80",
        "P95",
        "Holds up the end",
        "of 100",
        "Budget",
        "schedule-wide",
    ):
        assert word in page, word


def test_applicants_read_plain_words_without_percentages_or_codes(
    case: Case, applicant: Account, client_of: Callable[[Account | None], Client]
) -> None:
    for title in (XA, XB):
        page = client_of(applicant).get(address(case, "/shown", title)).content.decode()
        words = SCRIPT.sub("", page)
        words = TAG.sub("", words)
        assert "Plan for:" in words
        for word in ("P10", "P80", "of 100", "futures", "beta", "%"):
            assert word not in words, word


def test_a_title_that_cannot_be_opened_has_no_plan(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    for title in ("xc-board/practising", "xz/none"):
        assert client.get(address(case, "/shown", title)).status_code == 404
    page = client.get(f"/cases/{case.pk}/plan/shown").content.decode()
    assert "xb-register/associate" in page
    assert "xc-board/practising" not in page


def test_without_scripts_the_page_holds_the_plan(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    page = client_of(owner).get(f"{address(case)}&whole=1").content.decode()
    assert "Have it ready by month" in page


def test_a_case_that_is_not_there_has_no_plan(
    owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    assert client_of(owner).get(f"/cases/{uuid4()}/plan").status_code == 404
