"""Who may sign in beside having the password."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib.auth.backends import ModelBackend

from comity.store.models import Office

if TYPE_CHECKING:
    from django.http import HttpRequest


class OfficeBackend(ModelBackend):
    """Lets the demo's people in only in the demo: everybody knows their password."""

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        **kwargs: Any,  # noqa: ANN401 - as Django's own
    ) -> Any:  # noqa: ANN401 - an account, which Django's types cannot know
        """Return whose address and password these are, if they may sign in here and now."""
        is_demo = Office.objects.filter(is_demo=True).exists()
        if is_demo != settings.DEMO:
            return None
        return super().authenticate(request, username, password, **kwargs)
