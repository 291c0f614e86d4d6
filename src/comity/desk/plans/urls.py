"""Addresses of plans and of calendars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import path

from comity.desk.plans import calendars, changes, payments, results, views

if TYPE_CHECKING:
    from django.urls import URLPattern

PLAN = "cases/<uuid:case_id>/plan"

urlpatterns: list[URLPattern] = [
    path(f"{PLAN}", views.plan, name="desk-case-plan"),
    path(f"{PLAN}/shown", views.shown, name="desk-case-plan-shown"),
    path(f"{PLAN}/what-if", views.what_if, name="desk-case-plan-what-if"),
    path(f"{PLAN}/done", changes.done, name="desk-case-plan-done"),
    path(f"{PLAN}/undone", changes.undone, name="desk-case-plan-undone"),
    path(f"{PLAN}/result", results.result, name="desk-case-plan-result"),
    path(f"{PLAN}/payment", payments.payment, name="desk-case-plan-payment"),
    path(f"{PLAN}/calendars", calendars.of_case, name="desk-case-plan-calendars"),
    path(
        f"{PLAN}/calendars/<int:feed_id>/take-back",
        calendars.take_back,
        name="desk-case-plan-calendars-take-back",
    ),
    path("me/calendars", calendars.mine, name="desk-me-calendars"),
    path(
        "me/calendars/<int:feed_id>/take-back",
        calendars.take_back_mine,
        name="desk-me-calendars-take-back",
    ),
    path("calendar/<slug:secret>.ics", calendars.calendar, name="desk-calendar"),
]
