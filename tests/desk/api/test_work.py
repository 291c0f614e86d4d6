"""Actions and notes that programs keep."""

from __future__ import annotations

import json

import pytest

from comity.store.models import Account, AuditRecord, Case
from tests.desk.api.conftest import Caller, kind_of, last_record, said
from tests.desk.conftest import case_of


def test_an_action_is_added_changed_done_and_taken_up_again(case: Case, caller: Caller) -> None:
    address = f"cases/{case.pk}/actions"
    sent = {"text": "Ask for the diploma", "holder": "school", "due": "2026-12-01"}
    action = said(caller("POST", address, sent), 201)
    one = f"{address}/{action['id']}"
    changed = said(caller("PATCH", one, {"version": 1, "due": None, "is_done": True}), 200)
    assert (changed["due"], changed["text"], changed["holder"]) == (None, sent["text"], "school")
    assert changed["done_at"] is not None
    stale = caller("PATCH", one, {"version": 1, "text": "Ask again"})
    assert kind_of(stale, 409) == "stale"
    assert said(stale, 409)["current"]["version"] == changed["version"]
    newest = f'"{changed["version"]}"'
    again = caller("PATCH", one, {"is_done": False}, headers={"If-Match": newest})
    assert said(again, 200)["done_at"] is None
    actions = AuditRecord.objects.order_by("sequence").values_list("action", flat=True)
    assert [each for each in actions if each.startswith("case/action")] == [
        "case/action added",
        "case/action changed",
        "case/action done",
        "case/action reopened",
    ]


def test_an_action_of_another_case_is_not_there(case: Case, caller: Caller) -> None:
    other = case_of("soren")
    action = said(caller("POST", f"cases/{other.pk}/actions", {"text": "Call"}), 201)
    answer = caller("PATCH", f"cases/{case.pk}/actions/{action['id']}", {"version": 1})
    assert kind_of(answer, 404) == "not-there"


def test_a_note_is_kept_with_its_author(case: Case, caller: Caller, adviser: Account) -> None:
    note = said(caller("POST", f"cases/{case.pk}/notes", {"text": "Zwölf Uhr\n— call"}), 201)
    assert (note["text"], note["author"]["id"]) == ("Zwölf Uhr\n— call", adviser.pk)
    assert last_record().action == "case/note added"


@pytest.mark.parametrize(
    ("sent", "at"),
    [
        ({}, "body/text"),
        ({"text": " "}, "body/text"),
        ({"text": "x" * 501}, "body/text"),
        ({"text": "x", "holder": "nobody"}, "body/holder"),
        ({"text": "x", "due": "2026-02-30"}, "body/due"),
        ({"text": "x", "due": 1}, "body/due"),
        ({"text": "x", "is_for_applicant": "perhaps"}, "body/is_for_applicant"),
        ({"text": "x", "texts": 1}, "body/texts"),
        ({"text": 7}, "body/text"),
        ([], "body"),
        ("x", "body"),
        (None, "body"),
    ],
)
def test_what_an_action_needs_is_told_by_field(
    sent: object, at: str, case: Case, caller: Caller
) -> None:
    body = json.dumps(sent).encode()
    answer = caller("POST", f"cases/{case.pk}/actions", body)
    assert at in [each["at"] for each in said(answer, 422)["problems"]]
    assert case.actions.count() == 0
