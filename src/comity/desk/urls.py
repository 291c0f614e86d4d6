"""The desk's addresses, one list a slice."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.urls import include, path

if TYPE_CHECKING:
    from django.urls import URLPattern, URLResolver

SLICES: Final = (
    "accounts",
    "office",
    "needs",
    "applicants",
    "cases",
    "plans",
    "keeping",
    "intake",
    "rulebooks",
    "mock_exams",
    "api",
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include(f"comity.desk.{name}.urls")) for name in SLICES
]

handler400 = "comity.desk.errors.bad_request"
handler403 = "comity.desk.errors.refused"
handler404 = "comity.desk.errors.missing"
handler500 = "comity.desk.errors.broken"
