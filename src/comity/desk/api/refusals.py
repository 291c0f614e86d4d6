"""What the API cannot do, as problem details (RFC 9457): one form for every refusal."""

from __future__ import annotations

import json
import logging
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any, Final

from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpResponse

from comity.desk.errors import storage_fault
from comity.files.rendering import as_json
from comity.store.writing import sentence_for

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from comity.core.problems import Problem
    from comity.store.errors import UnreadableError

logger = logging.getLogger("comity.desk")
MEDIA_TYPE: Final = "application/problem+json"
_LONGEST_VALUE: Final = 80


class Kind(StrEnum):
    """What sort of refusal; the end of its type."""

    UNREADABLE_REQUEST = "unreadable-request"
    NO_TOKEN = "no-token"  # noqa: S105 - a name
    BAD_TOKEN = "bad-token"  # noqa: S105 - a name
    WRONG_SCOPE = "wrong-scope"
    NOT_FOR_APPLICANTS = "not-for-applicants"
    NOT_THERE = "not-there"
    METHOD = "method"
    CLOSED = "closed"
    STALE = "stale"
    TAKEN = "taken"
    STALE_PRECONDITION = "stale-precondition"
    TOO_LARGE = "too-large"
    MEDIA_TYPE = "media-type"
    NOT_VALID = "not-valid"
    NO_VERSION = "no-version"
    THROTTLED = "throttled"
    BROKEN = "broken"
    STORAGE = "storage"


KINDS: Final[Mapping[Kind, tuple[int, str]]] = {
    Kind.UNREADABLE_REQUEST: (400, "The request cannot be read"),
    Kind.NO_TOKEN: (401, "A token is needed"),
    Kind.BAD_TOKEN: (401, "The token opens nothing"),
    Kind.WRONG_SCOPE: (403, "The token may not do this"),
    Kind.NOT_FOR_APPLICANTS: (403, "The API is for those who work in the office"),
    Kind.NOT_THERE: (404, "There is nothing here"),
    Kind.METHOD: (405, "This address does not take that method"),
    Kind.CLOSED: (409, "The case is closed"),
    Kind.STALE: (409, "Somebody else has changed this in the meantime"),
    Kind.TAKEN: (409, "The office cannot keep this beside what it has"),
    Kind.STALE_PRECONDITION: (412, "Somebody else has changed this in the meantime"),
    Kind.TOO_LARGE: (413, "The request is too large"),
    Kind.MEDIA_TYPE: (415, "The content is of a kind that is not taken here"),
    Kind.NOT_VALID: (422, "Something in the request has to be mended"),
    Kind.NO_VERSION: (428, "Say which version you have changed"),
    Kind.THROTTLED: (429, "Too many tokens were tried that open nothing"),
    Kind.BROKEN: (500, "Something broke on our side"),
    Kind.STORAGE: (503, "The office's storage does not answer"),
}
"""Status and title of each kind of refusal."""


@dataclass(eq=False)
class Refusal(Exception):  # noqa: N818 - it is what the program is told, not only a fault
    """What is answered in the place of what was asked.

    Parameters
    ----------
    kind : Kind
        What sort of refusal.
    detail : str
        What happened this time, and what to do.
    problems : tuple of mapping
        Each thing to mend.
    current : mapping or None
        What stands there now, where somebody else has changed it.
    headers : mapping
        What else the answer says.
    """

    kind: Kind
    detail: str
    problems: tuple[Mapping[str, Any], ...] = ()
    current: Mapping[str, Any] | None = None
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def status(self) -> int:
        """The status of HTTP."""
        return KINDS[self.kind][0]


def answer_to(refusal: Refusal) -> HttpResponse:
    """Return the problem details of a refusal."""
    status, title = KINDS[refusal.kind]
    said: dict[str, Any] = {
        "type": f"urn:comity:problem:{refusal.kind}",
        "title": title,
        "status": status,
        "detail": refusal.detail,
        "problems": list(refusal.problems),
    }
    if refusal.current is not None:
        said["current"] = refusal.current
    text = json.dumps(said, ensure_ascii=False, cls=DjangoJSONEncoder)
    content = text.encode("utf-8", "backslashreplace")
    response = HttpResponse(content, status=status, content_type=MEDIA_TYPE)
    response.headers["Cache-Control"] = "no-store"
    for name, value in refusal.headers.items():
        response.headers[name] = value
    return response


def problem(code: str, message: str, *, at: str, **more: str) -> dict[str, Any]:
    """Return one thing to mend in a request, in the form of the problems of files.

    Parameters
    ----------
    code, message : str
        Code and sentence.
    at : str
        Where in the request: ``body/version``, ``query/page``.
    **more : str
        Some of got, expected and hint.
    """
    nowhere = dict.fromkeys(("file", "line", "column", "end_column"))
    said = {"code": code, "severity": "error", **nowhere, "at": at, "message": message}
    parts = {name: more.get(name, "") for name in ("got", "expected", "hint")}
    return {**said, **parts, "source": "", "related": []}


def problems_of(problems: Iterable[Problem], *, at: str | None = None) -> list[dict[str, Any]]:
    """Return the problems of a file in the form of those of a request."""
    return [{**each, "at": at} for each in as_json(problems)]


def unreadable(error: UnreadableError) -> Refusal:
    """Return the refusal of a text with problems."""
    n_errors = sum(each.severity == "error" for each in error.problems)
    detail = f"the document has {n_errors} to mend; nothing was changed"
    return Refusal(Kind.NOT_VALID, detail, tuple(problems_of(error.problems, at="body")))


def as_written(value: object) -> str:
    """Return a value of a request as it might be shown, not too long."""
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= _LONGEST_VALUE else f"{text[:_LONGEST_VALUE]}…"


def fault(error: BaseException) -> Refusal:
    """Return the refusal after a fault of the storage, or a mistake of our own."""
    page = storage_fault(error)
    if page is not None:
        cause = error.__cause__ or error
        detail = f"nothing was kept: {sentence_for(cause) or 'wait a moment and send it again'}"
        return Refusal(Kind.STORAGE, detail, headers={"Retry-After": page.headers["Retry-After"]})
    logger.error("the API broke", exc_info=error)
    detail = "what was sent may not have been kept; look before you send it again"
    return Refusal(Kind.BROKEN, detail)
