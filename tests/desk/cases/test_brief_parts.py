"""A brief has the plan where it is asked for, and readiness where the office tells applicants."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import cycle
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from comity.core.days.calendar import day_from_date
from comity.core.exam.items import Bank
from comity.core.exam.readiness_words import CAUTION
from comity.demo.exam_class import demo_items, examination_files
from comity.desk.cases import brief_parts
from comity.desk.cases.shown import casework_of
from comity.desk.plans.made import titles_of
from comity.files.responses import read_responses
from comity.service.exam_responses import mark
from comity.service.mock_forms import outline
from comity.store.models import Office
from tests.assets.brief.reading import squeezed, whole_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.core.exam.items import Item
    from comity.core.exam.practice import DatedAnswer
    from comity.store.models import Account, Case

    Open = Callable[[Account | None], Client]

pytestmark = pytest.mark.usefixtures("demo_rulebooks")
TITLE = "xa-council/dietitian"
SITTING = "id: booked, examination: halvenian-dietetics, taken: 2027-07-03, outcome: booked"


def brief_of(client: Client, case: Case, **asked: str) -> str:
    response = client.post(reverse("desk-case-brief", args=[case.pk]), asked)
    assert response.status_code == 200
    return whole_text(response.content)


@pytest.fixture
def practised(case: Case, monkeypatch: pytest.MonkeyPatch) -> Case:
    """Return the case of somebody of the demo's class, who practised enough."""
    monkeypatch.setattr(brief_parts, "practice_log", lambda: class_log(p07=str(case.pk)))
    return case


def class_log(**people: str) -> tuple[tuple[DatedAnswer, ...], tuple[Item, ...]]:
    """Return the answers of the demo's class, their items spread over the shipped outline."""
    domains = cycle(each.id for each in outline().domains[:8])
    items = tuple(replace(each, domain=next(domains)) for each in demo_items())
    text = examination_files()["examination/responses.csv"].encode("utf-8")
    marked = mark(read_responses(text, "a.csv"), Bank(bank="b", items=items))
    answers = marked.dated(default=day_from_date(date(2026, 11, 25)))
    return tuple(a._replace(person=people.get(a.person, a.person)) for a in answers), items


def test_the_brief_has_the_plan_of_the_title_where_it_is_asked_for(
    case: Case, adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    text = brief_of(client, case, shown=TITLE, plan="yes")
    for said in ("Your plan", "What is reached", "Now and in the next weeks", "Still to be paid"):
        assert squeezed(said) in text, said
    assert squeezed("What is reached") not in brief_of(client, case, shown=TITLE)


def test_only_titles_that_can_be_opened_have_a_plan(
    case: Case, adviser: Account, client_of: Open
) -> None:
    text = brief_of(client_of(adviser), case, shown="all", plan="yes")
    assert text.count(squeezed("Your plan")) == len(titles_of(case))
    assert len(titles_of(case)) < len(casework_of(case).titles())


@pytest.mark.parametrize("who", ["adviser", "applicant"])
def test_the_plan_is_chosen_until_one_says_otherwise(
    who: str, case: Case, client_of: Open, request: pytest.FixtureRequest
) -> None:
    page = client_of(request.getfixturevalue(who)).get(reverse("desk-case", args=[case.pk]))
    assert 'name="plan" value="yes" checked' in page.content.decode()


def test_readiness_is_told_only_where_the_office_tells_applicants(
    practised: Case, applicant: Account, client_of: Open
) -> None:
    client = client_of(applicant)
    assert squeezed(CAUTION) not in brief_of(client, practised, shown=TITLE)
    Office.objects.update(shows_readiness=True)
    told = brief_of(client, practised, shown=TITLE)
    assert squeezed(CAUTION) in told
    assert squeezed("If your examination were on 6 March 2027") in told


def test_readiness_rests_on_enough_or_stays_out(
    case: Case, applicant: Account, client_of: Open
) -> None:
    Office.objects.update(shows_readiness=True)
    assert squeezed("Are you ready?") not in brief_of(client_of(applicant), case, shown=TITLE)


def test_a_booked_sitting_is_the_day_that_readiness_is_about(
    practised: Case, applicant: Account, client_of: Open
) -> None:
    Office.objects.update(shows_readiness=True)
    practised.document = practised.document.replace(
        "examinations: []", f"examinations: [{{{SITTING}}}]"
    )
    practised.save()
    told = brief_of(client_of(applicant), practised, shown=TITLE)
    assert squeezed("Your examination on 3 July 2027") in told
