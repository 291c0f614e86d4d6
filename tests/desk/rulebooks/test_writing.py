"""The editor: live problems, worked cases, drafts with faults, two people at one text."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.desk.rulebooks.looking import checked
from comity.desk.rulebooks.texts import BLANK, with_name
from comity.store.audit import detail_of
from comity.store.models import AuditRecord, StoredEdition
from tests.desk.editions import demo_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Opened = Callable[[Account | None], Client]

EDIT = "/rulebooks/xa-council/2027/edit"


def text_of(edition: StoredEdition) -> str:
    """Return what stands in an edition now."""
    return StoredEdition.objects.get(pk=edition.pk).text


# ------------------------------------------------------------------------------------- checking


def test_the_blank_sheet_is_sound_and_its_worked_case_holds(db: None) -> None:
    del db
    found = checked(BLANK, runs_cases=True)
    assert [each.problem for each in found.problems if each.problem.severity == "error"] == []
    assert found.is_sound
    assert found.n_cases == 1


def test_a_problem_stands_at_its_line_and_column(db: None) -> None:
    del db
    text = BLANK.replace("least_level: 6", "least_level: six")
    found = checked(text, runs_cases=True)
    (each,) = [each for each in found.problems if each.problem.severity == "error"]
    line = text.splitlines()[each.number - 1]
    assert line[each.column - 1 :] == "six"
    assert each.line == "least_level: six"
    assert found.n_cases is None
    assert found.says == "1 thing to mend."


def test_a_worked_case_that_fails_is_a_problem_at_its_line(db: None) -> None:
    del db
    text = BLANK.replace("degree: met", "degree: not met")
    found = checked(text, runs_cases=True)
    (each,) = [each for each in found.problems if each.problem.severity == "error"]
    assert each.problem.code == "R150"
    assert text.splitlines()[each.number - 1].strip() == "degree: not met"
    assert found.says == "1 thing to mend; 1 worked case was run."


def test_as_one_writes_no_case_is_run(db: None) -> None:
    del db
    text = BLANK.replace("degree: met", "degree: not met")
    assert checked(text, runs_cases=False).is_sound


def test_a_text_that_says_nothing_has_its_problem(db: None) -> None:
    del db
    for text in ("", "rulebook: [", "just words"):
        found = checked(text, runs_cases=True)
        assert found.n_errors, text
        assert not found.is_sound


def test_an_edition_is_checked_beside_those_in_force(old: StoredEdition) -> None:
    overlapping = demo_text("XA", "2027").replace("from: 2027-02-01", "from: 2026-02-01", 1)
    assert checked(overlapping, runs_cases=False).problems != ()
    StoredEdition.objects.filter(pk=old.pk).update(state="withdrawn")
    alone = checked(overlapping, runs_cases=False)
    assert [each.problem.code for each in alone.problems] != [
        each.problem.code
        for each in checked(demo_text("XA", "2025") + "x", runs_cases=False).problems
    ]


def test_live_problems_come_back_as_a_part_of_the_page(owner: Account, client_of: Opened) -> None:
    text = BLANK.replace("least_level: 6", "least_level: six")
    response = client_of(owner).post("/rulebooks/check", {"text": text})
    part = response.content.decode()
    assert response.status_code == 200
    assert "<html" not in part
    number = text.splitlines().index("        least_level: six") + 1
    assert f'data-line="{number}"' in part
    assert "1 thing to mend." in part


def test_text_that_looks_like_markup_stays_text(owner: Account, client_of: Opened) -> None:
    text = BLANK.replace("least_level: 6", "least_level: <script>alert(1)</script>")
    part = client_of(owner).post("/rulebooks/check", {"text": text}).content.decode()
    assert "<script>alert" not in part
    assert "&lt;script&gt;alert" in part


# --------------------------------------------------------------------------------------- saving


def test_a_draft_is_kept_with_its_faults(
    new: StoredEdition, adviser: Account, client_of: Opened
) -> None:
    text = new.text.replace("wholly_read: yes", "wholly_read: perhaps", 1)
    filled = {"text": text.replace("\n", "\r\n"), "base_version": "1", "save": "1"}
    response = client_of(adviser).post(EDIT, filled)
    assert response.status_code == 302
    assert text_of(new) == text
    record = AuditRecord.objects.order_by("-sequence")[0]
    assert (record.action, record.actor) == ("rulebook/edition changed", f"account/{adviser.pk}")
    page = client_of(adviser).get(EDIT).content.decode()
    assert "1 thing to mend." in page


def test_checking_without_a_script_saves_nothing(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    filled = {"text": "rulebook: [", "base_version": "1", "check": "1"}
    page = client_of(owner).post(EDIT, filled).content.decode()
    assert "to mend" in page
    assert text_of(new) == new.text


def test_of_two_who_write_the_second_sees_what_the_first_saved(
    new: StoredEdition, owner: Account, adviser: Account, client_of: Opened
) -> None:
    mine, theirs = f"{new.text}# mine\n", f"{new.text}# theirs\n"
    client_of(adviser).post(EDIT, {"text": theirs, "base_version": "1"})
    client = client_of(owner)
    response = client.post(EDIT, {"text": mine, "base_version": "1"})
    page = response.content.decode()
    assert response.status_code == 409
    assert "Somebody else saved this edition while you were writing." in page
    assert "# theirs" in page
    assert "# mine" in page
    assert text_of(new) == theirs
    again = client.post(EDIT, {"text": mine, "base_version": "2"})
    assert again.status_code == 302
    assert text_of(new) == mine


def test_an_edition_in_force_never_gets_a_fault(
    old: StoredEdition, owner: Account, client_of: Opened
) -> None:
    address = "/rulebooks/xa-council/2025/edit"
    text = old.text.replace("wholly_read: yes", "wholly_read: perhaps", 1)
    response = client_of(owner).post(address, {"text": text, "base_version": "1"})
    assert response.status_code == 422
    assert "an edition in force has to stay without faults" in response.content.decode()
    assert text_of(old) == old.text


def test_a_text_of_another_edition_is_refused(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    text = new.text.replace("rulebook: 2027", "rulebook: 2028", 1)
    response = client_of(owner).post(EDIT, {"text": text, "base_version": "1"})
    assert response.status_code == 422
    assert "add it as a new edition instead" in response.content.decode()


# ------------------------------------------------------------------------------------------ new


def test_a_new_rulebook_begins_as_a_draft(owner: Account, client_of: Opened) -> None:
    client = client_of(owner)
    assert "The Authority" in client.get("/rulebooks/new").content.decode()
    response = client.post("/rulebooks/new", {"text": BLANK, "save": "1"})
    assert response["Location"] == "/rulebooks/the-authority/first/edit"
    assert StoredEdition.objects.get().state == "draft"


@pytest.mark.parametrize("text", ["", "rulebook: ["])
def test_a_text_that_does_not_say_whose_it_is_is_not_kept(
    text: str, owner: Account, client_of: Opened
) -> None:
    response = client_of(owner).post("/rulebooks/new", {"text": text, "save": "1"})
    assert response.status_code == 422
    assert "does not say whose rulebook it is" in response.content.decode()
    assert not StoredEdition.objects.exists()


def test_the_same_edition_is_not_begun_twice(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    response = client_of(owner).post("/rulebooks/new", {"text": new.text, "save": "1"})
    assert response.status_code == 422
    assert "has the edition 2027 of xa-council already" in response.content.decode()


def test_a_new_edition_begins_with_the_text_of_the_old_one(
    old: StoredEdition, adviser: Account, client_of: Opened
) -> None:
    address = "/rulebooks/xa-council/2025/new-from"
    filled = {"name": "2028", "first_day": "2028-01-01"}
    response = client_of(adviser).post(address, filled)
    assert response["Location"] == "/rulebooks/xa-council/2028/edit"
    added = StoredEdition.objects.get(edition="2028")
    assert added.state == "draft"
    before, after = old.text.splitlines(), added.text.splitlines()
    assert [line for line in after if line not in before] == [
        "rulebook: 2028",
        "  from: 2028-01-01",
        "  until: ..",
    ]
    assert checked(added.text, runs_cases=False).edition is not None
    assert len(before) == len(after)
    record = AuditRecord.objects.order_by("-sequence")[0]
    detail = detail_of(record)
    assert detail is not None
    assert (record.action, detail["edition"]) == ("rulebook/edition added", "2028")


def test_without_a_first_day_the_days_of_the_old_edition_stay(
    old: StoredEdition, owner: Account, client_of: Opened
) -> None:
    client_of(owner).post("/rulebooks/xa-council/2025/new-from", {"name": "2028"})
    added = StoredEdition.objects.get(edition="2028")
    assert added.text == old.text.replace("rulebook: 2025", "rulebook: 2028", 1)


@pytest.mark.parametrize("name", ["", "2025", "no good", "../up"])
def test_a_new_edition_has_a_name_of_its_own(
    name: str, old: StoredEdition, owner: Account, client_of: Opened
) -> None:
    address = f"/rulebooks/{old.authority}/{old.edition}/new-from"
    response = client_of(owner).post(address, {"name": name})
    assert response.status_code == 422
    assert StoredEdition.objects.count() == 1


@pytest.mark.parametrize("written", ['"2025"', "'2025'", "2025", "2025  # the old one"])
def test_a_name_is_changed_however_it_is_written(written: str) -> None:
    text = demo_text("XA", "2025").replace("rulebook: 2025", f"rulebook: {written}", 1)
    changed = with_name(text, "2028", first=date(2028, 1, 1))
    line = next(line for line in changed.splitlines() if line.startswith("rulebook:"))
    assert line == f"rulebook: 2028{'  # the old one' if '#' in written else ''}"
