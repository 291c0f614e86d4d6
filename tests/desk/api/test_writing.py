"""Applicants taken in, and documents put in the place of others: with a version, into the trail."""

from __future__ import annotations

import json
from typing import Any

import pytest
import yaml

from comity.demo.caseload import demo_files
from comity.desk.api import cases as api_cases
from comity.service.applicant_json import applicant_as_json
from comity.store import audit
from comity.store.cases import close_case
from comity.store.converters import applicant_of
from comity.store.errors import StaleError
from comity.store.models import Account, AuditRecord, Case
from tests.desk.api.conftest import Caller, kind_of, last_record, said
from tests.desk.conftest import case_of

HANA = demo_files()["applicants/hana.yaml"]
YAML = "application/yaml"


def test_an_applicant_is_taken_in_as_a_file(caller: Caller, adviser: Account) -> None:
    answer = caller("POST", "applicants", HANA.encode(), content_type=YAML)
    found = said(answer, 201)
    case = Case.objects.get()
    assert answer.headers["Location"] == f"/api/cases/{case.pk}"
    assert (answer.headers["ETag"], found["id"]) == ('"1"', str(case.pk))
    assert case.document == HANA
    assert (last_record().action, last_record().actor) == ("case/added", f"account/{adviser.pk}")
    assert audit.verify().is_sound


@pytest.mark.parametrize("name", ["hana", "soren", "maria-fernanda", "titilope"])
def test_an_applicant_taken_in_as_json_says_the_same(name: str, caller: Caller) -> None:
    original = case_of(name)
    document = said(caller("GET", f"cases/{original.pk}"), 200)["document"]
    found = said(
        caller("POST", "applicants", {"document": {**document, "applicant": "another"}}), 201
    )
    assert found["document"] == {**document, "applicant": "another"}
    case = Case.objects.get(reference="another")
    assert applicant_as_json(applicant_of(case)) == found["document"]
    assert yaml.safe_load(case.document)["applicant"] == "another"


def test_an_applicant_is_put_in_somebodys_care(caller: Caller, owner: Account) -> None:
    found = said(caller("POST", "applicants", {"text": HANA, "adviser": owner.pk}), 201)
    assert found["adviser"]["id"] == owner.pk
    answer = caller("POST", "applicants", {"text": HANA, "adviser": 999})
    assert said(answer, 422)["problems"][0]["at"] == "body/adviser"


def test_an_id_is_taken_once(caller: Caller) -> None:
    case_of("hana")
    answer = caller("POST", "applicants", {"text": HANA})
    assert kind_of(answer, 409) == "taken"
    assert "hana" in said(answer, 409)["detail"]


def test_all_that_is_wrong_in_a_file_is_told_with_its_place(caller: Caller) -> None:
    text = "applicant: nobody\nas_of: 2026-13-40\nfacts:\n  practise: []\n"
    answer = caller("POST", "applicants", {"text": text})
    problems = said(answer, 422)["problems"]
    assert [each["line"] for each in problems] == [2, 4]
    assert {each["file"] for each in problems} == {"document"}
    assert all(each["code"] and each["message"] for each in problems)
    assert Case.objects.count() == 0


def test_places_in_json_are_lines_of_it_indented_by_two_spaces(caller: Caller) -> None:
    document = {"applicant": "nobody", "as_of": "never"}
    [mended] = said(caller("POST", "applicants", {"document": document}), 422)["problems"]
    lines = json.dumps(document, indent=2).splitlines()
    assert "never" in lines[mended["line"] - 1]


@pytest.mark.parametrize("sent", [{}, {"text": HANA, "document": {"applicant": "x"}}])
def test_a_document_is_sent_one_way(sent: dict[str, Any], caller: Caller) -> None:
    assert kind_of(caller("POST", "applicants", sent), 422) == "not-valid"


def test_a_document_is_replaced_with_its_comments(case: Case, caller: Caller) -> None:
    text = f"# Checked by a program.\n{case.document}"
    answer = caller(
        "PUT",
        f"cases/{case.pk}/document",
        text.encode(),
        content_type=YAML,
        headers={"If-Match": '"1"'},
    )
    assert said(answer, 200)["version"] == 2
    assert answer.headers["ETag"] == '"2"'
    case.refresh_from_db()
    assert case.document == text
    detail = audit.detail_of(last_record())
    assert detail is not None
    assert detail["lines"][1:] == ["+# Checked by a program."]
    assert detail["token"] > 0


def test_what_others_changed_meanwhile_is_not_written_over(case: Case, caller: Caller) -> None:
    address = f"cases/{case.pk}/document"
    mine, theirs = f"# mine\n{case.document}", f"# theirs\n{case.document}"
    said(caller("PUT", address, {"text": theirs, "version": 1}), 200)
    by_body = caller("PUT", address, {"text": mine, "version": 1})
    by_header = caller("PUT", address, {"text": mine}, headers={"If-Match": '"1"'})
    assert (kind_of(by_body, 409), kind_of(by_header, 412)) == ("stale", "stale-precondition")
    current = said(by_body, 409)["current"]
    assert (current["version"], current["document"]["applicant"]) == (2, "hana")
    case.refresh_from_db()
    assert case.document == theirs


@pytest.mark.parametrize(
    ("header", "version", "status"),
    [
        (None, None, 428),
        ("*", None, 428),
        ("1", None, 400),
        ('"1', None, 400),
        ('W/"1"', None, 412),
        ('"7"', None, 412),
        ('"7", "1"', None, 200),
        ('"1"', 1, 200),
        ('"1"', 2, 409),
        (None, 2, 409),
        (None, 1, 200),
    ],
)
def test_a_change_names_the_version_it_was_made_from(
    header: str | None, version: int | None, status: int, case: Case, caller: Caller
) -> None:
    sent: dict[str, Any] = {"text": f"# new\n{case.document}"}
    if version is not None:
        sent["version"] = version
    headers = {} if header is None else {"If-Match": header}
    answer = caller("PUT", f"cases/{case.pk}/document", sent, headers=headers)
    assert answer.status_code == status


def test_who_comes_second_between_look_and_write_is_told(
    case: Case, caller: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_late(current: Case, *_args: object, **_more: object) -> Case:
        raise StaleError(current)

    monkeypatch.setattr(api_cases, "change_document", too_late)
    answer = caller("PUT", f"cases/{case.pk}/document", {"text": case.document, "version": 1})
    assert kind_of(answer, 409) == "stale"


def test_a_closed_case_is_read_and_not_changed(
    case: Case, caller: Caller, adviser: Account
) -> None:
    close_case(case, actor=adviser)
    assert said(caller("GET", f"cases/{case.pk}"), 200)["closed_at"]
    for method, path, sent in (
        ("PUT", "document", {"text": HANA, "version": 1}),
        ("POST", "facts/practice", {"fields": {"start": "2020"}, "version": 1}),
        ("POST", "actions", {"text": "Call"}),
        ("POST", "notes", {"text": "A note"}),
    ):
        assert kind_of(caller(method, f"cases/{case.pk}/{path}", sent), 409) == "closed"


def test_a_case_is_closed_opened_and_put_in_somebodys_care(
    case: Case, caller: Caller, owner: Account
) -> None:
    address = f"cases/{case.pk}"
    assert said(caller("PATCH", address, {"is_closed": True, "reason": "moved"}), 200)["closed_at"]
    assert audit.detail_of(last_record()) == {"reason": "moved"}
    found = said(caller("PATCH", address, {"is_closed": False, "adviser": owner.pk}), 200)
    assert (found["closed_at"], found["adviser"]["id"]) == (None, owner.pk)
    assert said(caller("PATCH", address, {"adviser": None}), 200)["adviser"] is None
    before = AuditRecord.objects.count()
    said(caller("PATCH", address, {}), 200)
    assert AuditRecord.objects.count() == before
