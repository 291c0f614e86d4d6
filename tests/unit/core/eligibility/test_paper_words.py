"""What to do about a paper tells what is wrong with the one at hand."""

from __future__ import annotations

import pytest

from tests.unit.core.eligibility.samples import asking, assessed, result_of

PHOTO = """
kind: paper
paper: photo
photo: {width_mm: 35, height_mm: 45, least_face: 70 %, greatest_face: 80 %}
"""


def told(rule: str, papers: str) -> tuple[str, str]:
    """Return the remedy's words for the adviser and for the applicant."""
    remedy = result_of(rule, f"papers: {papers}").remedy
    assert remedy is not None
    return remedy.what, remedy.plain


def test_a_photo_with_too_small_a_face_is_told_the_face() -> None:
    photo = "[{id: p, kind: photo, width_mm: 35, height_mm: 45, face_share: 65 %}]"
    # By hand: 70 and 80 % of 45 mm are 31.5 and 36 mm.
    assert told(PHOTO, photo) == (
        "Get a new photo: the face between 70 % and 80 % of the height, chin to crown",
        "Get a new photo: the face between 31.5 and 36 mm high from chin to crown.",
    )


def test_a_photo_of_another_size_is_told_the_size() -> None:
    photo = "[{id: p, kind: photo, width_mm: 30, height_mm: 40, face_share: 75 %}]"
    assert told(PHOTO, photo)[1] == "Get a new photo: 35 by 45 mm in size."


def test_a_photo_that_is_not_there_is_told_size_and_face() -> None:
    assert told(PHOTO, "[]")[1] == (
        "Get your photo, 35 by 45 mm in size, the face between 31.5 and 36 mm high from chin to "
        "crown."
    )


@pytest.mark.parametrize(
    ("photo", "plain"),
    [
        ("{width_mm: 35}", "Get your photo, 35 mm wide."),
        ("{height_mm: 45}", "Get your photo, 45 mm high."),
        ("{least_face: 70 %}", "Get your photo, the face as large as the rules ask."),
        (
            "{height_mm: 50, least_face: 70 %}",
            "Get your photo, 50 mm high, the face at least 35 mm high from chin to crown.",
        ),
        (
            "{height_mm: 50, greatest_face: 80 %}",
            "Get your photo, 50 mm high, the face at most 40 mm high from chin to crown.",
        ),
    ],
)
def test_only_what_is_asked_of_a_photo_is_said(photo: str, plain: str) -> None:
    assert told(f"{{kind: paper, paper: photo, photo: {photo}}}", "[]")[1] == plain


LETTER = """
kind: paper
paper: letter
forms: [original, certified copy]
certified_by: [a notary]
languages: [en]
translated_by: [sworn translator]
legalised: [apostille]
"""
GOOD = "id: p, kind: letter, form: original, language: en, legalised: apostille"


@pytest.mark.parametrize(
    ("changed", "plain"),
    [
        (("form: original", "form: plain copy"), "Get your letter as original or certified copy."),
        (
            ("form: original", "form: certified copy, certified_by: a friend"),
            "Have the copy of your letter certified by a notary.",
        ),
        (
            ("language: en", "language: fr, translated_into: [de], translated_by: me"),
            "Have your letter translated into en by a sworn translator.",
        ),
        (
            ("legalised: apostille", "legalised: consular"),
            "Have your letter legalised (apostille).",
        ),
        (("id: p", "id: p, status: requested"), "See that your letter arrives."),
    ],
)
def test_what_can_be_done_with_the_paper_at_hand_is_proposed(
    changed: tuple[str, str], plain: str
) -> None:
    assert told(LETTER, f"[{{{GOOD.replace(*changed)}}}]")[1] == plain


def test_a_paper_with_several_faults_is_got_anew_with_all_of_them_told() -> None:
    entry = "{id: p, kind: letter, form: plain copy, language: fr, legalised: consular}"
    assert told(LETTER, f"[{entry}]")[0] == (
        "Get a new letter: in the form of original or certified copy, in en, or translated and "
        "legalised (apostille)"
    )


def test_a_paper_of_another_issuer_and_country_says_whose_is_asked() -> None:
    rule = "{kind: paper, paper: letter, issuers: [The Clinic], countries: [XE]}"
    entry = "{id: p, kind: letter, issuer: A Friend, country: XD}"
    what, _plain = told(rule, f"[{entry}]")
    assert what == "Get a new letter: issued by The Clinic and from XE"


def test_a_paper_too_old_is_renewed_and_its_reason_tells_since_when() -> None:
    rule = "{kind: paper, paper: letter, greatest_age: 3 months}"
    result = result_of(rule, "papers: [{id: p, kind: letter, issued: 2026-01-15}]")
    assert result.remedy is not None
    assert result.remedy.what == "Renew the letter"
    assert result.remedy.detail == "at most 3 months old"
    # By hand: three months after 15 January end with 15 April.
    assert result.reason == (
        "letter on file, issued 2026-01-15, older than 3 months since 2026-04-16"
    )


def test_a_photo_too_old_is_taken_anew() -> None:
    rule = "{kind: paper, paper: photo, greatest_age: 3 months, photo: {width_mm: 35}}"
    entry = "{id: p, kind: photo, issued: 2026-01-15, width_mm: 35}"
    assert told(rule, f"[{entry}]")[1] == "Get a new photo."


EXAMINATION = """
kind: examination
examination: great
stages: [{id: p1, label: Paper 1}, {id: p2, label: Paper 2}]
"""


def test_only_the_paper_of_an_examination_that_lacks_is_named() -> None:
    facts = """
    results:
      examinations:
        - {id: a, examination: great, stage: p1, taken: 2025-06-01, outcome: passed}
    """
    remedy = result_of(EXAMINATION, facts).remedy
    assert remedy is not None
    assert remedy.plain == "Pass Paper 2 of the great examination."


def test_the_whole_examination_is_named_where_no_paper_is_passed() -> None:
    remedy = result_of(EXAMINATION, "results: {examinations: []}").remedy
    assert remedy is not None
    assert remedy.plain == "Pass the great examination."


def test_what_runs_from_a_step_still_to_come_waits_for_it() -> None:
    rule = "{kind: elapsed, since: registration, within: 14 weeks}"
    found = assessed("progress: []", asking(rule))
    (result,) = found.requirements
    assert result.remedy is not None
    assert result.remedy.what == (
        "Only after: registration, which has not happened yet; then at most 14 weeks after that"
    )
    assert found.answer.headline == "Not yet"
    assert found.answer.steps[0].says == (
        "This comes only after another step: registration. Tell us when that has happened."
    )
