from __future__ import annotations

import pytest

from comity.brief.typeface import REPLACEMENT, cleaned, has_unshowable, showable


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Zażółć gęślą jaźń", "Zażółć gęślą jaźń"),
        ("عبد الرحمن", "عبد الرحمن"),
        ("Иван Ђоковић", "Иван Ђоковић"),
        ("two\nlines\tand  spaces \u2028 more", "two lines and spaces more"),
        ("3\u00a0March", "3\u00a0March"),
        ("bell\x07 null\x00", "bell null"),
        ("turned \u202eround\u202c", "turned round"),
        ("soft\ufeff mark", "soft mark"),
        ("e\u0301", "é"),
        ("o\u1ab0", "o"),
        ("田中", REPLACEMENT * 2),
        ("smile \U0001f600", f"smile {REPLACEMENT}"),
        ("lone \ud800 surrogate", "lone surrogate"),
        ("\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645",) * 2,
    ],
)
def test_a_text_is_shown_as_far_as_the_typefaces_reach(text: str, shown: str) -> None:
    assert showable(text) == shown


@pytest.mark.parametrize("letter", ["ḍ", "Ḫ", "ṣ", "ẖ"])
def test_a_letter_with_a_rare_accent_never_becomes_a_replacement_sign(letter: str) -> None:
    assert REPLACEMENT not in showable(letter)
    assert showable(letter)


def test_every_text_within_a_value_is_cleaned() -> None:
    value = {"a": ["x\ny", ("z\t",)], "n": 3, "none": None, "yes": True}
    assert cleaned(value) == {"a": ["x y", ["z"]], "n": 3, "none": None, "yes": True}


def test_a_missing_character_is_noticed_wherever_it_stands() -> None:
    assert has_unshowable(cleaned({"a": [{"b": "田"}]}))
    assert not has_unshowable(cleaned({"a": [{"b": "abc"}], "n": 1}))
