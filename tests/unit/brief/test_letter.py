from __future__ import annotations

from dataclasses import replace

import pytest

from comity.brief.letter import letter_pdf
from comity.brief.wording import ENGLISH
from comity.core.eligibility.discretion import Letter, LetterRow
from tests.assets.brief import samples
from tests.assets.brief.reading import (
    fonts,
    information,
    letters,
    overlapping,
    page_text,
    reader,
    squeezed,
    tags,
    whole_text,
)

HOSTILE_LETTER = Letter(
    to=(samples.HOSTILE, samples.LONG_NAME),
    sender=(samples.ARABIC_NAME, samples.HOSTILE),
    on=samples.ON,
    subject=samples.HOSTILE,
    facts=(samples.HOSTILE, samples.LONG_NAME),
    rows=(LetterRow(*[samples.HOSTILE] * 5), LetterRow(*[samples.LONG_NAME] * 5)),
    speaks_for=(samples.HOSTILE,),
    papers=(samples.LONG_NAME,),
    cautions=(samples.HOSTILE,),
)


def test_everything_of_the_letter_is_set() -> None:
    letter = samples.letter()
    text = whole_text(letter_pdf(letter))
    row = letter.rows[0]
    for expected in (
        *letter.to, *letter.sender, letter.subject, *letter.facts, *letter.speaks_for,
        *letter.papers, *letter.cautions, row.label, row.needed, row.has, row.shortfall, row.source,
        "25 November 2026",
    ):  # fmt: skip
        assert squeezed(expected) in text


def test_it_is_one_page_to_send_and_one_to_keep() -> None:
    pdf = letter_pdf(samples.letter())
    assert len(reader(pdf).pages) == 2
    assert "Before you send this" not in page_text(pdf, 1)
    assert "Before you send this" in page_text(pdf, 2)
    assert "does not belong to the letter" in page_text(pdf, 2)
    assert ENGLISH.plain.caution in page_text(pdf, 2)


def test_one_page_needs_no_page_number() -> None:
    assert "Page" not in page_text(letter_pdf(samples.letter()), 1)


def test_a_long_letter_counts_its_own_pages_only() -> None:
    letter = replace(samples.letter(), facts=samples.letter().facts * 6)
    pdf = letter_pdf(letter)
    assert "Page 1 of 2" in page_text(pdf, 1)
    assert "Page" not in page_text(pdf, 3)


def test_it_is_tagged_with_its_subject_as_title() -> None:
    pdf = letter_pdf(samples.letter())
    assert information(pdf)["/Title"] == samples.letter().subject
    assert {"/H1", "/H2", "/Table", "/TH", "/L"} <= {kind for kind, _ in tags(pdf)}


def test_a_letter_without_cautions_has_nothing_but_itself() -> None:
    pdf = letter_pdf(replace(samples.letter(), cautions=()))
    assert len(reader(pdf).pages) == 1


def test_a_bare_letter_is_set_too() -> None:
    bare = Letter(to=("Board",), sender=("Lina",), on=samples.ON, subject="")
    pdf = letter_pdf(bare, notice="Fictional.")
    assert information(pdf)["/Title"] == ENGLISH.letter.draft
    assert "Fictional." in page_text(pdf, 1)


def test_hostile_texts_neither_run_nor_leave_the_page() -> None:
    pdf = letter_pdf(HOSTILE_LETTER)
    assert squeezed(samples.HOSTILE) in whole_text(pdf)
    placed = letters(pdf)
    assert min(letter.left for letter in placed) >= 60
    assert max(letter.right for letter in placed) <= 595.28 - 60
    assert min(letter.bottom for letter in placed) >= 20
    assert overlapping(pdf) == []
    assert {name.split("-")[0] for name in fonts(pdf)} == {"IBMPlexSans", "IBMPlexSansArabic"}


def test_the_same_letter_gives_the_same_bytes() -> None:
    assert letter_pdf(samples.letter()) == letter_pdf(samples.letter())


def test_an_unknown_language_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^no wording for the language 'xx'"):
        letter_pdf(samples.letter(), language="xx")
