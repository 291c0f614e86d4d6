"""Who gets in by the API: every address with each kind of person, token and scope."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from comity.desk import clock
from comity.desk.access import Guard, rule_of
from comity.desk.api import bearer
from comity.desk.api.endpoints import READS, WRITES
from comity.desk.api.site import api
from comity.store import tokens
from comity.store.cases import add_action
from comity.store.models import Account, ApiToken, AuditRecord, Case, Role
from comity.store.people import set_active
from tests.desk.api.conftest import Caller, kind_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from tests.desk.api.conftest import Program

HERE: Mapping[str, Callable[[Case], str]] = {
    "case_id": lambda case: str(case.pk),
    "action_id": lambda case: str(case.actions.get().pk),
    "section": lambda _case: "practice",
    "entry": lambda _case: "nothing",
    "authority": lambda _case: "XA",
    "edition": lambda _case: "2026",
}


def operations() -> Iterator[tuple[str, str]]:
    for path, found in api.get_openapi_schema()["paths"].items():
        for method in found:
            yield method.upper(), path.removeprefix("/api/")


OPERATIONS = list(operations())
IDS = [f"{method} {path}" for method, path in OPERATIONS]
SCHEMA = api.get_openapi_schema()


def concrete(path: str, case: Case) -> str:
    return re.sub(r"{(\w+)}", lambda match: HERE[match[1]](case), path)


def scope_of(method: str, path: str) -> str:
    [security] = SCHEMA["paths"][f"/api/{path}"][method.lower()]["security"]
    [name] = security
    return {"ReadToken": "read", "WriteToken": "write"}[name]


@pytest.fixture
def case(case: Case, adviser: Account) -> Case:
    add_action(case, "Ask for the diploma", actor=adviser)
    return case


def test_nothing_but_searching_reads_by_post() -> None:
    reading = {(m, p) for m, p in OPERATIONS if scope_of(m, p) == "read"}
    assert {p for m, p in reading if m != "GET"} == {"applicants/search"}
    assert {m for m, p in OPERATIONS if (m, p) not in reading} == {"POST", "PUT", "PATCH", "DELETE"}


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=IDS)
def test_members_get_in_and_nobody_else(
    method: str, path: str, case: Case, program: Program, request: pytest.FixtureRequest
) -> None:
    address = concrete(path, case)
    for who in ("owner", "adviser"):
        answer = program(request.getfixturevalue(who))(method, address)
        assert answer.status_code in {200, 404, 415, 422, 428}, answer.content
    for who in ("applicant", "outsider"):
        answer = program(request.getfixturevalue(who))(method, address)
        assert kind_of(answer, 403) == "not-for-applicants"
    answer = program(None)(method, address)
    assert kind_of(answer, 401) == "no-token"
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=IDS)
def test_a_token_needs_the_scope(
    method: str, path: str, case: Case, owner: Account, program: Program
) -> None:
    scope = scope_of(method, path)
    other = {"read": "write", "write": "read"}[scope]
    answer = program(owner, other)(method, concrete(path, case))
    assert kind_of(answer, 403) == "wrong-scope"
    assert f'scope="{scope}"' in answer.headers["WWW-Authenticate"]


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=IDS)
def test_a_token_that_is_over_or_taken_back_opens_nothing(
    method: str, path: str, case: Case, owner: Account, program: Program
) -> None:
    address = concrete(path, case)
    over = program(owner, days=7, ago=8)(method, address)
    assert kind_of(over, 401) == "bad-token"
    caller = program(owner)
    tokens.revoke(ApiToken.objects.latest("pk"), actor=owner, now=clock.now())
    back = caller(method, address)
    assert kind_of(back, 401) == "bad-token"
    assert 'error="invalid_token"' in back.headers["WWW-Authenticate"]


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=IDS)
def test_a_browsers_session_opens_nothing(
    method: str, path: str, case: Case, owner: Account, client_of: Callable[..., Client]
) -> None:
    before = AuditRecord.objects.count()
    answer = client_of(owner).generic(
        method, f"/api/{concrete(path, case)}", data="{}", content_type="application/json"
    )
    assert kind_of(answer, 401) == "no-token"
    assert AuditRecord.objects.count() == before


def test_a_person_locked_out_has_no_token_that_opens(
    owner: Account, adviser: Account, program: Program
) -> None:
    caller = program(adviser)
    assert caller("GET", "token").status_code == 200
    set_active(adviser, is_active=False, actor=owner)
    assert kind_of(caller("GET", "token"), 401) == "bad-token"


def test_a_token_may_at_most_what_its_owner_may_now(adviser: Account, program: Program) -> None:
    caller = program(adviser)
    assert caller("GET", "applicants").status_code == 200
    Account.objects.filter(pk=adviser.pk).update(role=Role.APPLICANT)
    assert kind_of(caller("GET", "applicants"), 403) == "not-for-applicants"


def test_a_token_tells_whose_it_is_and_what_it_opens(adviser: Account, program: Program) -> None:
    said = json.loads(program(adviser, "read")("GET", "token").content)
    assert said["owner"] == {"id": adviser.pk, "name": "Ade Okonjo"}
    assert (said["scopes"], said["role"], said["label"]) == (["read"], "adviser", "test")


@pytest.mark.parametrize("header", ["Basic abc", "Bearer", "Bearer ", "token", ""])
def test_other_headers_are_no_token(header: str) -> None:
    answer = Client().get("/api/token", headers={"Authorization": header})
    assert answer.status_code == 401


@pytest.mark.parametrize("token", ["x", "é", "a b", "comity_" + "x" * 5000, '"', "\x7f"])
def test_what_is_no_token_is_refused(token: str) -> None:
    answer = Client().get("/api/token", headers={"Authorization": f"Bearer {token}"})
    assert kind_of(answer, 401) == "bad-token"


def test_guesses_are_throttled_and_programs_that_were_in_go_on(
    owner: Account, adviser: Account, program: Program
) -> None:
    working, new = program(owner), program(adviser)
    assert working("GET", "token").status_code == 200
    for number in range(bearer.FAILURES):
        assert kind_of(Caller(f"comity_guess{number}")("GET", "token"), 401) == "bad-token"
    late = Caller("comity_guess")("GET", "token")
    assert kind_of(late, 429) == "throttled"
    assert late.headers["Retry-After"] == "900"
    assert new("GET", "token").status_code == 429
    assert working("GET", "token").status_code == 200
    assert new("GET", "token", REMOTE_ADDR="10.0.0.7").status_code == 200


def patterns(found: list[Any], before: str = "") -> Iterator[tuple[str, str, Any]]:
    for each in found:
        path = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from patterns(each.url_patterns, path)
        elif isinstance(each, URLPattern) and path.lstrip("^").startswith("api/"):
            yield each.name or "", path, each.callback


def test_every_address_is_guarded_as_the_table_says() -> None:
    named = {name: view for name, _path, view in patterns(get_resolver().url_patterns)}
    opened = {name for name, view in named.items() if getattr(view, "guard", None) == Guard.ANYONE}
    for name in named:
        rule = rule_of(name)
        assert rule is not None, name
        assert rule.guard is (Guard.ANYONE if name in opened else Guard.MEMBERS)
    assert opened == {"api-openapi", "api-missing"}
    for _prefix, router in api._routers:
        for view in router.path_operations.values():
            for operation in view.operations:
                assert list(operation.auth_callbacks) in ([READS], [WRITES])


def test_the_description_is_open_and_tells_of_nobody(case: Case) -> None:
    answer = Client().get("/api/openapi.json")
    assert answer.status_code == 200
    assert answer.json()["openapi"].startswith("3.1")
    assert case.name not in answer.content.decode()
    assert Client().get("/api/docs").status_code == 404


@pytest.mark.parametrize("path", ["", "nothing", "cases/7", "cases/x/y", "docs", "../api/x"])
def test_what_is_no_address_is_told_as_a_problem(
    path: str, owner: Account, program: Program
) -> None:
    answer = program(owner)("GET", path)
    assert kind_of(answer, 404) == "not-there"


def test_another_method_is_told_as_a_problem(owner: Account, program: Program) -> None:
    answer = program(owner)("DELETE", "applicants")
    assert kind_of(answer, 405) == "method"
    assert set(answer.headers["Allow"].split(", ")) == {"GET", "POST"}


def test_head_answers_as_get_without_the_content(owner: Account, program: Program) -> None:
    answer = program(owner)("HEAD", "applicants")
    assert (answer.status_code, answer.content) == (200, b"")


@pytest.mark.parametrize("who", ["owner", "nobody"])
def test_no_answer_is_kept_by_a_cache(who: str, owner: Account, program: Program) -> None:
    caller = program(owner if who == "owner" else None)
    for path in ("applicants", "token", "nothing"):
        assert caller("GET", path).headers["Cache-Control"] == "no-store"
