"""What would hurt is refused as a problem, and nothing is kept."""

from __future__ import annotations

import pytest
from django.db import OperationalError

from comity.desk.api import cases as api_cases
from comity.store.errors import UnreachableError
from comity.store.models import AuditRecord, Case
from tests.desk.api.conftest import Caller, kind_of, said

YAML = "application/yaml"


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
