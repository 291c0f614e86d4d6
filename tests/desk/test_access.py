from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.test import RequestFactory
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils import timezone

from comity.desk.access import TABLE, Guard, get_case, members_only, owner_only, rule_of, signed_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from django.http import HttpRequest
    from django.test import Client

    from comity.store.models import Account, Case

PAGE = Path(__file__).resolve().parents[2] / "docs" / "access.md"
ROW = re.compile(r"^\| (?P<cells>[^|]+(?: \| [^|]+){4}) \|$", re.MULTILINE)
API = "api/"


def pages(patterns: list[Any], before: str = "") -> Iterator[tuple[str, str, Any]]:
    for each in patterns:
        path = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from pages(each.url_patterns, path)
        elif isinstance(each, URLPattern):
            yield each.name or "", path, each.callback


PAGES = [each for each in pages(get_resolver().url_patterns) if not each[1].startswith(API)]
NAMES = [name for name, _path, _view in PAGES]


def test_the_page_on_access_is_the_table() -> None:
    rows = [match["cells"].split(" | ") for match in ROW.finditer(PAGE.read_text(encoding="utf-8"))]
    assert rows[2:] == [
        [rule.what, rule.owner, rule.adviser, rule.applicant, rule.anyone] for rule in TABLE
    ]


def test_every_page_has_a_name_of_its_own() -> None:
    assert len(set(NAMES)) == len(NAMES)
    assert [name for name in NAMES if not name.startswith(("desk-", "api-"))] == []


@pytest.mark.parametrize(("name", "path", "view"), PAGES, ids=NAMES)
def test_every_page_is_guarded_as_the_table_says(
    name: str, path: str, view: Callable[..., object]
) -> None:
    rule = rule_of(name)
    assert rule is not None, f"no row of the table speaks of {path}"
    assert getattr(view, "guard", None) == rule.guard


@pytest.mark.parametrize(("name", "path", "view"), PAGES, ids=NAMES)
def test_nobody_gets_in_without_signing_in_but_by_open_pages(
    name: str,
    path: str,
    view: Callable[..., object],
    client_of: Callable[[Account | None], Client],
    owner: Account,
) -> None:
    concrete = re.sub(r"<uuid:[^>]+>", str(uuid4()), path)
    concrete = re.sub(r"<int:[^>]+>", "1", concrete)
    concrete = "/" + re.sub(r"<[^>]+>", "x", concrete)
    answer = client_of(None).get(concrete)
    if getattr(view, "guard", None) is Guard.ANYONE:
        assert answer.status_code in {200, 302, 404}
        assert "sign-in?next" not in answer.headers.get("Location", "")
    else:
        assert answer.headers["Location"].startswith("/sign-in?next=")


def test_no_row_of_the_table_speaks_of_pages_that_are_not_there() -> None:
    named = {page for rule in TABLE for page in rule.pages}
    every = [name for name, _path, _view in pages(get_resolver().url_patterns)]
    used = {page for page in named for name in every if name.startswith(page)}
    assert named == used


def asked_by(person: Account | AnonymousUser) -> HttpRequest:
    request = RequestFactory().get("/")
    request.user = person
    return request


def anything(request: HttpRequest) -> HttpResponse:
    return HttpResponse(request.path)


GUARDS = {"signed in": signed_in, "members": members_only, "owner": owner_only}


@pytest.mark.parametrize(
    ("guard", "who", "refusal"),
    [
        ("signed in", "applicant", None),
        ("signed in", "owner", None),
        ("members", "owner", None),
        ("members", "adviser", None),
        ("members", "applicant", Http404),
        ("owner", "owner", None),
        ("owner", "adviser", PermissionDenied),
        ("owner", "applicant", Http404),
    ],
)
def test_guards_let_in_whom_they_name(
    guard: str, who: str, refusal: type[Exception] | None, request: pytest.FixtureRequest
) -> None:
    asked = asked_by(request.getfixturevalue(who))
    view = GUARDS[guard](anything)
    if refusal is None:
        assert view(asked).status_code == 200
    else:
        with pytest.raises(refusal):
            view(asked)


@pytest.mark.parametrize("guard", GUARDS)
def test_guards_stand_alone_without_the_middleware(guard: str) -> None:
    with pytest.raises(Http404):
        GUARDS[guard](anything)(asked_by(AnonymousUser()))


@pytest.mark.parametrize("who", ["owner", "adviser", "applicant"])
def test_members_get_every_case_and_applicants_their_own(
    who: str, case: Case, request: pytest.FixtureRequest
) -> None:
    asked = asked_by(request.getfixturevalue(who))
    assert get_case(asked, case.pk) == case
    assert get_case(asked, case.pk, may="change") == case


def test_anothers_case_and_none_at_all_are_told_alike(outsider: Account, case: Case) -> None:
    for case_id in (case.pk, uuid4()):
        with pytest.raises(Http404):
            get_case(asked_by(outsider), case_id)


def test_a_closed_case_is_read_but_not_changed(owner: Account, case: Case) -> None:
    case.closed_at = timezone.now()
    case.save()
    assert get_case(asked_by(owner), case.pk) == case
    with pytest.raises(PermissionDenied):
        get_case(asked_by(owner), case.pk, may="change")
