"""The demo's class has sat a form, and its figures name the items that were planted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.exam.items import BestAnswer
from comity.desk import clock
from comity.desk.mock_exams.figures import sheets_of
from comity.service.mock_figures import figures_of
from comity.store.demo import fill_demo_office
from comity.store.demo_exams import FORM, N_ITEMS, N_PEOPLE
from comity.store.mock_exams import content_of
from comity.store.models import Case, Cohort, ExamForm, Office, Sitting

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.conf import LazySettings
    from django.test import Client

    from comity.store.models import Account


@pytest.fixture
def form(monkeypatch: pytest.MonkeyPatch, settings: LazySettings) -> ExamForm:
    monkeypatch.setenv("COMITY_DEMO", "1")
    Office.objects.all().delete()
    fill_demo_office(day_from_date(settings.DEMO_DAY))
    return ExamForm.objects.get(name=FORM)


def test_a_class_has_sat_a_form_and_its_planted_faults_are_named(form: ExamForm) -> None:
    assert form.n_items == N_ITEMS
    assert Cohort.objects.get().places.count() == N_PEOPLE + 1
    ended = form.sittings.exclude(settled_at=None).select_related("form", "case")
    assert ended.count() == N_PEOPLE
    bank = content_of(form)
    figures = figures_of(bank, sheets_of(ended))
    best = [item.id for item in bank.items if isinstance(item, BestAnswer)]
    found = {row.item.id: {each.suspicion for each in row.doubts} for row in figures.doubtful}
    assert "key" in found[best[0]]
    assert "harder than guessing" in found[best[-1]]


def test_two_sittings_wait_for_the_applicant_who_signs_in(form: ExamForm) -> None:
    waiting = Sitting.objects.filter(case__account__isnull=False, form=form)
    assert {(each.mode, each.began_at) for each in waiting} == {("exam", None), ("practice", None)}
    assert form.sittings.filter(given_at__gt=clock.now()).count() == 0


def test_the_applicant_who_signs_in_is_told_how_it_looks(
    form: ExamForm, client_of: Callable[[Account | None], Client]
) -> None:
    case = Case.objects.get(account__isnull=False)
    assert case.sittings.filter(form=form).exists()
    asked = {"on": "2027-01-20", "hours": "5", "examination": ""}
    shown = client_of(case.account).get(f"/cases/{case.pk}/readiness", asked).content.decode()
    assert "How it looks" in shown
    assert "This rests on your practice here, not on the examination itself." in shown
    assert "Week of" in shown
