"""A plan reckons with the chance of passing from practice as soon as that is enough."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from comity.desk.plans.chances import practised_chances, practised_key
from comity.desk.plans.made import CannotPlan, plan_of, titles_of
from comity.store.mock_exams import FormFacts, add_form
from tests.desk.conftest import case_of
from tests.desk.mock_exams.test_readiness import of_all_parts, sit
from tests.desk.plans.conftest import XA

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.service.plan_titles import OpenTitle
    from comity.service.planning import Plan
    from comity.store.models import Account, Case, StoredEdition

EXAM = "halvenian-dietetics"
SAT = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


@pytest.fixture
def title(case: Case, rules: tuple[StoredEdition, ...]) -> OpenTitle:
    assert rules
    return next(each for each in titles_of(case) if each.key == XA)


@pytest.fixture
def practised(case: Case, owner: Account) -> Case:
    form = add_form(of_all_parts(), FormFacts(name="All", minutes=60), actor=owner, now=SAT)
    sit(form, case, 0.9, by=owner)
    sit(form, case_of("mehtap"), 0.4, by=owner)
    return case


def planned(case: Case, title: OpenTitle) -> Plan:
    made = plan_of(case, title)
    assert not isinstance(made, CannotPlan)
    return made


def shown(client: Client, case: Case) -> str:
    return " ".join(client.get(f"/cases/{case.pk}/plan/shown?title={XA}").content.decode().split())


def test_without_practice_the_stated_share_stays_and_is_said(
    case: Case, title: OpenTitle, adviser: Account, client_of: Callable[[Account | None], Client]
) -> None:
    assert practised_key(case) == ()
    assert practised_chances(case, title) == {}
    page = shown(client_of(adviser), case)
    assert "70 of 100 cases; this is an assumption, not a forecast" in page
    assert "from practice" not in page


def test_enough_practice_gives_the_plan_its_chance_and_the_page_says_so(
    practised: Case,
    title: OpenTitle,
    adviser: Account,
    applicant: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    chances = practised_chances(practised, title)
    assert set(chances) == {EXAM}
    plan = planned(practised, title)
    steps = [each.sittings for each in plan.route.network.steps if each.sittings is not None]
    assert {each.p_pass for each in steps} == {chances[EXAM]}
    said = f"{round(100 * chances[EXAM])} of 100 cases; this is the chance of passing from practice"
    assert said in shown(client_of(adviser), practised)
    assert "of 100 cases" not in shown(client_of(applicant), practised)


def test_a_plan_is_worked_out_anew_when_somebody_has_practised(
    case: Case, title: OpenTitle, owner: Account
) -> None:
    before = planned(case, title)
    form = add_form(of_all_parts(), FormFacts(name="All", minutes=60), actor=owner, now=SAT)
    sit(form, case, 0.4, by=owner)
    after = planned(case, title)
    assert (before.wishes.from_practice, after.wishes.from_practice) == ((), (EXAM,))


def test_the_desk_starts_without_what_weighs_practice() -> None:
    code = (
        "import django, sys; django.setup(); import comity.desk.urls;"
        "assert 'scipy.stats' not in sys.modules, 'it is loaded'"
    )
    given = {**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings"}
    done = subprocess.run(
        [sys.executable, "-c", code], env=given, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
