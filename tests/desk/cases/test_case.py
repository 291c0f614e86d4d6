"""A case as its people see it: members the whole, its applicant their own side, others nothing."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.demo.caseload import demo_files
from comity.store.cases import add_action
from comity.store.models import Account, Case, Role
from tests.desk.conftest import PASSWORD, case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    Open = Callable[[Account | None], Client]


NAMES = [path[11:-5] for path in demo_files() if path.startswith("applicants/")]
MEMBER_PAGES = (
    "desk-case",
    "desk-case-answer",
    "desk-case-answers",
    "desk-case-compare",
    "desk-case-papers",
    "desk-case-facts",
    "desk-case-what-if",
    "desk-case-message",
    "desk-case-letter",
    "desk-case-history",
)
OWN_PAGES = ("desk-case", "desk-case-papers")


def address(name: str, case: Case) -> str:
    return reverse(name, args=[case.pk])


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize("name", MEMBER_PAGES)
def test_a_page_is_open_to_members_and_closed_to_others(
    name: str, case: Case, owner: Account, adviser: Account, outsider: Account, client_of: Open
) -> None:
    page = address(name, case)
    assert client_of(owner).get(page).status_code == 200
    assert client_of(adviser).get(page).status_code == 200
    assert client_of(outsider).get(page).status_code == 404
    anonymous = client_of(None).get(page)
    assert anonymous.status_code == 302
    assert anonymous.headers["Location"].startswith("/sign-in")


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize("name", MEMBER_PAGES)
def test_an_applicant_sees_their_own_side_and_no_more(
    name: str, case: Case, applicant: Account, client_of: Open
) -> None:
    status = client_of(applicant).get(address(name, case)).status_code
    assert status == (200 if name in OWN_PAGES else 404)


def test_without_rulebooks_a_case_works_and_no_verdict_is_shown(
    case: Case, adviser: Account, client_of: Open
) -> None:
    add_action(case, "Ask for the letter", actor=adviser)
    page = client_of(adviser).get(address("desk-case", case)).content.decode()
    assert "No rules read yet" in page
    assert "Ask for the letter" in page
    assert 'class="verdict' not in page
    for name in ("desk-case-facts", "desk-case-compare", "desk-case-what-if"):
        shown = client_of(adviser).get(address(name, case)).content.decode()
        assert "No rules read yet" in shown
        assert 'class="verdict' not in shown
    for name in ("desk-case-message", "desk-case-letter"):
        assert client_of(adviser).get(address(name, case)).status_code == 404


@pytest.mark.usefixtures("demo_rulebooks")
def test_the_overview_shows_the_answer_with_its_strip(
    case: Case, adviser: Account, client_of: Open
) -> None:
    page = client_of(adviser).get(address("desk-case", case)).content.decode()
    assert "Tamorra Register of Diet and Nutrition" in page
    assert 'data-chart="strip-wide"' in page
    assert 'id="strip-narrow" type="application/json"' in page
    assert "style=" not in page
    assert "<script>" not in page


@pytest.mark.usefixtures("demo_rulebooks")
def test_another_title_is_shown_when_it_is_asked_for(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    page = client.get(address("desk-case", case), {"title": "xc-board/dietitian"})
    assert "Registered dietitian" in page.content.decode()
    assert client.get(address("desk-case", case), {"title": "nobody/nothing"}).status_code == 404


@pytest.mark.usefixtures("demo_rulebooks")
def test_the_applicant_reads_plain_words_and_no_figures_of_the_adviser(
    case: Case, adviser: Account, applicant: Account, client_of: Open
) -> None:
    add_action(case, "Send us your photo", actor=adviser, holder="applicant", is_for_applicant=True)
    add_action(case, "Ring the authority", actor=adviser)
    page = client_of(applicant).get(address("desk-case", case)).content.decode()
    assert "Send us your photo" in page
    assert "Ring the authority" not in page
    words = re.sub(r"<(script|style).*?</\1>|<[^>]+>", " ", page, flags=re.DOTALL)
    assert "%" not in words
    assert "xb-register" not in words
    assert "This is no legal or immigration advice." in words
    papers = client_of(applicant).get(address("desk-case-papers", case)).content.decode()
    assert "%" not in re.sub(r"<[^>]+>", " ", papers)


@pytest.mark.usefixtures("demo_rulebooks")
def test_a_case_of_somebody_else_is_not_there_for_an_applicant(
    case: Case, outsider: Account, client_of: Open
) -> None:
    del case
    own = Case.objects.get(account=outsider)
    assert client_of(outsider).get(address("desk-case", own)).status_code == 200


@pytest.mark.usefixtures("demo_rulebooks")
def test_the_comparison_has_every_title_under_both_assumptions(
    case: Case, adviser: Account, client_of: Open
) -> None:
    page = client_of(adviser).get(address("desk-case-compare", case)).content.decode()
    assert page.count('<th scope="row">') == 6
    assert page.count('class="verdict') == 12


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize("name", NAMES)
def test_everybody_of_the_demo_is_shown_to_their_adviser_and_to_themselves(
    name: str, adviser: Account, client_of: Open
) -> None:
    person = Account.objects.create_account(
        f"{name}@people.example", PASSWORD, name=name, role=Role.APPLICANT
    )
    case = case_of(name, owner=person, adviser=adviser)
    client = client_of(adviser)
    for page in ("desk-case", "desk-case-facts", "desk-case-answers", "desk-case-compare"):
        assert client.get(address(page, case)).status_code == 200
    own = client_of(person).get(address("desk-case", case)).content.decode()
    words = re.sub(r"<(script|style).*?</\1>|<[^>]+>", " ", own, flags=re.DOTALL)
    assert not re.search(r"%|\d{4}-\d{2}|x[abc]-\w+/", words)
