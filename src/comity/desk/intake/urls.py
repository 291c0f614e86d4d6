"""Addresses of the intake."""

from __future__ import annotations

from django.urls import path

from comity.desk.intake import views

urlpatterns = [
    path("cases/<uuid:case_id>/intake", views.intake, name="desk-intake"),
    path("cases/<uuid:case_id>/intake/back", views.intake_back, name="desk-intake-back"),
    path("cases/<uuid:case_id>/intake/answers", views.intake_answers, name="desk-intake-answers"),
]
