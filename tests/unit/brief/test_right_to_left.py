from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest
from babel import Locale
from babel.localedata import locale_identifiers

from comity.brief import wording
from comity.brief.document import brief_pdf
from comity.brief.wording import ENGLISH, RIGHT_TO_LEFT, direction_of
from tests.assets.brief import samples
from tests.assets.brief.reading import (
    Letter,
    catalogue,
    letters,
    overlapping,
    page_text,
    squeezed,
    whole_text,
)
from tools.make_catalogue import mirrored

if TYPE_CHECKING:
    from collections.abc import Iterator

A4_WIDTH = 595.28
MARGIN = 60
ROW = 5  # points by which letters of one row differ at their feet
HEADING = 15


@cache
def arabic_reader() -> bytes:
    """Return the brief of somebody who reads Arabic, in which there are no words yet."""
    return brief_pdf(
        [samples.mixed(), samples.clear_yes()],
        applicant_name=samples.ARABIC_NAME,
        language="ar-EG",
    )


def languages(node: Any, inherited: str = "") -> Iterator[tuple[str, str]]:  # noqa: ANN401
    """Yield each element of the structure tree (pypdf's objects) with the language it is in."""
    found = node.get_object()
    if isinstance(found, list):
        for child in found:
            yield from languages(child, inherited)
    elif hasattr(found, "get"):
        language = str(found.get("/Lang", inherited))
        if "/S" in found:
            yield str(found["/S"]), language
        if "/K" in found:
            yield from languages(found["/K"], language)


def test_the_pages_go_the_readers_way_and_the_document_says_so() -> None:
    # ISO 32000-1, tables 28 and 150: natural language, predominant order of reading.
    root = catalogue(arabic_reader())
    assert root["/Lang"] == "ar"
    assert root["/ViewerPreferences"]["/Direction"] == "/R2L"


def test_english_words_are_marked_as_english() -> None:
    # ISO 14289-1 (PDF/UA-1), 7.2: a change of the natural language is declared.
    tree = catalogue(arabic_reader())["/StructTreeRoot"]["/K"]
    told = {"/H1", "/H2", "/H3", "/TH", "/TD", "/LI", "/Figure"}
    found = [each for each in languages(tree) if each[0] in told]
    assert {kind for kind, _language in found} == told
    assert {language for _kind, language in found} == {"en"}


def rows(pdf: bytes, page: int) -> list[str]:
    """Return what stands on a page, row by row, as the eye goes from left to right."""
    on_page = sorted(
        (each for each in letters(pdf) if each.page == page), key=lambda each: -each.bottom
    )
    found: list[list[Letter]] = []
    for each in on_page:
        if not found or found[-1][0].bottom - each.bottom > ROW:
            found.append([])
        found[-1].append(each)
    return ["".join(one.text for one in sorted(row, key=lambda at: at.left)) for row in found]


def test_every_page_begins_on_the_right() -> None:
    # The first letter of each heading of the first level: left of the middle in a brief in English.
    large = [each for each in letters(arabic_reader()) if each.top - each.bottom > HEADING]
    assert {each.page for each in large} >= {1, 2}
    assert [each for each in large if each.left < A4_WIDTH / 2] == []


def test_english_sentences_are_read_from_left_to_right_with_their_full_stop_behind() -> None:
    told = ENGLISH.plain.overview_lead.format(n=2)
    assert squeezed(told) in rows(arabic_reader(), 1)
    assert "On14March2027yourpracticeisenough." in rows(arabic_reader(), 2)


def test_columns_begin_on_the_right() -> None:
    assert "NextAnswerWhereandaswhat" in rows(arabic_reader(), 1)
    english = brief_pdf([samples.mixed(), samples.clear_yes()], applicant_name="Lina Example")
    assert "WhereandaswhatAnswerNext" in rows(english, 1)


def test_the_applicants_name_stands_in_its_own_letters_within_the_margins() -> None:
    pdf = arabic_reader()
    assert samples.ARABIC_NAME.split()[0] in page_text(pdf, 1)
    outside = [
        each
        for each in letters(pdf)
        if not (each.left >= MARGIN and each.right <= A4_WIDTH - MARGIN)
    ]
    assert outside == []
    assert overlapping(pdf) == []


def test_a_reader_of_another_language_from_left_to_right_gets_the_english_brief() -> None:
    french, english = (
        brief_pdf([samples.mixed()], applicant_name="Lina Example", language=each)
        for each in ("fr-CA", "en")
    )
    assert french == english


def test_an_arabic_name_turns_no_page_round() -> None:
    pdf = brief_pdf([samples.mixed()], applicant_name=samples.ARABIC_NAME)
    assert catalogue(pdf)["/Lang"] == "en"
    assert catalogue(pdf)["/ViewerPreferences"]["/Direction"] == "/L2R"


def turned(value: Any) -> Any:  # noqa: ANN401 - any part of a wording
    """Return a wording with each sentence accented and longer, as of a language of its own."""
    if isinstance(value, str):
        return mirrored(value)
    if isinstance(value, tuple):
        return tuple(turned(each) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        names = [each.name for each in fields(value)]
        return replace(value, **{name: turned(getattr(value, name)) for name in names})
    return {key: turned(each) for key, each in value.items()} if isinstance(value, dict) else value


# A code that ISO 639-2 reserves for local use: nobody's language.
PSEUDO = "qps"


@pytest.fixture
def pseudo(monkeypatch: pytest.MonkeyPatch) -> bytes:
    """Return a brief in the language that nobody speaks."""
    made = replace(
        ENGLISH,
        plain=turned(ENGLISH.plain),
        detail=turned(ENGLISH.detail),
        page=turned(ENGLISH.page),
        language=PSEUDO,
        direction="rtl",
    )
    monkeypatch.setattr(wording, "WORDINGS", {PSEUDO: made})
    return brief_pdf([samples.mixed()], applicant_name=samples.ARABIC_NAME, language=PSEUDO)


def test_a_brief_in_another_language_has_all_its_headings_in_it(pseudo: bytes) -> None:
    text = whole_text(pseudo)
    plain, detail = ENGLISH.plain, ENGLISH.detail
    headings = (plain.why, plain.what_next, plain.by_when, plain.write_to, detail.heading)
    for heading in (*headings, detail.requirements, detail.open_dates, detail.cautions):
        assert squeezed(heading) not in text
        for word in heading.split():
            assert mirrored(word)[2:-2].rstrip("·") in text


def test_a_brief_in_another_language_names_it_and_goes_its_way(pseudo: bytes) -> None:
    root = catalogue(pseudo)
    assert root["/Lang"] == PSEUDO
    assert {each for _kind, each in languages(root["/StructTreeRoot"]["/K"])} <= {"", PSEUDO}
    title = next(each for each in letters(pseudo) if each.top - each.bottom > HEADING)
    assert title.left > A4_WIDTH / 2


def test_ways_of_reading_are_those_of_the_common_locale_data() -> None:
    # Unicode CLDR, characterOrder, as Babel carries it.
    known = [each for each in locale_identifiers() if "_" not in each]
    turning = {each for each in known if Locale.parse(each).character_order == "right-to-left"}
    assert turning == RIGHT_TO_LEFT & set(known)


@pytest.mark.parametrize(
    ("tag", "direction"),
    [("uz-Arab", "rtl"), ("ar-Latn", "ltr"), ("az-arab-IR", "rtl"), ("fa-AF", "rtl"), ("", "ltr")],
)
def test_a_named_script_decides(tag: str, direction: str) -> None:
    assert direction_of(tag) == direction
