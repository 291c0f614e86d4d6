"""Who gets in: a token, never a cookie; guesses are counted and soon no longer looked at."""

from __future__ import annotations

import hashlib
import logging
import re
from typing import TYPE_CHECKING, Any, Final

from django.core.cache import cache
from ninja.security import HttpBearer

from comity.desk import clock
from comity.desk.api.queries import refuse_unknown
from comity.desk.api.refusals import Kind, Refusal
from comity.store import tokens

if TYPE_CHECKING:
    from django.http import HttpRequest

    from comity.store.models import ApiToken

logger = logging.getLogger("comity.desk")
FAILURES: Final = 20
WINDOW_SECONDS: Final = 15 * 60
_KNOWN_SECONDS: Final = 24 * 3600
_SHAPE: Final = re.compile(r"[A-Za-z0-9._~+/-]{1,200}=*")  # RFC 6750, section 2.1
_REALM: Final = 'Bearer realm="comity"'


class _Bearer(HttpBearer):
    """Takes the token of a member of the office, for one scope."""

    scope = tokens.READ

    def __call__(self, request: HttpRequest) -> Any:  # noqa: ANN401 - as ninja has it
        """Return the token's row; refuse who brings none."""
        found = super().__call__(request)
        if found is None:
            detail = "send the header Authorization: Bearer, and a token from your own page"
            raise Refusal(Kind.NO_TOKEN, detail, headers={"WWW-Authenticate": _REALM})
        return found

    def authenticate(self, request: HttpRequest, token: str) -> ApiToken:
        """Return the row of a token that opens; let its owner be who asks."""
        source = _key("failures", request.META.get("REMOTE_ADDR", ""))
        known = _key("known", token)
        if cache.get(source, 0) >= FAILURES and not cache.get(known):
            detail = "wait a quarter of an hour; tokens that opened before still do"
            raise Refusal(Kind.THROTTLED, detail, headers={"Retry-After": str(WINDOW_SECONDS)})
        row = _checked(token, self.scope)
        if row is None:
            raise _failed(source)
        cache.set(known, 1, _KNOWN_SECONDS)
        if not row.account.is_member:
            detail = "applicants see their own case in the browser; ask the office for the rest"
            raise Refusal(Kind.NOT_FOR_APPLICANTS, detail)
        refuse_unknown(request)
        request.user = row.account
        return row


class ReadToken(_Bearer):
    """Opens what only reads."""

    scope = tokens.READ


class WriteToken(_Bearer):
    """Opens what changes something."""

    scope = tokens.WRITE


def _checked(token: str, scope: str) -> ApiToken | None:
    """Return the row of a token that opens for a scope; None for one that opens nothing at all."""
    if not _SHAPE.fullmatch(token):
        return None
    now = clock.now()
    row = tokens.check(token, scope=scope, now=now)
    if row is None and any(tokens.check(token, scope=other, now=now) for other in tokens.SCOPES):
        detail = f"it lacks the scope {scope}; issue another one on your own page"
        told = f'{_REALM}, error="insufficient_scope", scope="{scope}"'
        raise Refusal(Kind.WRONG_SCOPE, detail, headers={"WWW-Authenticate": told})
    return row


def _failed(source: str) -> Refusal:
    """Count a token that opened nothing."""
    cache.add(source, 0, WINDOW_SECONDS)
    try:
        n_failures = cache.incr(source)
    except ValueError:  # it went between the two lines
        n_failures = 1
    if n_failures == FAILURES:
        logger.warning("the API's door is shut to unknown tokens from one place for a while")
    detail = "it is unknown, over or taken back; issue another one on your own page"
    told = f'{_REALM}, error="invalid_token"'
    return Refusal(Kind.BAD_TOKEN, detail, headers={"WWW-Authenticate": told})


def _key(sort: str, value: str) -> str:
    """Return a name for the cache that tells nothing of what it is about."""
    digest = hashlib.sha256(value.encode("utf-8", "backslashreplace")).hexdigest()
    return f"api-{sort}-{digest}"
