"""Addresses of the API. What is no address of it is told in its own form, too."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Final

from django.http import HttpResponse, JsonResponse
from django.urls import URLPattern, include, path, re_path
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_safe

from comity.desk.access import anyone
from comity.desk.api.refusals import Kind, Refusal, answer_to, fault
from comity.desk.api.site import api, not_there

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest, HttpResponseBase

_NOT_ALLOWED: Final = 405


@anyone
@require_safe
def description(request: HttpRequest) -> HttpResponse:
    """Return the description of the API: the same for everybody, and of nobody."""
    del request
    return JsonResponse(api.get_openapi_schema())


@csrf_exempt
@anyone
def missing(request: HttpRequest, rest: str) -> HttpResponse:
    """Say that there is no such address."""
    del request, rest
    return answer_to(not_there())


def speaking(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Answer HEAD as GET, and let a refused method be problem details."""

    @wraps(view)
    def answered(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponseBase:
        is_head = request.method == "HEAD"
        if is_head:
            request.method = "GET"
        try:
            response = view(request, *args, **kwargs)
        except Exception as error:
            return answer_to(fault(error))
        if is_head:
            request.method = "HEAD"
            _without_content(response)
        if response.status_code == _NOT_ALLOWED:
            allowed = response.headers["Allow"]
            return answer_to(Refusal(Kind.METHOD, f"use {allowed}", headers={"Allow": allowed}))
        return response

    return answered


def _without_content(response: HttpResponseBase) -> None:
    """Take the content out of an answer; its length is told as it would be."""
    if isinstance(response, HttpResponse):
        response.headers["Content-Length"] = str(len(response.content))
        response.content = b""


def _patterns() -> list[URLPattern]:
    found = [each for each in api.urls[0] if isinstance(each, URLPattern)]
    patterns = [each for each in found if each.name != "api-root"]  # it leads to no page
    for each in patterns:
        each.callback = speaking(each.callback)
    return patterns


urlpatterns: Final = [
    path("api/openapi.json", description, name="api-openapi"),
    path("api/", include((_patterns(), "api"), namespace="api")),
    re_path(r"^api/(?P<rest>.*)$", missing, name="api-missing"),
]
