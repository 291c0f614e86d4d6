"""Bodies of requests: strict JSON of decent depth, or an applicant file as YAML."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from ninja.parser import Parser

from comity.desk.api.refusals import Kind, Refusal, as_written, problem

if TYPE_CHECKING:
    from django.http import HttpRequest

JSON: Final = "application/json"
YAML: Final = "application/yaml"
TAKE_YAML: Final = frozenset({"api-applicants", "api-case-document"})
"""The addresses that take an applicant file as it is."""
MAX_DEPTH: Final = 40
_ALLOWED: Final = frozenset("\n\r\t")
_FIRST_PRINTABLE: Final = 0x20
_SURROGATES: Final = range(0xD800, 0xE000)


class StrictParser(Parser):
    """Reads what RFC 8259 calls JSON, less what two programs would understand differently."""

    def parse_body(self, request: HttpRequest) -> Any:  # noqa: ANN401 - JSON is anything
        """Return what stands in a body; a document in YAML as `text`."""
        match = request.resolver_match
        takes_yaml = match is not None and match.url_name in TAKE_YAML
        if takes_yaml and request.content_type == YAML:
            return {"text": _decoded(request.body)}
        if request.content_type != JSON:
            wanted = f"{JSON} or {YAML}" if takes_yaml else JSON
            detail = f"the content is {request.content_type or 'of no kind'}; send {wanted}"
            raise Refusal(Kind.MEDIA_TYPE, detail)
        return read_json(_decoded(request.body))


def read_json(text: str) -> Any:  # noqa: ANN401 - JSON is anything
    """Return what a text of JSON says.

    Raises
    ------
    Refusal
        For what is no JSON, names a key twice, lies too deep or holds signs no text may hold.
    """
    try:
        found = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    except RecursionError as error:
        raise _refused(
            says="it is nested too deeply", expected=f"at most {MAX_DEPTH} levels"
        ) from error
    except ValueError as error:
        raise _refused(says=str(error), expected="JSON as in RFC 8259") from error
    _check(found)
    return found


def _decoded(body: bytes) -> str:
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        says = f"byte {error.start} is not UTF-8"
        raise _refused(says=says, expected="text in UTF-8") from error


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _value in pairs]
        twice = next(name for name in found if names.count(name) > 1)
        msg = f"the key {as_written(twice)} stands there twice"
        raise ValueError(msg)
    return found


def _no_number(word: str) -> float:
    msg = f"{word} is no number"
    raise ValueError(msg)


def _check(found: object) -> None:
    """Refuse what lies too deep, and texts with signs that no file may hold."""
    waiting: list[tuple[object, int]] = [(found, 1)]
    while waiting:
        value, depth = waiting.pop()
        if depth > MAX_DEPTH:
            raise _refused(says="it is nested too deeply", expected=f"at most {MAX_DEPTH} levels")
        if isinstance(value, str):
            _check_text(value)
        elif isinstance(value, list):
            waiting += [(each, depth + 1) for each in value]
        elif isinstance(value, dict):
            waiting += [(each, depth + 1) for each in (*value, *value.values())]


def _check_text(text: str) -> None:
    for sign in text:
        number = ord(sign)
        if (number < _FIRST_PRINTABLE and sign not in _ALLOWED) or number in _SURROGATES:
            shown = f"U+{number:04X}"
            raise _refused(
                says=f"a text holds {shown}", expected="text of letters, signs and line ends"
            )


def _refused(*, says: str, expected: str) -> Refusal:
    mended = problem("A101", says, at="body", expected=expected)
    return Refusal(Kind.UNREADABLE_REQUEST, f"{says}; nothing was changed", (mended,))
