"""The desk's addresses, and an empty page for people who signed in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import HttpResponse
from django.template import engines
from django.urls import path

from comity.desk import urls
from comity.desk.access import signed_in

if TYPE_CHECKING:
    from django.http import HttpRequest

EMPTY = engines["django"].from_string('{% extends "base.html" %}')


@signed_in
def empty(request: HttpRequest) -> HttpResponse:
    """Show what every page has, and nothing else."""
    return HttpResponse(EMPTY.render({}, request))


urlpatterns = [*urls.urlpatterns, path("bench/empty", empty, name="desk-home-bench")]
handler400, handler403 = urls.handler400, urls.handler403
handler404, handler500 = urls.handler404, urls.handler500
