"""What programs change: with a version, through the store, into the audit trail."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
import yaml
from django.db import OperationalError

from comity.demo.caseload import demo_files
from comity.desk.api import cases as api_cases
from comity.service.applicant_json import applicant_as_json
from comity.store import audit
from comity.store.cases import add_case, close_case
from comity.store.converters import applicant_of
from comity.store.errors import StaleError, UnreachableError
from comity.store.models import Account, AuditRecord, Case
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from django.http import HttpResponse

    from tests.desk.api.conftest import Caller, Program

HANA = demo_files()["applicants/hana.yaml"]
YAML = "application/yaml"


@pytest.fixture
def caller(adviser: Account, program: Program) -> Caller:
    return program(adviser)


def said(answer: HttpResponse, status: int) -> Any:  # noqa: ANN401 - JSON
    assert answer.status_code == status, answer.content
    return json.loads(answer.content)


def kind_of(answer: HttpResponse, status: int) -> str:
    assert answer.headers["Content-Type"] == "application/problem+json"
    return str(said(answer, status)["type"]).removeprefix("urn:comity:problem:")


def last_record() -> AuditRecord:
    return AuditRecord.objects.latest("sequence")


# ------------------------------------------------------------------------------ applicants


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


# -------------------------------------------------------------------------- whole documents


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


# ------------------------------------------------------------------------------ single facts


def entries(found: Any, section: str) -> dict[str, Any]:  # noqa: ANN401 - JSON
    return {each["id"]: each for each in found["document"]["facts"][section]}


def test_an_entry_is_changed_added_and_taken_out_and_comments_stay(
    owner: Account, caller: Caller
) -> None:
    case = add_case(f"# The diploma is with the school.\n{HANA}", actor=owner)
    address = f"cases/{case.pk}/facts/practice"
    before = entries(said(caller("GET", f"cases/{case.pk}"), 200), "practice")
    name = next(iter(before))
    found = said(
        caller(
            "PATCH",
            f"{address}/{name}",
            {"version": 1, "fields": {"employer": "Vesterholt Clinic"}},
        ),
        200,
    )
    assert entries(found, "practice")[name] == {**before[name], "employer": "Vesterholt Clinic"}
    assert last_record().action == "case/facts changed"
    detail = audit.detail_of(last_record())
    assert detail is not None
    assert (detail["section"], detail["entry"]) == ("practice", name)

    added = said(
        caller("POST", address, {"version": 2, "fields": {"start": "2019-03", "end": "2020"}}), 201
    )
    [new] = set(entries(added, "practice")) - set(before)
    assert entries(added, "practice")[new]["start"] == "2019-03"

    taken = caller("DELETE", f"{address}/{new}", headers={"If-Match": '"3"'})
    assert set(entries(said(taken, 200), "practice")) == set(before)
    case.refresh_from_db()
    assert case.document.startswith("# The diploma is with the school.\n")
    assert (case.version, audit.verify().is_sound) == (4, True)


def test_a_section_that_is_no_list_is_changed(case: Case, caller: Caller) -> None:
    sent = {"version": 1, "fields": {"name": "Hana Lindqvist"}}
    found = said(caller("PATCH", f"cases/{case.pk}/facts/about", sent), 200)
    assert (found["name"], found["version"]) == ("Hana Lindqvist", 2)


def test_that_there_is_nothing_of_a_section_is_kept(owner: Account, caller: Caller) -> None:
    case = add_case("applicant: nobody\nas_of: 2026-11-25\n", actor=owner)
    found = said(caller("PUT", f"cases/{case.pk}/facts/papers/none", {"version": 1}), 200)
    assert found["document"]["papers"] == []


def test_what_cannot_be_taken_is_told_by_field(case: Case, caller: Caller) -> None:
    name = applicant_of(case).facts.practice[0].id  # type: ignore[index]  # (hana has posts)
    address = f"cases/{case.pk}/facts/practice/{name}"
    sent = {"version": 1, "fields": {"start": "soon", "employr": "Clinic"}}
    problems = said(caller("PATCH", address, sent), 422)["problems"]
    assert [(each["code"], each["at"], each["hint"]) for each in problems] == [
        ("A102", "body/fields/employr", "did you mean employer?")
    ]
    sent = {"version": 1, "fields": {"start": "soon"}}
    [mended] = said(caller("PATCH", address, sent), 422)["problems"]
    assert (mended["code"], mended["at"], mended["got"]) == ("A104", "body/fields/start", "soon")
    assert mended["expected"]
    case.refresh_from_db()
    assert case.version == 1


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("POST", "facts/nothing"),
        ("POST", "facts/about"),
        ("PATCH", "facts/practice"),
        ("PATCH", "facts/practice/nothing"),
        ("PATCH", "facts/about/x"),
        ("PUT", "facts/about/none"),
        ("DELETE", "facts/papers/nothing"),
        ("PATCH", "actions/99999999999999999999999"),
    ],
)
def test_what_is_not_there_is_not_changed(
    method: str, path: str, case: Case, caller: Caller
) -> None:
    sent: dict[str, Any] = {"version": 1, "fields": {"start": "2020"}}
    sent = {"version": 1} if path.endswith("none") or "actions" in path else sent
    headers = {"If-Match": '"1"'} if method == "DELETE" else {}
    body = None if method == "DELETE" else sent
    answer = caller(method, f"cases/{case.pk}/{path}", body, headers=headers)
    assert kind_of(answer, 404) == "not-there"


def test_a_stale_fact_is_told_with_what_stands_there(case: Case, caller: Caller) -> None:
    address = f"cases/{case.pk}/facts/about"
    said(caller("PATCH", address, {"version": 1, "fields": {"name": "Hana K."}}), 200)
    answer = caller("PATCH", address, {"version": 1, "fields": {"name": "Hana L."}})
    assert kind_of(answer, 409) == "stale"
    assert said(answer, 409)["current"]["document"]["name"] == "Hana K."


# ------------------------------------------------------------------------- actions and notes


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


# ------------------------------------------------------------------------------ what hurts


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 422),
        (b"{", 400),
        (b"\xff\xfe", 400),
        (b'\xef\xbb\xbf{"text": "x"}', 400),
        (b'{"text": NaN}', 400),
        (b'{"text": "a", "text": "b"}', 400),
        (b'{"text": "a\\u0000b"}', 400),
        (b'{"text": "a\\ud800b"}', 400),
        (b'{"a\\u0000": 1}', 400),
        (b'{"text": "\x01"}', 400),
        (b"[" * 100_000, 400),
        (b"[" * 60 + b"]" * 60, 400),
        (b'{"a":' * 50 + b"1" + b"}" * 50, 400),
        (b"1" * 5000, 400),
        (b'{"text": 1e999}', 422),
        (b'{"text": ' + b"9" * 4000 + b"}", 422),
        (b'{"text": "' + b"x" * 2_700_000 + b'"}', 413),
        (b'{"text": {"a": [null, true, {}]}}', 422),
    ],
    ids=range(18),
)
def test_hostile_bodies_are_refused_and_nothing_is_kept(
    body: bytes, status: int, case: Case, caller: Caller
) -> None:
    records = AuditRecord.objects.count()
    for path in ("notes", "facts/practice", "actions"):
        kind_of(caller("POST", f"cases/{case.pk}/{path}", body), status)
    kind_of(caller("POST", "applicants", body), status)
    assert (AuditRecord.objects.count(), Case.objects.count()) == (records, 1)


@pytest.mark.parametrize(
    "text",
    [
        "applicant: x\nname: \x00",
        "applicant: x\nname: \ufffe",
        "a: &a [*a]",
        "a: " + "[" * 5000,
        "? " * 3000,
        "!!python/object/apply:os.system [ls]",
        "",
        "- a",
    ],
    ids=range(8),
)
def test_hostile_files_are_refused(text: str, caller: Caller) -> None:
    answer = caller("POST", "applicants", text.encode(), content_type=YAML)
    assert answer.status_code == 422
    assert said(answer, 422)["problems"]
    assert Case.objects.count() == 0


@pytest.mark.parametrize(
    "media_type", ["text/plain", "application/x-www-form-urlencoded", YAML, "multipart/form-data"]
)
def test_other_media_types_are_refused(media_type: str, case: Case, caller: Caller) -> None:
    answer = caller("POST", f"cases/{case.pk}/notes", b"text: x", content_type=media_type)
    assert kind_of(answer, 415) == "media-type"


@pytest.mark.parametrize(
    ("error", "status", "kind"),
    [
        (UnreachableError("nothing was saved: the disk is full"), 503, "storage"),
        (OperationalError("database is locked"), 503, "storage"),
        (ValueError("Hana Kwon-Lindqvist"), 500, "broken"),
    ],
)
def test_faults_are_told_as_problems_without_values(
    error: Exception,
    status: int,
    kind: str,
    case: Case,
    caller: Caller,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def failing(*_args: object, **_more: object) -> Case:
        raise error

    monkeypatch.setattr(api_cases, "change_document", failing)
    answer = caller("PUT", f"cases/{case.pk}/document", {"text": case.document, "version": 1})
    assert kind_of(answer, status) == kind
    assert "Hana" not in answer.content.decode()
    assert ("Retry-After" in answer.headers) == (status == 503)
