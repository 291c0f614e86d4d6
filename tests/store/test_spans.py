from __future__ import annotations

from datetime import date
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import Day, day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.store import spans
from comity.store.cases import add_case, change_document
from comity.store.converters import applicant_of
from comity.store.models import Account, Case, Span
from comity.store.rulebooks import withdraw
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from comity.store.models import StoredEdition

pytestmark = pytest.mark.django_db

TODAY = day_from_date(date(2026, 11, 25))
DAYS = (TODAY, TODAY + 400)
NAMES = {"hana", "kofi", "soren", "baraka", "eunbi", "titilope"}


@pytest.fixture
def caseload(editions: list[StoredEdition], owner: Account) -> list[Case]:
    assert editions
    applicants = [each for each in demo_applicants() if each.file[11:-5] in NAMES]
    return [add_case(each.text, actor=owner) for each in applicants]


@lru_cache(maxsize=1)
def said() -> dict[tuple[str, str, str, Day], Verdict]:
    """Return what assessments say: by reference, authority, title and day."""
    rulebooks = demo_rulebooks().rulebooks
    return {
        (applicant.applicant, rulebook.authority.id, title, day): assess(
            applicant, rulebook, title=title, on=day, today=TODAY
        ).verdict
        for applicant in (each.applicant for each in demo_applicants())
        if applicant is not None and applicant.applicant in NAMES
        for rulebook in rulebooks
        for title in rulebook.titles()
        for day in DAYS
    }


def test_a_case_without_rulebooks_has_no_spans(case: Case) -> None:
    assert not case.spans.exists()
    assert not spans.out_of_date().exists()


def test_every_list_says_what_an_assessment_says(caseload: list[Case]) -> None:
    ids = {case.reference: case.pk for case in caseload}
    listed = {day: spans.verdicts_on(day, ids.values()) for day in DAYS}
    assert len(said()) == len(DAYS) * len(NAMES) * 6
    for (reference, authority, title, day), verdict in said().items():
        found = listed[day].get(ids[reference], {}).get((authority, title), Verdict.NOT_MET)
        assert found == verdict, (reference, authority, title, day - TODAY)


def test_filters_find_the_cases_with_a_verdict(caseload: list[Case]) -> None:
    assert len(caseload) == len(NAMES)
    asked = {key[1:] for key in said()}
    verdicts = set(said().values())
    assert verdicts == {Verdict.MET, Verdict.UNKNOWN, Verdict.REFER, Verdict.NOT_MET}
    for (authority, title, day), verdict in product(asked, verdicts):
        found = spans.cases_where(authority, title, verdict, day)
        wanted = {
            reference
            for (reference, *others), each in said().items()
            if tuple(others) == (authority, title, day) and each is verdict
        }
        assert {case.reference for case in found} == wanted, (authority, title, verdict)


@pytest.mark.parametrize("verdict", ["met", "unknown", "refer", "not met"])
def test_no_filter_goes_through_the_spans_once_for_each_case(verdict: str) -> None:
    """Ten thousand cases took three minutes that way, and 15 milliseconds take now."""
    plan = spans.cases_where("xb-register", "dietitian", verdict, TODAY).explain()
    assert "CORRELATED" not in plan.upper()
    assert "SPAN" in plan.upper()


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
