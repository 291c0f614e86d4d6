"""Addresses of what the office keeps of a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import path

from comity.desk.keeping import erasing, views

if TYPE_CHECKING:
    from django.urls import URLPattern

DATA = "cases/<uuid:case_id>/data"

urlpatterns: list[URLPattern] = [
    path(DATA, views.data, name="desk-case-data"),
    path(f"{DATA}/export", views.export, name="desk-case-data-export"),
    path(f"{DATA}/consents", views.agree, name="desk-case-data-consents"),
    path(
        f"{DATA}/consents/<int:consent_id>/withdraw",
        views.withdraw,
        name="desk-case-data-consents-withdraw",
    ),
    path(f"{DATA}/legal-hold", views.legal_hold, name="desk-case-data-hold"),
    path(f"{DATA}/erase", erasing.erase, name="desk-case-data-erase"),
    path("office/erased", erasing.erased, name="desk-case-data-erased"),
]
