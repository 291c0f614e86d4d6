"""Addresses of a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import path

from comity.desk.cases import actions, facts, giving, history, trying, views

if TYPE_CHECKING:
    from django.urls import URLPattern

CASE = "cases/<uuid:case_id>"

urlpatterns: list[URLPattern] = [
    path(f"{CASE}", views.overview, name="desk-case"),
    path(f"{CASE}/answer", views.answer, name="desk-case-answer"),
    path(f"{CASE}/answers", views.answers, name="desk-case-answers"),
    path(f"{CASE}/compare", views.compare, name="desk-case-compare"),
    path(f"{CASE}/papers", views.papers, name="desk-case-papers"),
    path(f"{CASE}/facts", facts.everything, name="desk-case-facts"),
    path(f"{CASE}/facts/<slug:section>/new", facts.new, name="desk-case-facts-new"),
    path(f"{CASE}/facts/<slug:section>/none", facts.none, name="desk-case-facts-none"),
    path(f"{CASE}/facts/<slug:section>", facts.single, name="desk-case-facts-section"),
    path(f"{CASE}/facts/<slug:section>/<slug:entry>", facts.one, name="desk-case-facts-one"),
    path(
        f"{CASE}/facts/<slug:section>/<slug:entry>/remove",
        facts.remove,
        name="desk-case-facts-remove",
    ),
    path(f"{CASE}/what-if", trying.what_if, name="desk-case-what-if"),
    path(f"{CASE}/what-if/<slug:section>", trying.what_if_fact, name="desk-case-what-if-section"),
    path(
        f"{CASE}/what-if/<slug:section>/<slug:entry>",
        trying.what_if_fact,
        name="desk-case-what-if-entry",
    ),
    path(f"{CASE}/brief.pdf", giving.brief, name="desk-case-brief"),
    path(f"{CASE}/message", giving.message, name="desk-case-message"),
    path(f"{CASE}/letter", giving.letter, name="desk-case-letter"),
    path(f"{CASE}/given/<int:given_id>", giving.given, name="desk-case-given"),
    path(f"{CASE}/given/<int:given_id>/settle", giving.settled, name="desk-case-given-settle"),
    path(f"{CASE}/actions", actions.add, name="desk-case-actions"),
    path(f"{CASE}/actions/<int:action_id>", actions.change, name="desk-case-actions-one"),
    path(f"{CASE}/notes", actions.note, name="desk-case-notes"),
    path(f"{CASE}/state", actions.state, name="desk-case-state"),
    path(f"{CASE}/history", history.history, name="desk-case-history"),
]
