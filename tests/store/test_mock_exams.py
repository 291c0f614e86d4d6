"""Banks, forms, classes and sittings as they are kept, and what becomes of them with a case."""

from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from comity.bank.resources import texts_in
from comity.core.days.calendar import day_from_date
from comity.core.exam.scoring import Answer
from comity.service.mock_forms import MadeForm
from comity.store import audit
from comity.store.backup import backup
from comity.store.cases import add_case
from comity.store.erasing import erase
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.exporting import export
from comity.store.item_banks import add_bank, add_model, change_bank, change_model
from comity.store.mock_exams import FormFacts, Terms, add_cohort, add_form, give_form
from comity.store.models import (
    AuditRecord,
    BankVersion,
    Cohort,
    CohortPlace,
    ExamForm,
    GivenAnswer,
    ItemBank,
    Office,
    Sitting,
    StoredItemModel,
    Tombstone,
)
from comity.store.restoring import restore
from comity.store.retention import apply
from comity.store.sittings import (
    NotBegunError,
    OverError,
    answer_in,
    answers_of,
    begin,
    change_mark,
    hand_in,
    save_answer,
    set_flag,
    settle,
    take_back,
)
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from pathlib import Path

    from comity.store.models import Account, Case

pytestmark = pytest.mark.django_db
NINE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
BANK = """\
bank: small
items:
  - id: only
    domain: assessment
    level: recall
    stem: Which one is it?
    options: {a: One thing, b: Another thing, c: A third thing}
    answer: b
    source: a guideline, 2020
"""
MODEL = texts_in("models")["bmi.yaml"]


def after(minutes: float) -> datetime:
    return NINE + timedelta(minutes=minutes)


@pytest.fixture
def form(owner: Account) -> ExamForm:
    bank = add_bank(BANK, actor=owner)
    facts = FormFacts(name="Small form", minutes=10, bank=bank)
    return add_form(MadeForm(BANK, 1, {}, ()), facts, actor=owner, now=NINE)


@pytest.fixture
def sitting(form: ExamForm, case: Case, owner: Account) -> Sitting:
    add_cohort("Autumn", [case], actor=owner)
    (given,) = give_form(form, [case], actor=owner, now=NINE)
    return given


@pytest.fixture
def answered(sitting: Sitting, owner: Account) -> Sitting:
    begun = begin(sitting, actor=owner, now=NINE)
    save_answer(begun, "only", Answer(("b",)), base_version=0, now=after(1))
    return begun


def test_an_answer_is_kept_changed_and_read_back(answered: Sitting) -> None:
    row = save_answer(answered, "only", Answer(("c",)), base_version=1, now=after(2))
    assert (row.version, answer_in(row)) == (2, Answer(("c",)))
    with pytest.raises(StaleError):
        save_answer(answered, "only", Answer(("a",)), base_version=1, now=after(3))
    assert save_answer(answered, "only", Answer(("c",)), base_version=0, now=after(3)).version == 2
    assert answer_in(answers_of(answered)["only"]) == Answer(("c",))
    assert answer_in(None).is_blank


@pytest.mark.parametrize(
    "given", [Answer(number="1450"), Answer(matched=(("one", "y"), ("two", "x"))), Answer()]
)
def test_answers_of_every_kind_survive_being_kept(answered: Sitting, given: Answer) -> None:
    save_answer(answered, "other", given, base_version=0, now=after(1))
    assert answer_in(answers_of(answered)["other"]) == given


def test_nothing_is_taken_before_the_beginning_or_after_the_end(
    sitting: Sitting, owner: Account
) -> None:
    with pytest.raises(NotBegunError, match="begin the sitting first"):
        set_flag(sitting, "only", is_flagged=True, now=NINE)
    begin(sitting, actor=owner, now=NINE)
    set_flag(sitting, "only", is_flagged=True, now=after(9.9))
    for late in (after(10), after(600)):
        with pytest.raises(OverError, match="came after the end is not counted"):
            save_answer(sitting, "only", Answer(("b",)), base_version=0, now=late)
    assert GivenAnswer.objects.get().version == 0


def test_the_end_is_written_into_the_trail_once(answered: Sitting, owner: Account) -> None:
    assert settle(answered, now=after(5)).settled_at is None
    for _look in range(2):
        assert settle(answered, now=after(50)).settled_at == after(10)
    assert hand_in(answered, actor=owner, now=after(60)).handed_in_at is None
    ended = AuditRecord.objects.filter(action__in=["exam/time was up", "exam/handed in"])
    assert [each.action for each in ended] == ["exam/time was up"]
    assert (audit.detail_of(ended[0]) or {})["answers"] == {"only": {"chosen": ["b"]}}


def test_a_mark_is_changed_and_taken_back_with_reasons(answered: Sitting, owner: Account) -> None:
    hand_in(answered, actor=owner, now=after(5))
    for mark, reason, said in ((2, "x", "a mark is 0 or 1, got 2"), (1, " ", "say why")):
        with pytest.raises(StoreError, match=said):
            change_mark(answered, "only", mark=mark, reason=reason, actor=owner)
    assert change_mark(answered, "only", mark=0, reason="copied", actor=owner).mark == 0
    row = change_mark(answered, "only", mark=None, reason="it was not", actor=owner)
    assert (row.mark, row.mark_reason) == (None, "")


def test_what_has_begun_is_not_taken_back(answered: Sitting, owner: Account) -> None:
    with pytest.raises(StoreError, match="has begun by now"):
        take_back(answered, actor=owner)
    Sitting.objects.update(began_at=None)
    take_back(answered, actor=owner)
    with pytest.raises(StoreError, match="no longer there"):
        begin(answered, actor=owner, now=NINE)


def test_a_form_is_given_once_while_it_is_open(
    sitting: Sitting, form: ExamForm, case: Case, owner: Account
) -> None:
    assert give_form(form, [case], actor=owner, now=NINE) == ()
    practice = Terms(mode=Sitting.Mode.PRACTICE)
    assert len(give_form(form, [case], actor=owner, now=NINE, terms=practice)) == 1
    begin(sitting, actor=owner, now=NINE)
    hand_in(sitting, actor=owner, now=after(3))
    assert len(give_form(form, [case], actor=owner, now=after(5))) == 1
    with pytest.raises(StoreError, match="extra time is 0 to 300 percent"):
        give_form(form, [case], actor=owner, now=NINE, terms=Terms(extra_percent=301))
    form.withdrawn_at = NINE
    with pytest.raises(StoreError, match="withdrawn"):
        give_form(form, [case], actor=owner, now=NINE)


def test_a_bank_keeps_its_texts_and_refuses_broken_ones(form: ExamForm, owner: Account) -> None:
    bank = ItemBank.objects.get()
    with pytest.raises(UnreadableError):
        change_bank(bank, BANK.replace("answer: b", "answer: q"), base_version=1, actor=owner)
    assert change_bank(bank, BANK, base_version=1, actor=owner).version == 1
    changed = change_bank(bank, BANK + "# more\n", base_version=1, actor=owner)
    assert (changed.version, BankVersion.objects.get().text) == (2, BANK)
    assert form.text == BANK


def test_a_model_has_to_draw_an_item(owner: Account) -> None:
    stored = add_model(MODEL, actor=owner)
    with pytest.raises(StoreError, match="has a model with the name bmi"):
        add_model(MODEL, actor=owner)
    with pytest.raises(UnreadableError):
        add_model(MODEL.replace("height / 100", "nothing / 100"), actor=owner)
    renamed = MODEL.replace("model: bmi", "model: other")
    with pytest.raises(StoreError, match="this is the model bmi"):
        change_model(stored, renamed, base_version=1, actor=owner)
    change_model(stored, MODEL.replace("to: 38", "to: 37"), base_version=1, actor=owner)
    with pytest.raises(StaleError):
        change_model(stored, MODEL, base_version=1, actor=owner)
    assert StoredItemModel.objects.get().version == 2


# --------------------------------------------------------------------- data protection, backup


def test_an_erased_case_takes_its_sittings_and_its_place_in_a_class(
    answered: Sitting, case: Case, owner: Account
) -> None:
    assert answered.began_at
    erase(case, reason="asked for by the person", actor=owner)
    assert not Sitting.objects.exists()
    assert not GivenAnswer.objects.exists()
    assert not CohortPlace.objects.exists()
    assert Cohort.objects.exists()
    records = AuditRecord.objects.filter(action="exam/form given")
    assert [audit.detail_of(each) for each in records] == [None]
    assert audit.verify().is_sound


def test_an_export_holds_what_was_sat_and_no_key(
    answered: Sitting, case: Case, owner: Account
) -> None:
    assert answered.began_at
    content = export(case, recipient="Hana", actor=owner, now=NINE)
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        sat = json.loads(file.read("sittings.json"))
    assert sat["classes"] == ["Autumn"]
    (one,) = sat["sittings"]
    assert (one["form"], one["answers"][0]["answer"]) == ("Small form", {"chosen": ["b"]})
    assert "answer: b" not in json.dumps(sat)


def test_sittings_go_when_their_time_is_over(answered: Sitting, owner: Account) -> None:
    assert answered.began_at
    Office.objects.create(pk=1, name="Fair Winds")
    today = day_from_date(NINE.date())
    assert apply(today + 1000, actor=owner) == {}
    assert apply(today + 1097, actor=owner) == {"sittings": 1}
    assert not GivenAnswer.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_everything_comes_back_from_a_backup(
    answered: Sitting, owner: Account, tmp_path: Path
) -> None:
    Office.objects.create(pk=1, name="Fair Winds")
    add_model(MODEL, actor=owner)
    other = add_case(file_of("kofi"), actor=owner)
    change_bank(ItemBank.objects.get(), BANK + "# more\n", base_version=1, actor=owner)
    kept = (ItemBank, BankVersion, StoredItemModel, ExamForm, Cohort, CohortPlace, Sitting)
    before = {model: list(model._default_manager.values()) for model in (*kept, GivenAnswer)}
    assert all(before.values())
    backup(tmp_path / "office.zip")
    erase(answered.case, reason="to see it gone", actor=owner)
    erase(other, reason="to see it gone", actor=owner)
    ItemBank.objects.all().delete()
    Tombstone.objects.all().delete()  # or they would be erased again
    restore(tmp_path / "office.zip", replace=True)
    assert {m: list(m._default_manager.values()) for m in before} == before
