from __future__ import annotations

import hashlib
from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import Day, day_from_date
from comity.core.eligibility.assess import assess
from comity.store import audit
from comity.store.cases import add_case, change_document
from comity.store.converters import applicant_of
from comity.store.given import basis_of, content_of, give, no_longer_holds, settle
from comity.store.keys import destroy
from comity.store.models import Account, AuditRecord, Case, Given
from comity.store.rulebooks import change_edition, rulebooks_in_force, withdraw
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from comity.store.models import StoredEdition

pytestmark = pytest.mark.django_db

TODAY = day_from_date(date(2026, 11, 25))


def today_at(_zone: str | None) -> Day:
    return TODAY


@pytest.fixture
def case(editions: list[StoredEdition], owner: Account) -> Case:
    assert editions
    return add_case(file_of("hana"), actor=owner)


def brief(case: Case, owner: Account, recipient: str = "Hana") -> Given:
    rulebook = next(each for each in rulebooks_in_force() if each.authority.id == "xb-register")
    assessments = [
        assess(applicant_of(case), rulebook, title=title, on=TODAY, today=TODAY)
        for title in rulebook.titles()
    ]
    return give(
        case,
        sort="brief",
        content=b"%PDF-1.7 a brief",
        media_type="application/pdf",
        recipient=recipient,
        assessments=assessments,
        actor=owner,
    )


def test_what_was_given_is_kept_as_given_and_sealed(case: Case, owner: Account) -> None:
    given = brief(case, owner)
    assert content_of(given) == b"%PDF-1.7 a brief"
    assert given.sha256 == hashlib.sha256(b"%PDF-1.7 a brief").hexdigest()
    assert b"PDF" not in bytes(given.content)
    assert b"Hana" not in bytes(given.basis)


def test_it_rests_on_the_document_the_editions_and_the_answers(case: Case, owner: Account) -> None:
    basis = basis_of(brief(case, owner))
    assert basis is not None
    assert basis.document == case.document
    assert {authority for authority, _edition, _digest in basis.editions} == {
        "xa-council",
        "xb-register",
        "xc-board",
    }
    assert {answer.authority for answer in basis.answers} == {"xb-register"}
    record = AuditRecord.objects.latest("sequence")
    assert record.action == "given/brief"
    assert (audit.detail_of(record) or {})["recipient"] == "Hana"


def test_while_nothing_changes_everything_said_holds(case: Case, owner: Account) -> None:
    brief(case, owner)
    assert no_longer_holds(None, rulebooks_in_force(), today_at) == ()


def test_a_changed_fact_lists_what_no_longer_holds(case: Case, owner: Account) -> None:
    given = brief(case, owner)
    text = case.document.replace("completed: 2016-02-19", "completed: 2026-02-19")
    case = change_document(case, text, base_version=1, actor=owner)
    found = no_longer_holds(case, rulebooks_in_force(), today_at)
    assert found
    for each in found:
        assert each.given == given
        assert each.because == ("facts",)
        assert each.now is not None
        assert (each.said.verdict, each.said.windows) != (each.now.verdict, each.now.windows)


def test_a_change_that_moves_no_answer_lists_nothing(case: Case, owner: Account) -> None:
    brief(case, owner)
    change_document(case, case.document + "# called today\n", base_version=1, actor=owner)
    assert no_longer_holds(None, rulebooks_in_force(), today_at) == ()


def test_a_title_that_no_edition_has_any_more_is_listed_with_no_answer_now(
    case: Case, owner: Account, editions: list[StoredEdition]
) -> None:
    brief(case, owner)
    withdraw(next(each for each in editions if each.authority == "xb-register"), actor=owner)
    found = no_longer_holds(case, rulebooks_in_force(), today_at)
    assert {(each.now, each.because) for each in found} == {(None, ("rulebook",))}


def test_a_changed_edition_is_named_as_the_cause(
    case: Case, owner: Account, editions: list[StoredEdition]
) -> None:
    brief(case, owner)
    edition = next(each for each in editions if each.authority == "xb-register")
    text = edition.text.replace("from: 2026-01-15", "from: 2027-01-15")
    assert text != edition.text
    change_edition(edition, text, base_version=edition.version, actor=owner)
    found = no_longer_holds(case, rulebooks_in_force(), today_at)
    assert {each.because for each in found} == {("rulebook",)}


def test_what_was_settled_is_listed_no_more(case: Case, owner: Account) -> None:
    given = brief(case, owner)
    text = case.document.replace("completed: 2016-02-19", "completed: 2026-02-19")
    change_document(case, text, base_version=1, actor=owner)
    settle(given, actor=owner)
    assert no_longer_holds(None, rulebooks_in_force(), today_at) == ()


def test_a_newer_brief_settles_the_older_one_of_the_same_person(case: Case, owner: Account) -> None:
    older, other = brief(case, owner), brief(case, owner, recipient="her employer")
    newer = brief(case, owner)
    rows = {given.pk: given.settled_at for given in Given.objects.all()}
    assert rows[older.pk] is not None
    assert rows[other.pk] is None
    assert rows[newer.pk] is None


def test_of_an_erased_case_nothing_can_be_read(case: Case, owner: Account) -> None:
    given = brief(case, owner)
    destroy(case.pk)
    assert content_of(given) is None
    assert basis_of(given) is None
