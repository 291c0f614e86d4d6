"""Days and money in print, against CLDR as Babel carries it (from memory for the phrases)."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from django.template import Context, Template, TemplateSyntaxError
from django.utils import translation

from comity.core.days.calendar import FOREVER, day_from_date
from comity.core.eligibility.assessment import Verdict
from comity.desk.templatetags.desk import asset, day, iso_day, moment, money, number, verdict_class

if TYPE_CHECKING:
    from comity.core.days.calendar import Day

DAY = date(2026, 11, 25)


@pytest.mark.parametrize("value", [DAY, day_from_date(DAY), datetime(2026, 11, 25, 12, tzinfo=UTC)])
def test_a_day_is_written_alike_however_it_is_kept(value: date | Day) -> None:
    assert (day(value), day(value, "short"), iso_day(value)) == (
        "25 November 2026",
        "25 Nov 2026",
        "2026-11-25",
    )


@pytest.mark.parametrize("value", [None, FOREVER])
def test_no_day_is_written_as_nothing(value: Day | None) -> None:
    assert (day(value), iso_day(value)) == ("", "")


@pytest.mark.parametrize(
    ("language", "written"),
    [("de", "25 November 2026"), ("fr", "25 novembre 2026"), ("pl", "25 listopada 2026")],
)
def test_months_are_named_in_the_language_of_the_page(language: str, written: str) -> None:
    with translation.override(language):
        assert day(DAY) == written


def test_a_language_that_babel_does_not_know_is_written_as_english() -> None:
    with translation.override("qps-plocm"):
        assert "25 November 2026" in day(DAY)


def test_a_date_keeps_its_order_on_a_page_read_from_right_to_left() -> None:
    with translation.override("ar"):
        assert day(DAY) == "\N{FIRST STRONG ISOLATE}25 نوفمبر 2026\N{POP DIRECTIONAL ISOLATE}"


def test_a_moment_is_written_to_the_minute() -> None:
    assert moment(datetime(2026, 11, 25, 9, 5, tzinfo=UTC)) == "25 Nov 2026, 09:05"
    assert moment(None) == ""


@pytest.mark.parametrize(
    ("minor", "currency", "written"),
    [(123_450, "EUR", "€1,234.50"), (1500, "JPY", "JP¥1,500"), (1234, "TND", "TND1.234")],
)
def test_money_has_the_decimals_of_its_currency(minor: int, currency: str, written: str) -> None:
    """Decimals by ISO 4217: two for EUR, none for JPY, three for TND."""
    assert money(minor, currency) == written


def test_no_amount_is_written_as_nothing() -> None:
    assert (money(None, "EUR"), number(None)) == ("", "")


def test_numbers_are_grouped_as_the_reader_groups_them() -> None:
    with translation.override("de"):
        assert number(Decimal("12345.6")) == "12.345,6"


@pytest.mark.parametrize("verdict", Verdict)
def test_every_verdict_has_a_word_a_sign_and_a_class(verdict: Verdict) -> None:
    template = Template('{% include "_verdict.html" %}')
    shown = template.render(Context({"verdict": verdict}))
    plain = template.render(Context({"verdict": verdict.value, "plain": True}))
    assert f"verdict-{verdict_class(verdict)}" in shown
    assert f"verdict-{verdict_class(verdict)}" in plain
    assert "<path" in shown


def test_without_rules_the_page_says_so_and_gives_no_verdict() -> None:
    shown = Template('{% include "_verdict.html" %}').render(Context({"verdict": None}))
    assert "No rules read yet" in shown
    assert "verdict-none" in shown


def test_an_asset_is_named_with_its_digest() -> None:
    assert asset("desk/desk.css").startswith("/static/desk/desk.css?")


def test_an_asset_that_is_not_there_is_a_mistake_of_the_template() -> None:
    with pytest.raises(TemplateSyntaxError, match=r"there is no static file desk/none\.css"):
        asset("desk/none.css")
