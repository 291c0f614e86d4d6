"""The page on the API tells the truth: its requests are sent, its tables are those of the code."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

import pytest

from comity.desk.api.refusals import KINDS
from comity.desk.api.site import api
from comity.store.models import Account, Case
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.desk.api.conftest import Program

ROOT = Path(__file__).resolve().parents[3]
PAGE = (ROOT / "docs/reference/api.md").read_text(encoding="utf-8")
FENCE = re.compile(r"^```http\n(.*?)^```$", re.MULTILINE | re.DOTALL)
CASE = UUID("5f0c1b1e-0d5c-4d0e-9a53-0b7f6f1f7a11")
ANYTHING = "…"


@dataclass
class Message:
    """A request or an answer, as the page shows it."""

    start: str
    headers: dict[str, str] = field(default_factory=dict)
    body: str = ""


def messages() -> Iterator[Message]:
    for fence in FENCE.finditer(PAGE):
        head, _blank, body = fence[1].partition("\n\n")
        start, *headers = head.strip().splitlines()
        pairs = [(line.split(": ", 1)[0], line.split(": ", 1)[1]) for line in headers]
        yield Message(start, dict(pairs), body)


def differences(shown: Any, found: Any, at: str = "") -> Iterator[str]:  # noqa: ANN401 - JSON
    """Yield where what was answered is not what the page shows."""
    if shown == ANYTHING:
        return
    if isinstance(shown, dict) and isinstance(found, dict):
        more = shown.keys() - {ANYTHING}
        if more - found.keys() or (ANYTHING not in shown and found.keys() - more):
            yield f"{at}: keys {sorted(found)}"
        for name in more & found.keys():
            yield from differences(shown[name], found[name], f"{at}/{name}")
    elif isinstance(shown, list) and isinstance(found, list) and len(shown) == len(found):
        for number, (one, other) in enumerate(zip(shown, found, strict=True)):
            yield from differences(one, other, f"{at}/{number}")
    elif shown != found:
        yield f"{at}: {found!r} is not {shown!r}"


def test_requests_are_answered_as_the_page_shows(
    case: Case, adviser: Account, program: Program
) -> None:
    all_kept()
    Case.objects.filter(pk=case.pk).delete()
    case.pk = CASE
    case.save(force_insert=True)
    caller = program(adviser)
    shown = list(messages())
    assert len(shown) >= 18
    for request, answer in zip(shown[::2], shown[1::2], strict=True):
        method, path = request.start.split(" ", 1)
        headers = {k: v for k, v in request.headers.items() if k == "If-Match"}
        more = {"content_type": request.headers.get("Content-Type", "application/json")}
        body = request.body.encode() if request.body else None
        found = caller(method, path.removeprefix("/api/"), body, headers=headers, **more)
        assert str(found.status_code) == answer.start, (request.start, found.content)
        for name, value in answer.headers.items():
            assert found.headers[name] == value
        wrong = list(differences(json.loads(answer.body), json.loads(found.content)))
        assert wrong == [], request.start


def test_a_difference_is_found() -> None:
    """Show that the comparison can fail."""
    shown = {"a": [1, {"b": ANYTHING}], "…": "…"}
    assert list(differences(shown, {"a": [1, {"b": 2}], "c": 3})) == []
    assert list(differences(shown, {"a": [2, {"b": 2}]})) == ["/a/0: 2 is not 1"]
    assert list(differences({"a": 1}, {"a": 1, "b": 2})) == [": keys ['a', 'b']"]


def rows_of(heading: str) -> list[tuple[str, ...]]:
    table = PAGE.split(f"## {heading}\n", 1)[1].split("\n## ", 1)[0]
    rows = [line.strip("| ").split(" | ") for line in table.splitlines() if line.startswith("| ")]
    return [tuple(cell.strip("`") for cell in row) for row in rows]


def test_every_address_stands_on_the_page() -> None:
    scopes = {"ReadToken": "read", "WriteToken": "write"}
    described = [
        (method.upper(), path, scopes[next(iter(operation["security"][0]))])
        for path, found in api.get_openapi_schema()["paths"].items()
        for method, operation in found.items()
    ]
    assert [row[:3] for row in rows_of("Addresses")][2:] == described


def test_every_kind_of_refusal_and_every_code_stands_on_the_page() -> None:
    rows = rows_of("What goes wrong")
    kinds = [(str(kind), str(status), title) for kind, (status, title) in KINDS.items()]
    assert [row for row in rows if len(row) == 3][2:] == kinds
    codes = {row[0] for row in rows if len(row) == 2 and row[0].startswith("A")}
    sources = (ROOT / "src/comity/desk/api").glob("*.py")
    used = {code for path in sources for code in re.findall(r'"(A\d{3})"', path.read_text())}
    assert codes == used
    assert codes


@pytest.mark.parametrize("word", ["what-if", "briefs", "intake"])
def test_what_the_api_does_not_do_is_said(word: str) -> None:
    assert word in PAGE.split("Not here, but in the desk alone")[1]
    assert not any(word in path for path in api.get_openapi_schema()["paths"])
