"""Figures of examinations as templates show them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from babel.numbers import format_decimal, format_percent
from django import template
from django.utils.translation import gettext_lazy as _

from comity.desk.templatetags.desk import reader_locale

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.utils.functional import _StrPromise

register = template.Library()
_SUSPICIONS: Final[Mapping[str, _StrPromise]] = {
    "key": _("Is the key right?"),
    "backwards": _("The stronger miss it"),
    "harder than guessing": _("Harder than guessing"),
    "no spread": _("Tells nobody apart"),
    "idle option": _("An option hardly anyone takes"),
}
_ITEM_WORDS: Final[Mapping[str, _StrPromise]] = {
    "recall": _("recall"),
    "apply": _("apply"),
    "judge": _("judge"),
    "draft": _("draft"),
    "read again": _("read again"),
    "approved": _("approved"),
    "sent back": _("sent back"),
    "withdrawn": _("withdrawn"),
}


@register.filter
def short(value: float | None) -> str:
    """Return a figure with at most two decimals, as the reader writes numbers."""
    return "" if value is None else format_decimal(value, "#,##0.##", locale=reader_locale())


@register.filter
def percent(value: float | None) -> str:
    """Return a share in percent; a dash where there is none."""
    return "–" if value is None else format_percent(value, locale=reader_locale())


@register.filter
def plain(value: float) -> str:
    """Return a number as machines read it."""
    return f"{value:.4f}"


@register.filter
def exam_word(name: str) -> str:
    """Return a level or a state of an item in the reader's language."""
    return str(_ITEM_WORDS.get(name, name))


@register.filter
def suspicion(name: str) -> str:
    """Return what is suspected of an item, in words."""
    return str(_SUSPICIONS.get(name, name))
