from __future__ import annotations

import itertools
import subprocess
import sys
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest

from comity.brief import wording
from comity.brief.document import brief_pdf
from comity.brief.wording import ENGLISH
from comity.core.eligibility.assessment import PlainAnswer, PlainStep
from tests.assets.brief import samples
from tests.assets.brief.reading import (
    are_all_fonts_embedded,
    catalogue,
    fonts,
    information,
    letters,
    overlapping,
    page_boxes,
    page_text,
    page_texts,
    squeezed,
    tags,
    whole_text,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.core.eligibility.assessment import Assessment

A4 = (595.28, 841.89)
NOTICE = "Fictional: invented authorities, people and rules."
MAKERS = [
    samples.mixed,
    samples.clear_yes,
    samples.unknown,
    samples.refers,
    samples.not_for_you,
    samples.hopeless,
    samples.many,
    samples.hostile,
]


@cache
def brief(*makers: Callable[[], Assessment], name: str = "Lina Example") -> bytes:
    """Return a brief, made once for all tests."""
    return brief_pdf([make() for make in makers], applicant_name=name, notice=NOTICE)


def test_it_has_a_title_a_language_and_tags() -> None:
    root = catalogue(brief(samples.mixed))
    assert information(brief(samples.mixed))["/Title"] == "Dietitian: For Lina Example"
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]


def test_it_declares_the_standard_for_accessible_documents() -> None:
    # ISO 14289-1 (PDF/UA-1), clause 5: the identifier in the metadata.
    metadata = catalogue(brief(samples.mixed))["/Metadata"].get_data()
    assert b"<pdfuaid:part>1</pdfuaid:part>" in metadata


def test_headings_tables_lists_and_pictures_are_tagged() -> None:
    kinds = [kind for kind, _ in tags(brief(samples.mixed))]
    assert kinds.count("/H1") == 1
    assert kinds.count("/TH") == 3
    assert kinds.count("/TR") == 1 + len(samples.ALL_VERDICTS)
    assert {"/H2", "/H3", "/Table", "/THead", "/TD", "/L", "/LI", "/Figure"} <= set(kinds)


def test_heading_levels_are_never_skipped() -> None:
    levels = [int(kind[2]) for kind, _ in tags(brief(samples.mixed)) if kind[:2] == "/H"]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_the_window_strip_is_told_in_words() -> None:
    figures = [attributes for kind, attributes in tags(brief(samples.mixed)) if kind == "/Figure"]
    told = " ".join(str(figure["/Alt"]) for figure in figures).replace("\u00a0", " ")
    for result in samples.ALL_VERDICTS:
        assert result.label in told
    assert "All together: not met, may hold from 14 Mar 2027 until 9 Oct 2027." in told


@pytest.mark.parametrize("make", MAKERS)
def test_only_our_typefaces_are_used_and_all_are_embedded(
    make: Callable[[], Assessment],
) -> None:
    pdf = brief(make)
    assert {name.split("-")[0] for name in fonts(pdf)} <= {"IBMPlexSans", "IBMPlexSansArabic"}
    assert are_all_fonts_embedded(pdf)


NAMED = [
    *((make, "Lina Example") for make in MAKERS),
    (samples.mixed, samples.LONG_NAME),
    (samples.clear_yes, samples.ARABIC_NAME),
]


@pytest.mark.parametrize(("make", "name"), NAMED)
def test_every_letter_stands_within_the_margins(make: Callable[[], Assessment], name: str) -> None:
    pdf = brief(make, name=name)
    assert {(round(w, 2), round(h, 2)) for w, h in page_boxes(pdf)} == {A4}
    outside = [
        letter
        for letter in letters(pdf)
        if not (letter.left >= 60 and letter.right <= A4[0] - 60)
        or not (letter.bottom >= 20 and letter.top <= A4[1] - 30)
    ]
    assert outside == []


@pytest.mark.parametrize("make", MAKERS)
def test_no_letter_stands_on_another(make: Callable[[], Assessment]) -> None:
    assert overlapping(brief(make)) == []


@pytest.mark.parametrize("make", [samples.mixed, samples.clear_yes, samples.many])
def test_every_requirement_is_there_with_its_source(make: Callable[[], Assessment]) -> None:
    text = whole_text(brief(make))
    for result in make().requirements:
        assert squeezed(result.label) in text
        assert squeezed(result.source.document) in text


def test_everything_an_adviser_needs_is_there() -> None:
    text = whole_text(brief(samples.mixed))
    assessment = samples.mixed()
    for expected in (
        *assessment.cautions[1:],
        *assessment.by_hand_open,
        *(result.reason for result in assessment.requirements),
        *(result.says for result in assessment.requirements),
        "practice p2 was taken as 1 May 2019",
        "results/xlt-2025/speaking",
        "Edition 2028, from 1 January 2028: the verdict stays not met.",
        "last read on 11 June 2026",
        "read 3 May 2026",
        "20.4 of 24 months",
        "short by 3.6 months",
        ENGLISH.detail.unread,
    ):
        assert squeezed(expected) in text


@pytest.mark.parametrize("make", MAKERS)
def test_the_caution_and_the_notice_stand_on_every_page(make: Callable[[], Assessment]) -> None:
    pdf = brief(make)
    for number in range(1, len(page_texts(pdf)) + 1):
        text = page_text(pdf, number)
        assert "The authority decides" in text
        assert "no legal or immigration advice" in text
        assert NOTICE in text


@pytest.mark.parametrize("make", MAKERS[:-1])
def test_the_first_page_is_the_applicants_alone(make: Callable[[], Assessment]) -> None:
    pdf = brief(make)
    first, second = page_text(pdf, 1), page_text(pdf, 2)
    for heading in ("Why", "What to do next", "By when", "A person to write to"):
        assert heading in first
    assert "%" not in first
    assert "xa-board" not in first
    assert "Details for the adviser" in second


@pytest.mark.parametrize("n_sentences", [1, 4, 8])
def test_the_applicants_page_stays_one_page_with_long_answers(n_sentences: int) -> None:
    step = "Work on, and ask for the certificate which the guide describes."
    steps = tuple(PlainStep(f"{step} {number}.") for number in range(n_sentences))
    answer = PlainAnswer("Not yet", "It can be put right.", steps)
    rows = tuple(replace(row, reason=row.reason * 2) for row in samples.ALL_VERDICTS)
    assessment = replace(samples.mixed(), answer=answer, requirements=rows)
    pdf = brief_pdf([assessment], applicant_name="Lina Example", notice=NOTICE)
    assert "A person to write to" in page_text(pdf, 1)
    assert "Details for the adviser" in page_text(pdf, 2)


def test_pages_are_counted() -> None:
    pdf = brief(samples.mixed)
    n_pages = len(page_texts(pdf))
    assert f"Page {n_pages} of {n_pages}" in page_text(pdf, n_pages)


def test_several_titles_begin_with_an_overview() -> None:
    pdf = brief(samples.mixed, samples.clear_yes, samples.unknown)
    first = page_text(pdf, 1)
    assert "Where you stand" in first
    assert first.count("Xandrian Board of Health Professions") == 3
    for answer in ("Not yet", "Yes", "Not known yet"):
        assert answer in first
    headings = [kind for kind, _ in tags(pdf) if kind == "/H1"]
    assert len(headings) == 4


def test_text_that_looks_like_markup_is_shown_as_it_is() -> None:
    pdf = brief(samples.hostile, name=samples.HOSTILE)
    assert squeezed(samples.HOSTILE) in whole_text(pdf)
    assert squeezed(samples.LONG_NAME) in whole_text(pdf)
    assert '#panic("x") $x^2$ *b*' in information(pdf)["/Title"]


def test_places_to_break_long_words_leave_no_trace_in_copied_text() -> None:
    pdf = brief(samples.mixed, name=samples.LONG_NAME)
    text = "".join(page_texts(pdf))
    assert "\u200b" not in text
    assert "\u00ad" not in text


def test_an_arabic_name_is_set_in_its_own_letters() -> None:
    pdf = brief(samples.clear_yes, name=samples.ARABIC_NAME)
    assert "IBMPlexSansArabic-Regular" in fonts(pdf)
    first_word = samples.ARABIC_NAME.split()[0]
    assert first_word in page_text(pdf, 1)


def test_a_language_written_from_right_to_left_turns_the_page_round(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    arabic = replace(ENGLISH, language="ar", direction="rtl")
    monkeypatch.setattr(wording, "WORDINGS", {"ar": arabic})
    pdf = brief_pdf([samples.mixed()], applicant_name=samples.ARABIC_NAME, language="ar")
    root = catalogue(pdf)
    title = next(letter for letter in letters(pdf) if letter.text == "D")
    assert (root["/Lang"], root["/ViewerPreferences"]["/Direction"]) == ("ar", "/R2L")
    assert title.left > A4[0] / 2
    assert all(letter.left >= 60 and letter.right <= A4[0] - 60 for letter in letters(pdf))


def test_letters_without_a_sign_are_pointed_out() -> None:
    pdf = brief_pdf([samples.clear_yes()], applicant_name="田中 Example")
    assert squeezed(ENGLISH.replaced) in whole_text(pdf)
    assert squeezed(ENGLISH.replaced) not in whole_text(brief(samples.clear_yes))


def test_the_same_input_gives_the_same_bytes() -> None:
    again = brief_pdf([samples.mixed()], applicant_name="Lina Example", notice=NOTICE)
    assert again == brief(samples.mixed)


def test_its_date_is_the_assessed_day_and_not_the_clocks() -> None:
    assert information(brief(samples.mixed))["/CreationDate"] == "D:20261125000000Z"


def test_an_applicant_without_a_name_is_called_by_id() -> None:
    pdf = brief_pdf([samples.clear_yes()], applicant_name=" ")
    assert "For lina-example" in page_text(pdf, 1)


def test_a_contact_is_shown() -> None:
    contact = "Ana Example, adviser, ana@office.example"
    pdf = brief_pdf([samples.mixed()], applicant_name="Lina Example", contact=contact)
    assert contact in page_text(pdf, 1)


def test_a_requirement_longer_than_a_page_runs_on() -> None:
    long = replace(samples.DEGREE, says="A sentence of the rules, word by word. " * 300)
    assessment = replace(samples.clear_yes(), requirements=(long,))
    pdf = brief_pdf([assessment], applicant_name="Lina Example")
    words = " ".join(page_texts(pdf)).split()
    assert words.count("sentence") == 300
    assert min(letter.bottom for letter in letters(pdf)) >= 20


def test_no_assessment_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^a brief needs at least one assessment, got none$"):
        brief_pdf([], applicant_name="Lina Example")


def test_a_language_without_words_is_served_in_english() -> None:
    assert brief_pdf([samples.mixed()], applicant_name="Lina Example", language="xx") == brief_pdf(
        [samples.mixed()], applicant_name="Lina Example"
    )


def test_importing_it_loads_neither_typst_nor_the_converter() -> None:
    code = (
        "import sys, comity.brief.document, comity.brief.letter;"
        "print(sorted({'typst', 'vl_convert'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
