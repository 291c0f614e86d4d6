"""Charts as the pages mount them, under the desk's own policy: no expression is evaluated."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import pytest
from django.http import HttpResponse
from django.template import engines
from django.urls import path

from comity.desk.access import anyone

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest
    from playwright.sync_api import Page
    from pytest_django import Settings

BARS: Final = {
    "width": 300,
    "height": 100,
    "data": [
        {"name": "bars", "values": [{"at": 0, "word": "first"}, {"at": 150, "word": "second"}]}
    ],
    "marks": [
        {
            "type": "rect",
            "from": {"data": "bars"},
            "encode": {
                "enter": {
                    "x": {"field": "at"},
                    "width": {"value": 100},
                    "y": {"value": 10},
                    "height": {"value": 40},
                    "tooltip": {"signal": "'The ' + datum.word + ' bar'"},
                },
            },
        }
    ],
}
PAGE: Final = """
{% extends "base.html" %}
{% block title %}Chart{% endblock title %}
{% block assets %}{% include "_assets.html" with charts=True %}{% endblock assets %}
{% block main %}
  <h1>Chart</h1>
  {% include part %}
  <button class="button" hx-get="/chart/part" hx-target="#part" hx-swap="outerHTML">Again</button>
{% endblock main %}
"""
PART: Final = """
<div id="part" data-say="There is a new chart.">
  <div class="strip" data-chart="bars" tabindex="0" role="img" aria-label="Two bars"></div>
  {{ spec|json_script:"bars" }}
</div>
"""


def shown(template: str, request: HttpRequest) -> HttpResponse:
    django = engines["django"]
    context: dict[str, Any] = {"spec": BARS, "part": django.from_string(PART)}
    return HttpResponse(django.from_string(template).render(context, request))


@anyone
def chart(request: HttpRequest) -> HttpResponse:
    return shown(PAGE, request)


@anyone
def chart_part(request: HttpRequest) -> HttpResponse:
    return shown(PART, request)


urlpatterns = [path("chart", chart, name="desk-me"), path("chart/part", chart_part)]


@pytest.fixture
def page(settings: Settings, open_page: Callable[..., Page]) -> Page:
    settings.ROOT_URLCONF = __name__
    return open_page("/chart")


def test_a_chart_is_drawn_without_leave_to_evaluate_text(page: Page) -> None:
    page.locator(".strip svg path[d]").first.wait_for()
    assert page.locator(".strip svg .mark-rect path").count() == 2


def test_a_mark_speaks_when_pointed_at(page: Page) -> None:
    page.locator(".strip svg .mark-rect path").nth(1).hover()
    assert page.locator(".chart-word").inner_text() == "The second bar"
    page.mouse.move(0, 0)
    page.locator(".chart-word").wait_for(state="hidden")


def test_marks_are_walked_through_by_keyboard_and_said_aloud(page: Page) -> None:
    page.locator(".strip svg").wait_for()
    page.locator(".strip").focus()
    said = []
    for key in ("ArrowRight", "ArrowRight", "ArrowRight", "ArrowLeft"):
        page.keyboard.press(key)
        said.append(page.locator("#said").inner_text())
    assert said == ["The first bar", "The second bar", "The first bar", "The second bar"]
    assert page.locator(".chart-word").inner_text() == "The second bar"
    page.keyboard.press("Escape")
    assert page.locator(".chart-word").is_hidden()


def test_a_chart_is_drawn_again_when_its_part_of_the_page_is_renewed(page: Page) -> None:
    page.locator(".strip svg").wait_for()
    page.evaluate("document.querySelector('.strip').dataset.old = 'yes'")
    page.get_by_role("button", name="Again").click()
    page.locator(".strip:not([data-old]) svg").wait_for()
    assert page.locator(".strip svg").count() == 1
    assert page.locator("#said").inner_text() == "There is a new chart."
