"""Pages for what went wrong: one sentence on what happened, one on what to do."""

from __future__ import annotations

import logging
import sys
from typing import TYPE_CHECKING, Final

from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from comity.store.errors import UnreachableError

if TYPE_CHECKING:
    from django.http import HttpRequest

logger = logging.getLogger("comity.desk")
RETRY_SECONDS: Final = 5
AWAY: Final = "away"
_FULL: Final = ("disk is full", "no space left", "disk full")
_READ_ONLY: Final = ("readonly", "read-only", "permission denied", "unable to open")
_BUSY: Final = ("is locked", "is busy", "deadlock", "timeout")


def _page(status: int, title: str, text: str) -> HttpResponse:
    # Without the request: an error page asks neither the database nor who is there.
    content = render_to_string("errors/error.html", {"title": title, "text": text})
    response = HttpResponse(content, status=status)
    response.headers["Cache-Control"] = "no-store"
    return response


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that the request made no sense."""
    del request, exception
    return _page(
        400,
        _("That request could not be read"),
        _("Go back, reload the page and try once more. Nothing was changed."),
    )


def refused(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that this is not for the person who asks."""
    del request, exception
    return _page(
        403,
        _("This is not open to you"),
        _("If you need it for your work, ask the owner of your office. Nothing was changed."),
    )


def csrf_refused(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that the page was too old, or its cookies are off."""
    del request, reason
    return _page(
        403,
        _("This page had grown too old"),
        _(
            "Nothing was changed. Go back, reload the page and send it again. If that does not"
            " help, allow this site to keep cookies."
        ),
    )


def missing(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that there is no such page, for this person."""
    del request, exception
    return _page(
        404,
        _("There is nothing here"),
        _("The address may be mistyped, or what was here has been moved or removed."),
    )


def broken(request: HttpRequest) -> HttpResponse:
    """Say that we made a mistake, or that the storage has a fault before any view was reached."""
    del request
    return storage_fault(sys.exc_info()[1]) or _page(
        500,
        _("Something broke on our side"),
        _(
            "What you last sent may not have been kept; look before you send it again. The"
            " office's log says when and where this happened."
        ),
    )


def throttled(
    request: HttpRequest,
    response: object | None = None,
    credentials: object | None = None,
    *args: object,
) -> HttpResponse:
    """Say that there were too many attempts to sign in."""
    del request, response, credentials, args
    return _page(
        429,
        _("Too many attempts"),
        _(
            "Signing in was tried too often with a wrong password. Wait a quarter of an hour, then"
            " try again. If it was not you, tell the owner of your office."
        ),
    )


def storage_fault(error: BaseException | None) -> HttpResponse | None:
    """Say what keeps the office from reading or writing; None for what is our own mistake."""
    if not isinstance(error, DatabaseError | InterfaceError | UnreachableError):
        return None
    cause = error.__cause__ if isinstance(error, UnreachableError) else error
    kind = _kind(str(cause or error).casefold())
    if kind == AWAY and not isinstance(error, OperationalError | InterfaceError | UnreachableError):
        return None
    # The kind of fault only: messages of a database may repeat values.
    logger.error("storage fault: %s (%s)", type(cause).__name__, kind)
    response = _page(503, *_in_words(kind))
    response.headers["Retry-After"] = str(RETRY_SECONDS)
    return response


def _kind(said: str) -> str:
    for kind, signs in (("full", _FULL), ("read-only", _READ_ONLY), ("busy", _BUSY)):
        if any(sign in said for sign in signs):
            return kind
    return AWAY


def _in_words(kind: str) -> tuple[str, str]:
    nothing_kept = _("What you last sent was not kept.")
    words = {
        "full": (
            _("The disk of this office is full"),
            _("Whoever looks after the machine has to make room; then send it again."),
        ),
        "read-only": (
            _("The office's files cannot be written"),
            _("Whoever looks after the machine has to allow writing to them; then send it again."),
        ),
        "busy": (
            _("The office is busy just now"),
            _("Somebody else's change is being written. Wait a moment and send it again."),
        ),
        AWAY: (
            _("The office's storage does not answer"),
            _("Wait a moment and try again; if it stays so, tell whoever looks after the machine."),
        ),
    }
    title, advice = words[kind]
    return title, f"{nothing_kept} {advice}"
