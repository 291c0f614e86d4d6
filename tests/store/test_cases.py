from __future__ import annotations

from datetime import date

import pytest

from comity.store import audit
from comity.store.cases import (
    StaleError,
    add_action,
    add_case,
    add_note,
    change_action,
    change_document,
    close_case,
    finish_action,
    reopen_action,
    reopen_case,
    set_adviser,
    set_legal_hold,
)
from comity.store.converters import applicant_of, loaded_of
from comity.store.errors import StoreError, UnreadableError
from comity.store.models import Account, AuditRecord, Case
from tests.store.conftest import file_of

pytestmark = pytest.mark.django_db


def actions_of(case: Case) -> list[str]:
    rows = AuditRecord.objects.filter(case_id=case.pk).order_by("sequence")
    return [row.action for row in rows]


def test_the_file_is_kept_as_it_was_written(case: Case) -> None:
    assert Case.objects.get(pk=case.pk).document == file_of("hana")
    assert applicant_of(case).name == "Hana Kwon-Lindqvist"
    assert loaded_of(case).is_sound


def test_id_and_name_can_be_searched(case: Case) -> None:
    assert Case.objects.get(reference="hana", name__icontains="kwon") == case


def test_a_file_with_a_fault_is_refused_with_its_problems(owner: Account) -> None:
    with pytest.raises(UnreadableError) as refused:
        add_case("applicant: hana\nfacts: {practise: []}\n", actor=owner)
    assert refused.value.problems
    assert not Case.objects.exists()
    assert not AuditRecord.objects.exists()


def test_two_applicants_cannot_share_an_id(case: Case, owner: Account) -> None:
    with pytest.raises(StoreError, match="the office has an applicant with the id hana; give"):
        add_case(file_of("hana"), actor=owner)
    assert Case.objects.get() == case


def test_a_change_raises_the_version_and_records_the_lines(case: Case, owner: Account) -> None:
    text = case.document.replace("end: 2022-12-30", "end: 2022-12-31")
    after = change_document(
        case, text, base_version=1, actor=owner, detail={"entry": "practice/centre"}
    )
    assert after.version == 2
    assert Case.objects.get(pk=case.pk).document == text
    detail = audit.detail_of(AuditRecord.objects.latest("sequence"))
    assert detail is not None
    assert detail["entry"] == "practice/centre"
    assert detail["lines"][1:] == ["-      end: 2022-12-30", "+      end: 2022-12-31"]


def test_a_change_of_an_older_version_is_refused_and_shows_what_stands_there(
    case: Case, owner: Account
) -> None:
    newer = change_document(case, case.document + "# one\n", base_version=1, actor=owner)
    with pytest.raises(StaleError) as refused:
        change_document(case, case.document + "# two\n", base_version=1, actor=owner)
    assert refused.value.current == newer
    assert isinstance(refused.value.current, Case)
    assert refused.value.current.document.endswith("# one\n")
    assert Case.objects.get(pk=case.pk).document.endswith("# one\n")


def test_saving_the_same_text_changes_and_records_nothing(case: Case, owner: Account) -> None:
    assert change_document(case, case.document, base_version=1, actor=owner).version == 1
    assert actions_of(case) == ["case/added"]


def test_a_change_cannot_take_another_applicants_id(case: Case, owner: Account) -> None:
    add_case(file_of("kofi"), actor=owner)
    text = case.document.replace("applicant: hana", "applicant: kofi")
    with pytest.raises(StoreError, match="id kofi"):
        change_document(case, text, base_version=1, actor=owner)
    assert Case.objects.get(pk=case.pk).reference == "hana"


def test_what_the_office_does_with_a_case_stands_in_its_history(
    case: Case, owner: Account, adviser: Account
) -> None:
    set_adviser(case, adviser, actor=owner)
    set_legal_hold(case, "a complaint is open", actor=owner)
    add_note(case, "prefers to be called in the evening", actor=adviser)
    close_case(case, actor=adviser)
    case = reopen_case(case, actor=adviser)
    assert case.adviser == adviser
    assert case.legal_hold == "a complaint is open"
    assert case.closed_at is None
    assert actions_of(case) == [
        "case/added",
        "case/adviser changed",
        "case/legal hold changed",
        "case/note added",
        "case/closed",
        "case/reopened",
    ]


def test_the_next_day_is_that_of_the_first_open_action(case: Case, owner: Account) -> None:
    late = add_action(case, "renew the passport", actor=owner, due=date(2027, 3, 1))
    soon = add_action(case, "ask the school", actor=owner, due=date(2026, 12, 1))
    assert Case.objects.get(pk=case.pk).next_day == date(2026, 12, 1)
    soon = finish_action(soon, actor=owner)
    assert Case.objects.get(pk=case.pk).next_day == date(2027, 3, 1)
    finish_action(late, actor=owner)
    assert Case.objects.get(pk=case.pk).next_day is None
    reopen_action(soon, actor=owner)
    assert Case.objects.get(pk=case.pk).next_day == date(2026, 12, 1)


def test_an_action_changed_by_somebody_else_is_not_overwritten(case: Case, owner: Account) -> None:
    action = add_action(case, "ask the school", actor=owner)
    change_action(action, base_version=1, actor=owner, text="write to the school")
    with pytest.raises(StaleError):
        change_action(action, base_version=1, actor=owner, text="call the school")
    action.refresh_from_db()
    assert action.text == "write to the school"


def test_an_action_done_twice_is_recorded_once(case: Case, owner: Account) -> None:
    action = add_action(case, "ask the school", actor=owner)
    done = finish_action(action, actor=owner)
    finish_action(done, actor=owner)
    assert actions_of(case).count("case/action done") == 1
