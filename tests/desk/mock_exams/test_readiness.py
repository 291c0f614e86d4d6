"""How ready somebody is: figures for members, words for applicants where the office allows them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from comity.core.exam import forecasts, looking_back
from comity.core.exam.items import BestAnswer
from comity.desk.mock_exams.examinations import examinations
from comity.files.dumping import dump_yaml
from comity.files.item_bank import read_bank
from comity.service.mock_forms import MadeForm, Wanted, make_forms
from comity.service.starter_items import starter_bank_text
from comity.store import sittings as store
from comity.store.mock_exams import FormFacts, add_form, content_of, give_form
from comity.store.models import Case, ExamForm, GivenAnswer, Office, Sitting
from tests.desk.conftest import case_of
from tests.desk.mock_exams.conftest import START

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, StoredEdition
    from tests.desk.mock_exams.conftest import Clock

    Opened = Callable[[Account | None], Client]

ASKED = {"on": "2027-03-01", "hours": "4", "examination": ""}


def text(answer: Any) -> str:  # noqa: ANN401 - what the client gives has no public type
    return " ".join(answer.content.decode().split())


def sit(form: ExamForm, case: Case, share_right: float, *, by: Account) -> None:
    rng = np.random.default_rng(7)
    (given,) = give_form(form, [case], actor=by, now=START)
    begun = store.begin(given, actor=None, now=START)
    for item in content_of(form).items:
        options = [each.id for each in item.choices]
        wrong = next(each for each in options if each not in item.keys)
        chosen = min(item.keys) if rng.random() < share_right else wrong
        GivenAnswer.objects.create(
            sitting=begun, item=item.id, answer={"chosen": [chosen]}, version=1
        )
    store.hand_in(begun, actor=None, now=START)


@cache
def made_once() -> MadeForm:
    (made,) = make_forms(None, Wanted(n_items=48, n_drawn=48, seed=3))
    return made


@pytest.fixture
def drawn(owner: Account) -> ExamForm:
    return add_form(made_once(), FormFacts(name="Drawn", minutes=60), actor=owner, now=START)


@cache
def of_all_parts() -> MadeForm:
    """Return a form with items of every part, so that the practice is enough for a chance."""
    bank = read_bank(starter_bank_text(), "starter").value
    assert bank is not None
    single = [each for each in bank.items if isinstance(each, BestAnswer) and not each.case]
    items = [
        each
        for domain in sorted({item.domain for item in single})
        for each in [item for item in single if item.domain == domain][:5]
    ]
    text = dump_yaml(replace(bank, items=tuple(items), cases=()))
    return MadeForm(text, len(items), {}, ())


@pytest.fixture
def ready(case: Case, owner: Account, time_stands: Clock) -> Case:
    facts = FormFacts(name="All parts", minutes=60)
    form = add_form(of_all_parts(), facts, actor=owner, now=START)
    sit(form, case, 0.7, by=owner)
    sit(form, case_of("mehtap"), 0.5, by=owner)
    time_stands.pass_minutes(90)
    return case


@pytest.fixture
def practised(drawn: ExamForm, case: Case, owner: Account, time_stands: Clock) -> Case:
    sit(drawn, case, 0.8, by=owner)
    for name, share in (("mehtap", 0.5), ("kofi", 0.6)):
        sit(drawn, case_of(name), share, by=owner)
    time_stands.pass_minutes(90)
    return case


def test_a_member_sees_what_it_rests_on_before_there_is_enough(
    client_of: Opened, adviser: Account, case: Case
) -> None:
    shown = text(client_of(adviser).get(f"/cases/{case.pk}/readiness", ASKED))
    assert "Not one answer is there to tell anything by." in shown
    assert "0 questions answered for the first time" in shown
    assert "Week of" in shown


def test_a_member_sees_figures_and_a_plan_by_weeks(
    client_of: Opened, adviser: Account, practised: Case
) -> None:
    shown = text(client_of(adviser).get(f"/cases/{practised.pk}/readiness", ASKED))
    assert "48 questions answered for the first time" in shown
    assert "Score to expect with the plan" in shown
    assert "the share of right answers alone would say" in shown
    assert "Week of 30 Nov 2026" in shown


def of_halvenia() -> str:
    return next(one.key for one in examinations() if one.examination.id == "halvenian-dietetics")


def test_an_adviser_reads_whether_to_book_now_or_wait(
    client_of: Opened, adviser: Account, ready: Case, demo_rulebooks: tuple[StoredEdition, ...]
) -> None:
    assert demo_rulebooks
    asked = {**ASKED, "examination": of_halvenia()}
    address = f"/cases/{ready.pk}/readiness"
    shown = text(client_of(adviser).get(address, asked))
    assert "Book now or wait?" in shown
    assert "Next sitting, 6 Mar 2027, entry until 11 Dec 2026:" in shown
    assert "Fees on average: €" in shown
    assert "The authority decides" in shown
    assert "Nothing is advised while only fees are known" in shown
    weighed = text(client_of(adviser).get(address, {**asked, "day_costs": "500"}))
    assert "Book the next sitting: waiting costs more than it brings." in weighed
    assert "Nothing is advised" not in weighed


def test_an_applicant_reads_nothing_of_booking(
    client_of: Opened, applicant: Account, ready: Case, demo_rulebooks: tuple[StoredEdition, ...]
) -> None:
    assert demo_rulebooks
    Office.objects.update(shows_readiness=True)
    asked = {**ASKED, "examination": of_halvenia(), "day_costs": "500"}
    shown = text(client_of(applicant).get(f"/cases/{ready.pk}/readiness", asked))
    assert "Book now or wait?" not in shown
    assert "day_costs" not in shown


def with_result(case: Case, outcome: str) -> None:
    row = f"{{id: a, examination: halvenian-dietetics, taken: 2026-11-27, outcome: {outcome}}}"
    before, _, after = case.document.partition("  examinations:")
    rest = after.partition("\npreferences:")[2]
    case.document = f"{before}  examinations: [{row}]\npreferences:{rest}"
    case.save(update_fields=["document"])


def test_real_results_of_the_office_correct_the_chance(
    client_of: Opened,
    adviser: Account,
    practised: Case,
    demo_rulebooks: tuple[StoredEdition, ...],
    monkeypatch: pytest.MonkeyPatch,
    time_stands: Clock,
) -> None:
    assert demo_rulebooks
    monkeypatch.setattr(looking_back, "RESULTS_AT_LEAST", 3)
    monkeypatch.setattr(forecasts, "RESULTS_AT_LEAST", 3)
    time_stands.pass_minutes(5 * 24 * 60)
    asked = {**ASKED, "examination": of_halvenia()}
    address = f"/cases/{practised.pk}/readiness"
    people = [practised, *Case.objects.exclude(pk=practised.pk)]
    for case in people[:2]:
        with_result(case, "failed")
    page = client_of(adviser).get(address, asked)
    assert "real result" not in text(page)
    with_result(people[2], "failed")
    corrected = client_of(adviser).get(address, asked)
    assert "The chance is corrected by 3 real results" in text(corrected)
    assert corrected.context["ready"].now.low < page.context["ready"].now.low
    other = client_of(adviser).get(address, ASKED)
    assert "real result" not in text(other)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"on": "2020-01-01"}, "This day is over; choose one from today on."),
        ({"hours": "-1"}, "greater than or equal to 0"),
    ],
)
def test_what_cannot_be_asked_is_said(
    client_of: Opened, adviser: Account, case: Case, wrong: dict[str, str], said: str
) -> None:
    refused = client_of(adviser).get(f"/cases/{case.pk}/readiness", {**ASKED, **wrong})
    assert refused.status_code == 422
    assert said in text(refused)


def test_an_applicant_is_told_nothing_until_the_office_allows_it(
    client_of: Opened, applicant: Account, practised: Case
) -> None:
    shown = text(client_of(applicant).get(f"/cases/{practised.pk}/readiness", ASKED))
    assert "Talk to your adviser about how ready you are" in shown
    assert "Week of" not in shown


def test_an_applicant_reads_words_and_no_figures(
    client_of: Opened, applicant: Account, practised: Case
) -> None:
    Office.objects.update(shows_readiness=True)
    shown = text(client_of(applicant).get(f"/cases/{practised.pk}/readiness", ASKED))
    main = shown.split("<main")[1].split("</main>")[0]
    assert "%" not in main.replace("%}", "")
    assert "Week of" in main
    assert "not on the examination itself" in main or "not enough practice yet" in main


def test_little_practice_gives_an_applicant_no_words(
    client_of: Opened, applicant: Account, running: Sitting
) -> None:
    Office.objects.update(shows_readiness=True)
    shown = text(client_of(applicant).get(f"/cases/{running.case_id}/readiness"))
    assert "There is not enough practice yet to say anything about the examination." in shown


@pytest.mark.parametrize("who", ["outsider", None])
def test_nobody_else_sees_it(
    client_of: Opened, who: str | None, case: Case, request: pytest.FixtureRequest
) -> None:
    person = request.getfixturevalue(who) if who else None
    answer = client_of(person).get(f"/cases/{case.pk}/readiness")
    assert answer.status_code == (404 if who else 302)


def test_the_owner_switches_it_on_with_the_settings(client_of: Opened, owner: Account) -> None:
    client = client_of(owner)
    page = text(client.get("/office/change"))
    assert "Tell applicants how ready they are for an examination" in page
