"""Reading what was typed after the options of ``comity plan``."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import typer

from comity.cli.options import day_of, refuse
from comity.core.days.calendar import Day, iso
from comity.core.declaring import SCALARS, Money
from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.core.declaring.scalar import ScalarError
from comity.core.plan.exchange import NO_RATES, Rates
from comity.files.exchange_rates import read_rates

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from comity.core.days.dayset import Run


def minutes_of(text: str | None) -> int | None:
    """Return the minutes of study a week."""
    if text is None:
        return None
    try:
        minutes = int(SCALARS["hours"].parse(text))
    except ScalarError as error:
        raise typer.BadParameter(str(error), param_hint="--hours-a-week") from None
    if not 0 < minutes <= 7 * 24 * 60:
        message = "a week has between 0 and 168 hours to study in."
        raise typer.BadParameter(message, param_hint="--hours-a-week")
    return minutes


def currency_of(text: str | None) -> str | None:
    """Return the code of a currency."""
    if text is None:
        return None
    code = text.strip().upper()
    if code not in CURRENCY_DECIMALS:
        message = f"{text!r} is no currency code of ISO 4217; write one as EUR."
        raise typer.BadParameter(message, param_hint="--currency")
    return code


def savings_of(text: str | None, currency: str | None) -> Money | None:
    """Return an amount a month; its currency stands beside it or is the one to count in."""
    if text is None:
        return None
    has_currency = re.search("[A-Za-z]", text) is not None
    if not has_currency and currency is None:
        message = "say in which currency: --savings-a-month 220 --currency EUR."
        raise typer.BadParameter(message, param_hint="--savings-a-month")
    try:
        found: Money = SCALARS["money"].parse(text if has_currency else f"{text} {currency}")
    except ScalarError as error:
        raise typer.BadParameter(str(error), param_hint="--savings-a-month") from None
    return found


def rates_of(path: Path | None, *, as_data: bool) -> Rates:
    """Return the exchange rates of a file; what is wrong in it ends the command with status 1."""
    if path is None:
        return NO_RATES
    found, problems = read_rates(path)
    if problems:
        try:
            text = path.read_text(encoding="utf-8", errors="replace")
        except OSError:
            text = ""
        refuse(problems, {str(path): text}, as_data=as_data)
    return found


def blocked_of(texts: Iterable[str] | None) -> tuple[Run, ...]:
    """Return ranges of days, in order, as half-open runs; a single day is a range of one."""
    return tuple(sorted(_range(text) for text in texts or ()))


def _range(text: str) -> Run:
    first, dots, last = text.partition("..")
    start = day_of(first, "--blocked")
    end = day_of(last if dots else first, "--blocked")
    assert start is not None  # noqa: S101 - a text gives a day
    assert end is not None  # noqa: S101
    if end < start:
        message = (
            f"{text}: the last blocked day, {iso(end)}, lies before the first, {iso(start)};"
            " write the earlier day first, as 2026-12-20..2027-01-03."
        )
        raise typer.BadParameter(message, param_hint="--blocked")
    return start, end + 1


def sitting_of(text: str | None, option: str, *, today: Day) -> Day | None:
    """Return the day of a sitting, which still lies ahead."""
    day = day_of(text, option)
    if day is not None and day < today:
        message = f"{iso(day)} is past; name a sitting on or after {iso(today)}."
        raise typer.BadParameter(message, param_hint=option)
    return day


def sittings_of(texts: Iterable[str] | None, option: str, *, today: Day) -> tuple[Day, ...]:
    """Return the days of some sittings, by day."""
    days = (sitting_of(text, option, today=today) for text in texts or ())
    return tuple(sorted({day for day in days if day is not None}))
