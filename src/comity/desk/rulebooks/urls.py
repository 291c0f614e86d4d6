"""Addresses of the rulebooks."""

from __future__ import annotations

from django.urls import path

from comity.desk.rulebooks import editing, impact, states, views

EDITION = "rulebooks/<str:authority>/<str:edition>"

urlpatterns = [
    path("rulebooks", views.rulebooks, name="desk-rulebooks"),
    path("rulebooks/new", editing.new, name="desk-rulebook-new"),
    path("rulebooks/check", editing.check, name="desk-rulebook-check"),
    path("rulebooks/refresh", states.refresh, name="desk-rulebook-refresh"),
    path(EDITION, views.edition_page, name="desk-rulebook"),
    path(f"{EDITION}/edit", editing.edit, name="desk-rulebook-edit"),
    path(f"{EDITION}/new-from", editing.new_from, name="desk-rulebook-new-from"),
    path(f"{EDITION}/diff/<str:other>", views.diff, name="desk-rulebook-diff"),
    path(f"{EDITION}/impact", impact.impact, name="desk-rulebook-impact"),
    path(f"{EDITION}/impact/part", impact.part, name="desk-rulebook-impact-part"),
    path(f"{EDITION}/put-in-force", states.put_edition_in_force, name="desk-rulebook-force"),
    path(f"{EDITION}/withdraw", states.withdraw_edition, name="desk-rulebook-withdraw"),
]
