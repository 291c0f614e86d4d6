"""Changes name the version they were made from, so that nobody's work is written over unseen."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.desk.api.refusals import Kind, Refusal, as_written, problem

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest

_TAG: Final = r'(?:W/)?"[^"]*"'
_TAGS: Final = re.compile(rf"\s*{_TAG}\s*(?:,\s*{_TAG}\s*)*")
_STRONG: Final = re.compile(r'(?<!W/)"([^"]*)"')


@dataclass(frozen=True, slots=True)
class Based:
    """The version a change was made from, and what to call it when it no longer stands."""

    version: int
    kind: Kind

    def stale(self, current: Mapping[str, Any]) -> Refusal:
        """Return the refusal, with what stands there now."""
        detail = (
            f"it is at version {current['version']} now; look at what stands there, make your"
            " change on that and send it again. Nothing was changed"
        )
        return Refusal(self.kind, detail, current=current)


def based_on(request: HttpRequest, sent: int | None, *, standing: int) -> Based:
    """Return the version that a change was made from: by If-Match, or as `version` in the body.

    Parameters
    ----------
    request : HttpRequest
        May carry If-Match; it then has to name the version that stands there.
    sent : int or None
        The version in the body.
    standing : int
        The version there is. Where the header does not name it, the returned one is another.

    Raises
    ------
    Refusal
        When no version is named at all, or the header is no list of entity tags.
    """
    header = request.headers.get("If-Match")
    if header is None:
        if sent is None:
            raise _none()
        return Based(sent, Kind.STALE)
    if header.strip() == "*":
        raise _none()
    if not _TAGS.fullmatch(header):
        raise _no_tag(header)
    names_it = str(standing) in _STRONG.findall(header)
    if names_it and sent not in {None, standing}:
        return Based(sent or 0, Kind.STALE)
    return Based(standing if names_it else 0, Kind.STALE_PRECONDITION)


def _none() -> Refusal:
    detail = 'send If-Match with the ETag you were given (as "3"), or version in the body'
    return Refusal(Kind.NO_VERSION, detail)


def _no_tag(header: str) -> Refusal:
    mended = problem(
        "A101",
        "If-Match is no list of entity tags",
        at="header/If-Match",
        got=as_written(header),
        expected='"3", in quotes',
    )
    return Refusal(Kind.UNREADABLE_REQUEST, "the header cannot be read", (mended,))
