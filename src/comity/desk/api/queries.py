"""Names of query parameters: one that is mistyped would else pass unseen and filter nothing."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any, Final

from comity.desk.api.refusals import Kind, Refusal, as_written, problem

if TYPE_CHECKING:
    from django.http import HttpRequest
    from ninja import Schema

_KNOWN: Final[dict[str, frozenset[str]]] = {}


def know(name: str, query: type[Schema]) -> None:
    """Keep which parameters the address of a name takes."""
    _KNOWN[name] = frozenset(query.model_fields)


def refuse_unknown(request: HttpRequest) -> None:
    """Refuse parameters that an address does not take.

    Raises
    ------
    Refusal
        With each of them, and what was perhaps meant.
    """
    match = request.resolver_match
    name = "" if match is None or request.method != "GET" else match.url_name
    known = _KNOWN.get(name or "", frozenset())
    mended = tuple(_unknown(each, known) for each in request.GET if each not in known)
    if mended:
        raise Refusal(Kind.NOT_VALID, "some parameters are not known here", mended[:20])


def _unknown(name: str, known: frozenset[str]) -> dict[str, Any]:
    close = difflib.get_close_matches(name, known, n=1)
    return problem(
        "A105",
        "this address takes no such parameter",
        at="query",
        got=as_written(name),
        expected=f"some of {', '.join(sorted(known))}" if known else "no parameters",
        hint=f"did you mean {close[0]}?" if close else "",
    )
