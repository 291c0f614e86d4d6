from __future__ import annotations

from typing import Final

import pytest
from fontTools.ttLib import TTFont

from comity.brief.typeface import FONT_FOLDER
from comity.charts.labels import ELLIPSIS, estimated_width, wrapped
from tests.assets.brief import samples

SIZE: Final = 10.0


def real_width(text: str) -> float:
    """Measure a Latin text by the advances of the shipped regular weight, without kerning."""
    font = TTFont(FONT_FOLDER / "IBMPlexSans_400Regular.ttf")
    names, advances = font.getBestCmap(), font["hmtx"]
    units = font["head"].unitsPerEm
    total = sum(int(advances[names[ord(character)]][0]) for character in text)
    return total * SIZE / float(units)


@pytest.mark.parametrize(
    "text",
    [
        "A certificate of good standing not older than six months",
        "24 months of practice within the last five years",
        "WWWWMMMM@@@%%%",
        "Zażółć gęślą jaźń, Nguyễn Thị Đặng, Ångström",
        'il|;:,.!()[]{}/\\"',
        "HAMBURGEFONSTIV 0123456789",
    ],
)
def test_a_line_is_never_estimated_narrower_than_it_is(text: str) -> None:
    assert real_width(text) <= estimated_width(text, size=SIZE)


def test_lines_fit_and_keep_every_word() -> None:
    text = "A certificate of good standing from every authority of the last five years"
    lines = wrapped(text, width=120.0, size=SIZE, most_lines=9)
    assert " ".join(lines) == text
    assert all(estimated_width(line, size=SIZE) <= 120.0 for line in lines)


def test_a_word_wider_than_the_line_is_broken_without_losing_a_letter() -> None:
    lines = wrapped(samples.LONG_NAME, width=80.0, size=SIZE, most_lines=99)
    assert "".join(lines) == samples.LONG_NAME
    assert all(estimated_width(line, size=SIZE) <= 80.0 for line in lines)


def test_a_text_of_too_many_lines_ends_in_an_ellipsis_that_fits() -> None:
    lines = wrapped("word " * 50, width=100.0, size=SIZE, most_lines=2)
    assert len(lines) == 2
    assert lines[1].endswith(ELLIPSIS)
    assert estimated_width(lines[1], size=SIZE) <= 100.0


def test_an_empty_text_is_one_empty_line() -> None:
    assert wrapped("", width=100.0, size=SIZE, most_lines=3) == ("",)


def test_wide_scripts_are_estimated_wider_than_latin() -> None:
    assert estimated_width("営養士", size=SIZE) > estimated_width("abc", size=SIZE)


def test_accents_of_their_own_take_no_room() -> None:
    assert estimated_width("e\u0301", size=SIZE) == estimated_width("e", size=SIZE)
