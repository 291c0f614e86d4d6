"""What every page's frame does with the parts that are exchanged in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest
from django import forms
from django.http import HttpResponse
from django.template import engines
from django.urls import path

from comity.desk.access import anyone

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest
    from playwright.sync_api import Dialog, Page
    from pytest_django import Settings

PAGE: Final = """
{% extends "base.html" %}
{% block title %}Parts{% endblock title %}
{% block main %}
  <h1>Parts</h1>
  <button class="button" hx-get="/gone" hx-target="#part">Gone</button>
  <form class="form" method="post" action="/ask" data-ask="Really?">
    {% csrf_token %}<button class="button button-danger" type="submit">Ask</button>
  </form>
  <form class="form" id="part" hx-post="/part" hx-swap="outerHTML" novalidate>
    {% include "_form.html" %}
    <button class="button" type="submit">Send</button>
  </form>
{% endblock main %}
"""
PART: Final = """
<form class="form" id="part" hx-post="/part" hx-swap="outerHTML" novalidate>
  {% include "_form.html" %}
  <button class="button" type="submit">Send</button>
</form>
"""


class DayForm(forms.Form):
    name = forms.CharField(label="Name", required=False)
    day = forms.DateField(label="Day", help_text="As 2026-11-25.")


def shown(template: str, request: HttpRequest, form: forms.Form) -> HttpResponse:
    text = engines["django"].from_string(template).render({"form": form}, request)
    return HttpResponse(text, status=422 if form.errors else 200)


@anyone
def page_view(request: HttpRequest) -> HttpResponse:
    return shown(PAGE, request, DayForm())


@anyone
def part_view(request: HttpRequest) -> HttpResponse:
    form = DayForm(request.POST)
    return shown(PART if form.errors else "<p id='part'>Kept.</p>", request, form)


@anyone
def ask_view(request: HttpRequest) -> HttpResponse:
    del request
    return HttpResponse("<!doctype html><title>Done</title><h1>Done</h1>")


urlpatterns = [
    path("parts", page_view, name="desk-me"),
    path("part", part_view),
    path("ask", ask_view),
]


@pytest.fixture
def page(settings: Settings, open_page: Callable[..., Page]) -> Page:
    settings.ROOT_URLCONF = __name__
    return open_page("/parts")


def test_a_part_that_was_not_accepted_is_shown_with_the_focus_on_what_is_amiss(page: Page) -> None:
    page.get_by_role("button", name="Send").click()
    field = page.get_by_label("Day")
    page.locator("#id_day[aria-invalid=true]").wait_for()
    assert page.evaluate("document.activeElement.id") == "id_day"
    assert field.get_attribute("aria-describedby") == "id_day-hint id_day-error"
    assert page.locator("#id_day-error").inner_text() == "This field is required."


def test_a_part_that_was_accepted_takes_its_place(page: Page) -> None:
    page.get_by_label("Day").fill("2026-11-25")
    page.get_by_role("button", name="Send").click()
    page.get_by_text("Kept.").wait_for()


def test_a_part_that_cannot_be_had_is_told_and_nothing_replaced(page: Page) -> None:
    page.get_by_role("button", name="Gone").click()
    alert = page.locator("#fault")
    alert.wait_for(state="visible")
    assert alert.inner_text().startswith("That did not work. Nothing was changed;")
    assert page.get_by_label("Day").is_visible()


def test_what_cannot_be_undone_is_asked_first(page: Page) -> None:
    asked: list[str] = []

    def refuse(dialog: Dialog) -> None:
        asked.append(dialog.message)
        dialog.dismiss()

    page.once("dialog", refuse)
    page.get_by_role("button", name="Ask").click()
    assert asked == ["Really?"]
    assert page.get_by_role("heading", name="Parts").is_visible()
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Ask").click()
    page.get_by_role("heading", name="Done").wait_for()
