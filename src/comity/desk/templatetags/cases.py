"""Filters for the pages of a case: the core's sentences as people read them."""

from __future__ import annotations

from django import template

from comity.brief.plain import as_sentence
from comity.brief.wording import ENGLISH

register = template.Library()


@register.filter
def spoken(text: str) -> str:
    """Return a text with its dates written out."""
    return ENGLISH.spoken(text)


@register.filter
def sentence(text: str) -> str:
    """Return a text as a sentence: dates written out, a capital before and a stop behind."""
    return as_sentence(ENGLISH.spoken(text))
