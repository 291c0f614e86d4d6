from __future__ import annotations

import gettext
import io
from typing import TYPE_CHECKING

import pytest

from tools.make_catalogue import (
    LOCALE,
    as_mo,
    as_pot,
    catalogue,
    mirrored,
    mirrored_catalogue,
    sentences,
)

if TYPE_CHECKING:
    from pathlib import Path

STALE = "sentences of the desk have changed; run: python -m tools.make_catalogue"


def test_the_catalogues_hold_the_sentences_of_today() -> None:
    found = catalogue()
    assert (LOCALE / "django.pot").read_text(encoding="utf-8") == as_pot(found), STALE
    kept = (LOCALE / "qps_Plocm" / "LC_MESSAGES" / "django.mo").read_bytes()
    assert kept == as_mo(mirrored_catalogue(found)), STALE


@pytest.mark.parametrize(
    ("sentence", "expected"),
    [
        ("Sign in", "[Šígñ íñ··]"),
        ("%(n)s days", "[%(n)s dáýš·]"),
        ("{name} can sign in again.", "[{name} çáñ šígñ íñ ágáíñ.······]"),
        ("<b>Open</b>", "[<b>Ópéñ</b>·]"),
        ("100 %", "[100 %·]"),
    ],
)
def test_a_mirrored_sentence_is_longer_accented_and_keeps_what_stands_for_something(
    sentence: str, expected: str
) -> None:
    assert mirrored(sentence) == f"\N{RIGHT-TO-LEFT ISOLATE}{expected}\N{POP DIRECTIONAL ISOLATE}"


def test_sentences_of_code_and_templates_are_found(tmp_path: Path) -> None:
    code = tmp_path / "views.py"
    code.write_text('_("One thing")\nngettext("%(n)s day", "%(n)s days", n)\n', encoding="utf-8")
    page = tmp_path / "page.html"
    page.write_text(
        '{% load i18n %}<p title="it\'s">{% translate "Another" %}</p>\n'
        "  {% blocktranslate trimmed with day=today %}\n"
        "    On {{ day }}\n"
        "  {% endblocktranslate %}\n",
        encoding="utf-8",
    )
    assert [message for _line, message, _context in sentences(code)] == [
        "One thing",
        ("%(n)s day", "%(n)s days"),
    ]
    assert [message for _line, message, _context in sentences(page)] == ["Another", "On %(day)s"]


def test_plurals_come_through() -> None:
    read = gettext.GNUTranslations(io.BytesIO(as_mo(mirrored_catalogue(catalogue()))))
    one, many = "Here, and in one other place.", "Here, and in %(n)s other places."
    assert read.ngettext(one, many, 1) == mirrored(one)
    assert read.ngettext(one, many, 3) == mirrored(many)
