"""One's own account."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.shortcuts import render
from django.views.decorators.http import require_safe

from comity.desk.access import signed_in

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@signed_in
@require_safe
def me(request: HttpRequest) -> HttpResponse:
    """Show what is known of the person who asks."""
    return render(request, "accounts/me.html")
