from __future__ import annotations

import hashlib
import re

from fontTools.ttLib import TTFont

from comity.brief.typeface import FONT_FOLDER, covered_characters
from tools.font_coverage import covered

PROVENANCE = (FONT_FOLDER / "PROVENANCE.txt").read_text(encoding="ascii")


def test_every_font_is_the_one_whose_provenance_is_noted() -> None:
    noted = dict(re.findall(r"^([0-9a-f]{64})  (\S+)$", PROVENANCE, re.MULTILINE))
    found = {
        hashlib.sha256(path.read_bytes()).hexdigest(): path.name
        for path in [*FONT_FOLDER.glob("*.ttf"), FONT_FOLDER / "OFL.txt"]
    }
    assert noted == found


def test_there_are_latin_and_arabic_letters_in_regular_and_bold() -> None:
    for family, letters in (("IBMPlexSans", "aZžñ"), ("IBMPlexSansArabic", "اهيگپ")):
        for weight in ("400Regular", "600SemiBold", "700Bold"):
            names = TTFont(FONT_FOLDER / f"{family}_{weight}.ttf").getBestCmap()
            assert all(ord(letter) in names for letter in letters)


def test_the_licence_lies_beside_the_fonts() -> None:
    licence = (FONT_FOLDER / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_the_covered_characters_are_those_of_the_fonts() -> None:
    assert {ord(character) for character in covered_characters()} == covered()
