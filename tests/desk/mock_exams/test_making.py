"""The tutor's pages: banks and models written, forms made and given, marks, classes, figures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from comity.desk.mock_exams.texts import BLANK_BANK, BLANK_MODEL
from comity.store import sittings as store
from comity.store.audit import name_of
from comity.store.item_banks import add_bank
from comity.store.mock_exams import content_of
from comity.store.models import (
    AuditRecord,
    BankVersion,
    Cohort,
    ExamForm,
    GivenAnswer,
    ItemBank,
    Sitting,
    StoredItemModel,
)
from tests.desk.mock_exams.conftest import BANK

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account, Case, StoredEdition
    from tests.desk.mock_exams.conftest import Clock

    Opened = Callable[[Account | None], Client]

HTMX = {"HX-Request": "true"}
DRAWN = {
    "name": "Drawn form",
    "n_items": "3",
    "n_drawn": "3",
    "n_forms": "1",
    "examination": "",
    "minutes": "",
    "to_pass": "",
    "bank": "",
}


@pytest.fixture
def client(client_of: Opened, adviser: Account) -> Client:
    return client_of(adviser)


def text(answer: Any) -> str:  # noqa: ANN401 - what the client gives has no public type
    return " ".join(answer.content.decode().split())


def test_an_empty_office_is_told_how_to_begin(client: Client) -> None:
    assert "No forms yet" in text(client.get("/exams"))


# ------------------------------------------------------------------------------ banks, models


def test_a_bank_is_written_checked_and_kept(client: Client, adviser: Account) -> None:
    assert "bank: my-items" in text(client.get("/exams/banks/new"))
    kept = client.post("/exams/banks/new", {"text": BLANK_BANK.replace("\n", "\r\n")}, follow=True)
    assert "Which measure falls first when iron stores run out?" in text(kept)
    stored = ItemBank.objects.get()
    assert (stored.bank, stored.text, stored.changed_by) == ("my-items", BLANK_BANK, adviser)
    again = client.post("/exams/banks/new", {"text": BLANK_BANK})
    assert again.status_code == 422
    assert "has a bank with the id my-items already" in text(again)


def test_faults_of_a_bank_stand_at_their_lines_and_nothing_is_kept(client: Client) -> None:
    broken = BLANK_BANK.replace("answer: a", "answer: q")
    refused = client.post("/exams/banks/new", {"text": broken})
    assert refused.status_code == 422
    assert "the key must be one of the options" in text(refused)
    assert "Go to line 14" in text(refused)
    assert not ItemBank.objects.exists()


def test_warnings_are_shown_while_one_writes(client: Client) -> None:
    flawed = BLANK_BANK.replace("c: Haemoglobin", "c: All of the above")
    told = text(client.post("/exams/banks/check", {"text": flawed}, headers=HTMX))
    assert "all of the above" in told.casefold()
    assert "Nothing to mend," in told


def test_a_file_is_read_into_the_editor_and_not_kept_yet(client: Client) -> None:
    file = SimpleUploadedFile("bank.yaml", BANK.encode())
    read = client.post("/exams/banks/new", {"file": file})
    assert "Read, not kept yet" in text(read)
    assert "bank: every-kind" in text(read)
    assert not ItemBank.objects.exists()
    wrong = SimpleUploadedFile("bank.yaml", b"\xff\xfe\x00")
    assert "This is no text in UTF-8" in text(client.post("/exams/banks/new", {"file": wrong}))


def test_a_bank_is_narrowed_and_its_items_are_read(client: Client, bank: ItemBank) -> None:
    address = f"/exams/banks/{bank.pk}"
    assert "4 items of 4" in text(client.get(address))
    found = text(client.get(address, {"domain": "assessment", "level": "apply", "q": "ENERGY"}))
    assert "1 item of 4" in found
    item = text(client.get(f"{address}/items/zinc-number"))
    for said in ("1450 kcal/d (± 10)", "secret-error-four", "Not for patient care.", "High risk:"):
        assert said in item
    assert client.get(f"{address}/items/no-such").status_code == 404


def test_a_bank_goes_out_as_it_was_written(client: Client, bank: ItemBank) -> None:
    file = client.get(f"/exams/banks/{bank.pk}/file")
    assert file.content.decode() == BANK
    assert "every-kind.yaml" in file.headers["Content-Disposition"]


def test_a_bank_is_changed_and_its_text_before_is_kept(client: Client, bank: ItemBank) -> None:
    address = f"/exams/banks/{bank.pk}/edit"
    changed = BANK.replace("Option red", "Option crimson")
    client.post(address, {"text": changed, "base_version": 1})
    bank.refresh_from_db()
    assert (bank.text, bank.version) == (changed, 2)
    assert BankVersion.objects.get().text == BANK
    stale = client.post(address, {"text": BANK, "base_version": 1})
    assert stale.status_code == 409
    assert "Option crimson" in text(stale)
    broken = client.post(address, {"text": "bank: [", "base_version": 2})
    assert "mend what is found first" in text(broken)
    other = client.post(address, {"text": BLANK_BANK, "base_version": 2})
    assert "import my-items as a bank of its own" in text(other)
    assert ItemBank.objects.get().text == changed


def test_a_model_is_written_with_an_item_it_draws_beside_it(client: Client) -> None:
    shown = text(client.get("/exams/models/new"))
    assert "An item it draws" in shown
    assert "What is the body-mass index?" in shown
    client.post("/exams/models/new", {"text": BLANK_MODEL})
    stored = StoredItemModel.objects.get()
    address = f"/exams/models/{stored.pk}"
    assert "my-body-mass-index" in text(client.get(address))
    changed = BLANK_MODEL.replace("to: 95", "to: 90")
    client.post(address, {"text": changed, "base_version": 1})
    assert StoredItemModel.objects.get().text == changed
    assert client.post(address, {"text": BLANK_MODEL, "base_version": 1}).status_code == 409
    broken = changed.replace("height / 100", "height / centuries")
    told = client.post("/exams/models/check", {"text": broken}, headers=HTMX)
    assert "centuries" in text(told)


# -------------------------------------------------------------------------------------- forms


def test_a_form_is_drawn_from_models_where_there_is_no_bank(client: Client) -> None:
    made = client.post("/exams/forms/new", DRAWN, follow=True)
    assert "Drawn form" in text(made)
    form = ExamForm.objects.get()
    assert (form.n_items, form.minutes) == (3, 5)
    assert all("Not for patient care" in said[0] for said in form.cautions.values())


def test_own_models_are_drawn_from_first(client: Client) -> None:
    client.post("/exams/models/new", {"text": BLANK_MODEL})
    client.post("/exams/forms/new", {**DRAWN, "n_items": "1", "n_drawn": "1"})
    (item,) = content_of(ExamForm.objects.get()).items
    assert item.generated is not None
    assert item.generated.model == "my-body-mass-index"


def test_parallel_forms_share_no_item_and_take_time_from_the_examination(
    client: Client, bank: ItemBank, demo_rulebooks: tuple[StoredEdition, ...]
) -> None:
    assert demo_rulebooks
    page = text(client.get("/exams/forms/new"))
    assert "Halvenian Dietetics Examination" in page
    key = page.split('<option value="', 1)[1]
    key = next(part.split('"')[0] for part in page.split('<option value="') if "Halvenian" in part)
    asked = {
        **DRAWN,
        "bank": str(bank.pk),
        "n_items": "3",
        "n_drawn": "1",
        "n_forms": "2",
        "fills_up": "on",
        "examination": key,
    }
    client.post("/exams/forms/new", asked)
    forms = list(ExamForm.objects.order_by("name"))
    assert [(each.name, each.minutes, each.to_pass) for each in forms] == [
        ("Drawn form A", 4, "62 %"),
        ("Drawn form B", 4, "62 %"),
    ]
    one, other = ({item.id for item in content_of(each).items} for each in forms)
    assert not one & other


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"n_items": "2"}, "No more can be drawn than the form has questions."),
        ({"n_drawn": "1"}, "Choose a bank, or let all questions be drawn."),
        ({"to_pass": "most"}, "share"),
        ({"n_forms": "99"}, "Ensure this value is less than or equal to 8."),
    ],
)
def test_what_makes_no_form_is_said(client: Client, wrong: dict[str, str], said: str) -> None:
    refused = client.post("/exams/forms/new", {**DRAWN, **wrong})
    assert refused.status_code == 422
    assert said in text(refused)
    assert not ExamForm.objects.exists()


def test_too_few_items_are_said(client: Client, bank: ItemBank) -> None:
    asked = {**DRAWN, "bank": str(bank.pk), "n_items": "9", "n_drawn": "0"}
    refused = text(client.post("/exams/forms/new", asked))
    assert "The shares of the parts cannot be kept:" in refused
    assert "of intervention" in refused
    asked["fills_up"] = "on"
    assert "The bank has 4 items that may be used, and 9 are needed" in text(
        client.post("/exams/forms/new", asked)
    )


def test_a_form_is_given_once_to_each_of_a_class(
    client: Client, form: ExamForm, case: Case
) -> None:
    client.post("/exams/classes/new", {"name": "Autumn", "case": [str(case.pk), "nonsense"]})
    cohort = Cohort.objects.get()
    give = {"cohort": str(cohort.pk), "mode": "exam", "extra_percent": "25", "shows_keys": "on"}
    given = client.post(f"/exams/forms/{form.pk}/give", give, follow=True)
    assert "Given to 1 applicant." in text(given)
    assert "25 % more time" in text(given)
    again = client.post(f"/exams/forms/{form.pk}/give", give, follow=True)
    assert "1 has it open already." in text(again)
    assert Sitting.objects.count() == 1
    shown = text(client.get(f"/exams/classes/{cohort.pk}"))
    assert "First form" in shown
    assert "not begun" in shown
    record = AuditRecord.objects.get(action="exam/form given")
    assert record.case_id == case.pk
    assert "Gave a mock examination" in text(client.get(f"/cases/{case.pk}/history"))


def test_a_form_is_given_to_one_by_name_and_taken_back(
    client: Client, form: ExamForm, case: Case
) -> None:
    give = {"applicant": case.name.upper(), "mode": "practice", "extra_percent": "0"}
    client.post(f"/exams/forms/{form.pk}/give", give)
    sitting = Sitting.objects.get()
    assert (sitting.case, sitting.mode, sitting.shows_keys) == (case, "practice", False)
    client.post(f"/exams/sittings/{sitting.pk}/take-back")
    assert not Sitting.objects.exists()


def test_a_withdrawn_form_is_given_to_nobody_and_who_has_it_keeps_it(
    client: Client, sitting: Sitting, case: Case, adviser: Account
) -> None:
    address = f"/exams/forms/{sitting.form_id}"
    assert client.get(f"{address}/withdraw").status_code == 405
    told = text(client.post(f"{address}/withdraw", follow=True))
    assert "The form is withdrawn." in told
    assert f'action="{address}/give"' not in told
    give = {"applicant": case.reference, "mode": "practice", "extra_percent": "0"}
    refused = client.post(f"{address}/give", give)
    assert refused.status_code == 422
    assert Sitting.objects.get() == sitting
    client.post(f"{address}/withdraw")
    (record,) = (one for one in AuditRecord.objects.all() if one.action == "exam/form withdrawn")
    assert record.actor == name_of(adviser)
    assert "1 withdrawn form" in text(client.get("/exams"))


@pytest.mark.parametrize("who", ["applicant", "outsider"])
def test_nobody_but_a_member_withdraws_a_form(
    client_of: Opened, who: str, form: ExamForm, request: pytest.FixtureRequest
) -> None:
    client = client_of(request.getfixturevalue(who))
    assert client.post(f"/exams/forms/{form.pk}/withdraw").status_code == 404
    form.refresh_from_db()
    assert form.withdrawn_at is None


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"applicant": ""}, "Choose a class or name an applicant."),
        ({"applicant": "nobody at all"}, "No one applicant has this reference or name."),
        ({"extra_percent": "900"}, "Ensure this value is less than or equal to 300."),
    ],
)
def test_a_form_is_not_given_to_nobody(
    client: Client, form: ExamForm, case: Case, wrong: dict[str, str], said: str
) -> None:
    give = {"applicant": case.reference, "mode": "exam", "extra_percent": "0", **wrong}
    refused = client.post(f"/exams/forms/{form.pk}/give", give)
    assert refused.status_code == 422
    assert said in text(refused)


# ---------------------------------------------------------------------- marks, classes, figures


def test_a_mark_is_changed_with_its_reason_after_the_end(
    client: Client, running: Sitting, applicant: Account, time_stands: Clock
) -> None:
    address = f"/exams/sittings/{running.pk}"
    assert "0 of 4 answered so far" in text(client.get(address))
    change = {"mark": "1", "reason": "two options were right"}
    early = client.post(f"{address}/1/mark", change)
    assert "after the sitting has ended" in text(early)
    store.hand_in(running, actor=applicant, now=time_stands.now)
    assert "Why" in text(client.post(f"{address}/1/mark", {"mark": "1", "reason": ""}))
    client.post(f"{address}/1/mark", change)
    assert GivenAnswer.objects.get().mark == 1
    assert "1 of 4 right" in text(client.get(address))
    assert "was changed by your office" in text(client.get(address))
    assert AuditRecord.objects.filter(action="exam/mark changed").count() == 1


def test_a_class_is_changed_and_its_name_is_its_own(
    client: Client, case: Case, adviser: Account
) -> None:
    client.post("/exams/classes/new", {"name": "Autumn", "case": str(case.pk)})
    client.post("/exams/classes/new", {"name": "Spring"})
    autumn = Cohort.objects.get(name="Autumn")
    assert "checked" in text(client.get(f"/exams/classes/{autumn.pk}/edit"))
    client.post(f"/exams/classes/{autumn.pk}/edit", {"name": "Winter"})
    autumn.refresh_from_db()
    assert (autumn.name, autumn.places.count()) == ("Winter", 0)
    taken = client.post(f"/exams/classes/{autumn.pk}/edit", {"name": "Spring"})
    assert "there is a class with the name Spring already" in text(taken)
    assert adviser.is_member


def test_figures_are_plain_shares_with_few_people(
    client: Client, running: Sitting, answered: Callable[..., None], time_stands: Clock
) -> None:
    assert (
        "nobody has sat it to the end yet"
        in text(client.get(f"/exams/forms/{running.form_id}/figures")).casefold()
    )
    answered(1, "b")
    answered(2, "b")
    time_stands.pass_minutes(20)
    shown = text(client.get(f"/exams/forms/{running.form_id}/figures"))
    assert "1 person sat it to the end." in shown
    assert "Question 1: 100% of 1 were right" in shown
    assert "each needs 100 answers" in shown
    assert "Option red" in shown
    cohort = Cohort.objects.create(name="Empty")
    cohort.places.create(case=running.case)
    assert "1 of 4 right" in text(client.get(f"/exams/classes/{cohort.pk}"))
    narrowed = client.get(f"/exams/forms/{running.form_id}/figures", {"class": str(cohort.pk)})
    assert "1 person sat it" in text(narrowed)


@pytest.mark.parametrize("who", ["applicant", "outsider"])
def test_no_page_of_the_tutor_is_there_for_applicants(
    client_of: Opened,
    who: str,
    form: ExamForm,
    bank: ItemBank,
    request: pytest.FixtureRequest,
) -> None:
    client = client_of(request.getfixturevalue(who))
    for address in (
        "/exams",
        f"/exams/forms/{form.pk}",
        f"/exams/forms/{form.pk}/figures",
        f"/exams/banks/{bank.pk}",
        f"/exams/banks/{bank.pk}/items/zinc-best",
        f"/exams/banks/{bank.pk}/file",
        f"/exams/banks/{bank.pk}/package",
        "/exams/classes/new",
    ):
        assert client.get(address).status_code == 404


def test_the_starter_bank_is_taken_once(client: Client) -> None:
    first = client.post("/exams/banks/starter", follow=True)
    assert "The starter bank is here." in text(first)
    assert "already" in text(client.post("/exams/banks/starter", follow=True))
    assert ItemBank.objects.get().bank == "starter-dietetics"


def test_members_are_led_from_the_applicants_list_to_their_own(client: Client) -> None:
    assert client.get("/sittings").headers["Location"] == "/exams"


def test_an_owner_has_the_same_pages(client_of: Opened, owner: Account) -> None:
    add_bank(BANK, actor=owner)
    assert "One of each kind" in text(client_of(owner).get("/exams"))
