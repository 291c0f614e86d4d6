"""Days, numbers and money as the reader writes them, and what templates ask of a verdict."""

from __future__ import annotations

import hashlib
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_datetime
from babel.numbers import format_currency, format_decimal, get_currency_precision
from django import template
from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.utils import timezone, translation
from django.utils.translation import gettext_lazy as _

from comity.core.days.calendar import FOREVER, date_from_day
from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from datetime import date, datetime

register = template.Library()
FALLBACK: Final = "en_GB"
_PATTERNS: Final = {"long": "d MMMM y", "short": "d MMM y", "month": "MMMM y"}
_WORDS: Final = {
    Verdict.MET: _("Met"),
    Verdict.NOT_MET: _("Not met"),
    Verdict.UNKNOWN: _("Not known yet"),
    Verdict.REFER: _("Authority decides"),
    Verdict.NOT_APPLICABLE: _("Not applicable"),
}
_PLAIN_WORDS: Final = {
    Verdict.MET: _("Yes"),
    Verdict.NOT_MET: _("Not yet"),
    Verdict.UNKNOWN: _("Not known yet"),
    Verdict.REFER: _("The authority decides"),
    Verdict.NOT_APPLICABLE: _("Not meant for you"),
}
_ROLES: Final = {
    "owner": _("Owner"),
    "adviser": _("Adviser"),
    "applicant": _("Applicant"),
}
_CLASSES: Final = {
    Verdict.MET: "met",
    Verdict.NOT_MET: "not-met",
    Verdict.UNKNOWN: "unknown",
    Verdict.REFER: "refer",
    Verdict.NOT_APPLICABLE: "none",
}


def reader_locale() -> Locale:
    """Return the locale of the page's reader; plain "en" reads day before month."""
    code = translation.get_language() or FALLBACK
    try:
        return Locale.parse(FALLBACK if code == "en" else code, sep="-")
    except (ValueError, UnknownLocaleError):
        return Locale.parse(FALLBACK)


@register.filter
def day(value: date | datetime | int | None, length: str = "long") -> str:
    """Return a day (date, moment, or day number of the core) in words; empty for none."""
    if value is None or (isinstance(value, int) and value >= FOREVER):
        return ""
    if isinstance(value, int):
        value = date_from_day(value)
    return _apart(format_date(value, _PATTERNS[length], locale=reader_locale()))


@register.filter
def moment(value: datetime | None) -> str:
    """Return a moment to the minute, in the time zone of the page."""
    if value is None:
        return ""
    local = timezone.localtime(value)
    return _apart(format_datetime(local, "d MMM y, HH:mm", locale=reader_locale()))


@register.filter
def iso_day(value: date | datetime | int | None) -> str:
    """Return a day as machines read it, for `<time datetime>` and date fields."""
    if value is None or (isinstance(value, int) and value >= FOREVER):
        return ""
    if isinstance(value, int):
        value = date_from_day(value)
    return value.strftime("%Y-%m-%d")


@register.filter
def number(value: float | Decimal | None) -> str:
    """Return a number with the reader's separators."""
    return "" if value is None else format_decimal(value, locale=reader_locale())


@register.filter
def money(minor: int | None, currency: str) -> str:
    """Return an amount given in the currency's smallest unit."""
    if minor is None:
        return ""
    amount = Decimal(minor).scaleb(-get_currency_precision(currency))
    return _apart(format_currency(amount, currency, locale=reader_locale()))


def _apart(text: str) -> str:
    """Return a date or amount that keeps its own order on a page read from right to left."""
    if not translation.get_language_bidi():
        return text
    return f"\N{FIRST STRONG ISOLATE}{text}\N{POP DIRECTIONAL ISOLATE}"


@register.filter
def verdict_class(verdict: Any) -> str:  # noqa: ANN401 - templates hand over what they have
    """Return the ending of a verdict's class: met, not-met, unknown, refer or none."""
    known = _verdict_of(verdict)
    return "none" if known is None else _CLASSES[known]


@register.filter
def verdict_word(verdict: Any) -> str:  # noqa: ANN401 - as above
    """Return the adviser's word for a verdict; a dash where no rules were read."""
    known = _verdict_of(verdict)
    return str(_("No rules read yet") if known is None else _WORDS[known])


@register.filter
def verdict_plain(verdict: Any) -> str:  # noqa: ANN401 - as above
    """Return the applicant's words for a verdict."""
    known = _verdict_of(verdict)
    return str(_("Not looked at yet") if known is None else _PLAIN_WORDS[known])


def _verdict_of(verdict: Any) -> Verdict | None:  # noqa: ANN401 - as above
    try:
        return Verdict(verdict)
    except ValueError:
        return None


@register.filter
def role_word(role: str) -> str:
    """Return what a person is in the office."""
    return str(_ROLES[role])


@register.simple_tag
def asset(path: str) -> str:
    """Return the address of one of our static files, new whenever its content is."""
    return f"{static(path)}?{_digest(path)}"


@lru_cache
def _digest(path: str) -> str:
    found = finders.find(path)
    if not isinstance(found, str):
        message = f"there is no static file {path}"
        raise template.TemplateSyntaxError(message)
    return hashlib.sha256(Path(found).read_bytes()).hexdigest()[:10]


@register.filter
def described_by(field: Any) -> str:  # noqa: ANN401 - a bound field of any form
    """Return the ids of a field's hint and error, for `aria-describedby`."""
    ids = [f"{field.auto_id}-hint"] if field.help_text else []
    return " ".join([*ids, *([f"{field.auto_id}-error"] if field.errors else [])])


@register.filter
def drawn(field: Any) -> str:  # noqa: ANN401 - a bound field of any form
    """Return a field's control, tied to its hint and error."""
    attributes = {"aria-describedby": described_by(field)} if described_by(field) else {}
    if field.errors:
        attributes["aria-invalid"] = "true"
    return str(field.as_widget(attrs=attributes))
