"""Words for the values of requirements: lists, hours, shares, windows, days of the year."""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import TypeVar

from comity.core.days.calendar import date_from_day
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring.quantities import write_decimal
from comity.core.rulebook.kinds.practising import RegistrationScope, Scope

Value = TypeVar("Value")
_MONTH_AND_DAY = re.compile(r"(\d\d)-(\d\d)")
_YEARS_OF_A_DECADE = 9  # from its first to its last
_DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def given(value: Value | None, say: Callable[[Value], str]) -> str:
    """Return what is said of a value, or nothing where it is left out."""
    return "" if value is None else say(value)


def run_on(*pieces: str, by: str = " ") -> str:
    """Return the pieces which say something, one after the other."""
    return by.join(piece for piece in pieces if piece)


def either(words: Iterable[str]) -> str:
    """Return ``a, b or c``."""
    return _joined(tuple(words), "or")


def together(words: Iterable[str]) -> str:
    """Return ``a, b and c``."""
    return _joined(tuple(words), "and")


def _joined(words: tuple[str, ...], last: str) -> str:
    if len(words) < 2:  # noqa: PLR2004  (there is nothing to join)
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def opened(text: str) -> str:
    """Return a text with a capital letter first, the rest as it is."""
    return text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """Return a text with a small letter first, to go on after a comma or a colon."""
    return text[:1].lower() + text[1:]


def closed(text: str) -> str:
    """Return a text with a full stop, unless it ends a sentence by itself."""
    return text if text.endswith((".", ":", "?", "!")) else f"{text}."


def unstopped(text: str) -> str:
    """Return a text of the file without its full stop, so that a sentence may go on after it."""
    return text.rstrip().removesuffix(".")


def spoken(name: str) -> str:
    """Return an id as words: ``recent-practice`` is "recent practice"."""
    return name.replace("-", " ")


def hours(minutes: int) -> str:
    """Return ``37.5 hours``, or ``37:20 hours`` where no decimal number says it."""
    number = write_decimal(Fraction(minutes, 60))
    if "/" in number:
        number = f"{minutes // 60}:{minutes % 60:02}"
    return f"{number} {'hour' if number == '1' else 'hours'}"


def share(part: Fraction) -> str:
    """Return a share as people say it: ``half``, ``a third``, ``80 %``."""
    named = {Fraction(1, 2): "half", Fraction(1, 3): "a third", Fraction(2, 3): "two thirds"}
    percent = write_decimal(part * 100)
    plain = f"{part.numerator}/{part.denominator}" if "/" in percent else f"{percent} %"
    return named.get(part, plain)


def number(value: Fraction) -> str:
    """Return a number without a needless end."""
    return write_decimal(value)


def years(period: Period) -> str:
    """Return whole years as years: ``18 years``; else the period's own words."""
    count, rest = divmod(period.months, 12)
    if rest or period.days or not count:
        return period.words
    return f"{count} {'year' if count == 1 else 'years'}"


def before(period: Period, at: str) -> str:
    """Return the window which trails the check point."""
    return f"within the {one_unsaid(period)} before {at}"


def one_unsaid(period: Period) -> str:
    """Return a period to follow "the" or "the last": ``24 months``, and ``year`` for one year."""
    return period.words.removeprefix("1 ")


def day_itself(at: str) -> str:
    """Return the sentence which says that a trailing window takes in its last day."""
    return f"The day of {at} itself counts"


def is_month_and_day(text: str) -> bool:
    """Tell whether a text names a day which every year has, as month and day."""
    match = _MONTH_AND_DAY.fullmatch(text)
    if match is None:
        return False
    month, day = int(match[1]), int(match[2])
    return 1 <= month <= len(_DAYS_IN_MONTH) and 1 <= day <= _DAYS_IN_MONTH[month - 1]


def day_of_year(text: str) -> str:
    """Return ``05-31`` as "31 May"; a text that is no day of a year stays as it is."""
    if not is_month_and_day(text):
        return text
    month, day = text.split("-")
    return f"{int(day)} {month_name[int(month)]}"


def registration_scope(which: RegistrationScope | None) -> str:
    """Return which registrations count, to follow the word "registration"; empty for all."""
    if which is None:
        return ""
    return run_on(
        given(which.titles, lambda words: f"as {either(words)}"),
        given(which.authorities, lambda names: f"with {either(names)}"),
        given(which.countries, lambda codes: f"in {either(codes)}"),
        given(which.categories, lambda names: f"in the category {either(names)}"),
        given(which.excluded_categories, lambda names: f"not in the category {either(names)}"),
        by=", ",
    )


def day_said(day: PartialDate) -> str:
    """Return a day of which not all may be known: ``2027-01-01``, ``some day of the 2020s``."""
    if day.is_exact:
        return str(day)
    first, last = date_from_day(day.earliest), date_from_day(day.latest)
    if (first.year, first.month) == (last.year, last.month):
        return f"some day of {month_name[first.month]} {first.year}"
    if first.year == last.year:
        return f"some day of {first.year}"
    if last.year - first.year == _YEARS_OF_A_DECADE:
        return f"some day of the {first.year}s"
    return f"some day from {first.year} to {last.year}"


def _settings(words: tuple[str, ...]) -> str:
    return "setting" if len(words) == 1 else "settings"


def scope(which: Scope | None) -> str:
    """Return which practice counts, to follow the word "practice"; empty for all of it."""
    if which is None:
        return ""
    return run_on(
        given(
            which.supervised, lambda yes: "under supervision" if yes else "not under supervision"
        ),
        given(which.titles, lambda words: f"as {either(words)}"),
        given(which.settings, lambda words: f"in the {_settings(words)} {either(words)}"),
        given(
            which.excluded_settings, lambda words: f"not in the {_settings(words)} {either(words)}"
        ),
        given(which.countries, lambda codes: f"in {either(codes)}"),
        given(which.excluded_countries, lambda codes: f"outside {together(codes)}"),
        given(which.registered, lambda yes: f"while {'' if yes else 'not '}registered there"),
        given(
            which.least_hours_a_week, lambda least: f"in posts of at least {hours(least)} a week"
        ),
        by=", ",
    )
