from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.demo.caseload import demo_applicants
from comity.store import spans
from comity.store.cases import add_case, change_document
from comity.store.converters import applicant_of
from comity.store.models import Account, Case, Span
from comity.store.rulebooks import rulebooks_in_force, withdraw
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from comity.store.models import StoredEdition

pytestmark = pytest.mark.django_db

TODAY = day_from_date(date(2026, 11, 25))
DAYS = (TODAY - 300, TODAY, TODAY + 1, TODAY + 100, TODAY + 400, TODAY + 900)


@pytest.fixture
def caseload(editions: list[StoredEdition], owner: Account) -> list[Case]:
    assert editions
    return [add_case(each.text, actor=owner) for each in demo_applicants()]


def test_a_case_without_rulebooks_has_no_spans(case: Case) -> None:
    assert not case.spans.exists()
    assert not spans.out_of_date().exists()


def test_every_list_says_what_an_assessment_says(caseload: list[Case]) -> None:
    compared = 0
    for day in DAYS:
        verdicts = spans.verdicts_on(day, [case.pk for case in caseload])
        for rulebook in rulebooks_in_force():
            for title in rulebook.titles():
                key = rulebook.authority.id, title
                for case in caseload:
                    said = assess(applicant_of(case), rulebook, title=title, on=day, today=TODAY)
                    listed = verdicts.get(case.pk, {}).get(key, Verdict.NOT_MET)
                    assert listed == said.verdict, (case.reference, *key, day - TODAY)
                    compared += 1
    assert compared == len(DAYS) * len(caseload) * 6


@pytest.mark.parametrize("verdict", ["met", "unknown", "refer", "not met"])
def test_the_filter_finds_the_cases_with_a_verdict(caseload: list[Case], verdict: str) -> None:
    n_found = 0
    for rulebook in rulebooks_in_force():
        for title in rulebook.titles():
            found = spans.cases_where(rulebook.authority.id, title, verdict, TODAY)
            wanted = {
                case.reference
                for case in caseload
                if assess(applicant_of(case), rulebook, title=title, on=TODAY, today=TODAY).verdict
                == verdict
            }
            assert {case.reference for case in found} == wanted
            n_found += len(wanted)
    assert n_found > 0


def test_spans_follow_a_change_of_the_document(
    editions: list[StoredEdition], owner: Account
) -> None:
    case = add_case(file_of("hana"), actor=owner)
    assert case.spans.filter(sort="certain").exists()
    text = case.document.replace("{born: 1993-06-25, nationality: [XQ], residence: XH}", "{}")
    case = change_document(case, text, base_version=1, actor=owner)
    stored = {
        (span.authority, span.title, span.sort, span.start, span.until) for span in case.spans.all()
    }
    worked_out = spans.work_out(applicant_of(case)).spans
    assert stored == {
        (each.authority, each.title, sort, *run)
        for each in worked_out
        for sort in ("certain", "possible", "referred")
        for run in getattr(each, sort)
    }


def test_spans_are_out_of_date_once_an_edition_goes_and_are_refreshed(
    caseload: list[Case], editions: list[StoredEdition], owner: Account
) -> None:
    assert not spans.out_of_date().exists()
    gone = next(each for each in editions if each.authority.endswith(editions[-1].authority))
    withdraw(gone, actor=owner)
    assert spans.out_of_date().count() == len(caseload)
    told: list[tuple[int, int]] = []
    assert spans.refresh_all(lambda done, of: told.append((done, of))) == len(caseload)
    assert told == [(len(caseload), len(caseload))]
    assert not spans.out_of_date().exists()
    assert not Span.objects.filter(authority=gone.authority).exists()


def test_a_refreshed_case_rests_on_what_is_in_force(
    case: Case, editions: list[StoredEdition]
) -> None:
    assert editions
    assert case in spans.out_of_date()
    spans.refresh(case)
    assert case not in spans.out_of_date()
    assert case.spans.exists()
