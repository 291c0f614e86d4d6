"""What happens around every page: who is let in, for how long, in which language, and faults."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.shortcuts import resolve_url
from django.utils import translation
from django.utils.translation import gettext as _
from django_htmx.http import HttpResponseClientRedirect

from comity.desk import clock
from comity.desk.errors import storage_fault
from comity.store.models import Account

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from django.http import HttpRequest, HttpResponse, HttpResponseBase

    Answer = Callable[[HttpRequest], HttpResponseBase]

BEGAN: Final = "began"
SEEN: Final = "seen"
API: Final = "/api/"


class SignInRequired(LoginRequiredMiddleware):
    """Closes every page but those marked; programs show tokens instead."""

    def process_view(self, request: Any, *view: Any) -> Any:  # noqa: ANN401 - Django's hook
        """Send who has not signed in to the sign-in page."""
        if request.path.startswith(API):
            return None
        return super().process_view(request, *view)

    def handle_no_permission(self, request: Any, view_func: Any) -> Any:  # noqa: ANN401
        """Lead the whole page there, also when only a part of it was asked for."""
        if request.htmx:
            return HttpResponseClientRedirect(resolve_url(settings.LOGIN_URL))
        return super().handle_no_permission(request, view_func)


def session_limits(answer: Answer) -> Answer:
    """End a session that lay idle, or lasted longer than a working day."""

    def limited(request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated:
            _keep_or_end(request)
        return answer(request)

    return limited


def _keep_or_end(request: HttpRequest) -> None:
    moment = clock.instant().timestamp()
    began = request.session.setdefault(BEGAN, moment)
    seen = request.session.setdefault(SEEN, moment)
    if (
        moment - seen > settings.SESSION_IDLE_SECONDS
        or moment - began > settings.SESSION_COOKIE_AGE
    ):
        logout(request)
        messages.info(request, _("You were signed out after a while, to keep things safe."))
    elif moment - seen > settings.SESSION_SEEN_EVERY_SECONDS:
        request.session[SEEN] = moment


def own_language(answer: Answer) -> Answer:
    """Speak the language that the person chose for themselves."""

    def speaking(request: HttpRequest) -> HttpResponseBase:
        account = request.user
        if isinstance(account, Account) and account.language in dict(settings.LANGUAGES):
            translation.activate(account.language)
            request.LANGUAGE_CODE = translation.get_language() or settings.LANGUAGE_CODE
        return answer(request)

    return speaking


def never_stored(answer: Answer) -> Answer:
    """Keep pages out of every cache; what is the same for everybody is served before this."""

    def private(request: HttpRequest) -> HttpResponseBase:
        response = answer(request)
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    return private


class StorageFaults:
    """Answers a view's fault with a clear page when the database is locked, read-only or full.

    Faults of other middleware, such as a session that cannot be read, come to `errors.broken`.
    """

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Let the request pass."""
        return self.answer(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Take a view's fault before Django makes a nameless error of it."""
        del request
        return storage_fault(error)
