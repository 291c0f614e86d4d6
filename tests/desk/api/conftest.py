"""Programs of an office: each with a token, or with what is none."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.core.cache import cache
from django.http import HttpResponse, HttpResponseBase
from django.test import Client

from comity.desk import clock
from comity.store import tokens
from comity.store.models import AuditRecord

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.store.models import Account

    Program = Callable[..., "Caller"]

BOTH = ("read", "write")


@dataclass(frozen=True)
class Caller:
    """A program with a token, or without one."""

    token: str | None

    def __call__(self, method: str, path: str, sent: object = None, **more: Any) -> HttpResponse:  # noqa: ANN401
        """Return the answer of the API; what is sent goes as JSON unless it is bytes."""
        headers = dict(more.pop("headers", {}))
        if self.token is not None:
            headers["Authorization"] = f"Bearer {self.token}"
        if sent is not None:
            more.setdefault("content_type", "application/json")
            more["data"] = sent if isinstance(sent, bytes) else json.dumps(sent)
        client = Client(raise_request_exception=False)
        answer = client.generic(method, f"/api/{path}", headers=headers, **more)
        assert isinstance(answer, HttpResponse)
        return answer


@pytest.fixture(autouse=True)
def no_failures_yet() -> None:
    """Forget the guesses of other tests."""
    cache.clear()


@pytest.fixture
def program() -> Program:
    """Return how one gets a program of somebody, with scopes."""

    def made(who: Account | None, *scopes: str, days: int = 30, ago: int = 0) -> Caller:
        if who is None:
            return Caller(None)
        now = clock.now() - timedelta(days=ago)
        _row, token = tokens.issue(who, label="test", scopes=scopes or BOTH, days=days, now=now)
        return Caller(token)

    return made


@pytest.fixture
def caller(adviser: Account, program: Program) -> Caller:
    """Return a program of an adviser that may read and write."""
    return program(adviser)


def said(answer: HttpResponseBase, status: int) -> Any:  # noqa: ANN401 - JSON
    """Return what an answer says, which has to have a status."""
    assert isinstance(answer, HttpResponse)
    assert answer.status_code == status, answer.content
    return json.loads(answer.content)


def kind_of(answer: HttpResponseBase, status: int) -> str:
    """Return the kind of a refusal, which has to be a problem document."""
    assert answer.headers["Content-Type"] == "application/problem+json"
    found = said(answer, status)
    assert found["status"] == status
    assert found["detail"]
    return str(found["type"]).removeprefix("urn:comity:problem:")


def last_record() -> AuditRecord:
    """Return the newest record of the audit trail."""
    return AuditRecord.objects.latest("sequence")
