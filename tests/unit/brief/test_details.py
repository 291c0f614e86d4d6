from __future__ import annotations

from dataclasses import replace

import pytest

from comity.brief.details import Details, RequirementRow, cited, details, number, sentences
from comity.brief.wording import ENGLISH
from comity.core.eligibility.assessment import (
    Assessment,
    ComingChange,
    RequirementResult,
    SourceNote,
    Verdict,
)
from tests.assets.brief import samples
from tests.assets.brief.samples import day, window


def details_of(assessment: Assessment) -> Details:
    """Return the chapter in English."""
    return details(assessment, wording=ENGLISH)


def row_of(result: RequirementResult) -> RequirementRow:
    """Return the table row of one requirement."""
    return details_of(samples.assessment(result.verdict, requirements=(result,))).rows[0]


def lines_of(row: RequirementRow) -> dict[str, str]:
    """Return the named lines below a requirement with plain spaces."""
    return {line.name: line.text.replace("\u00a0", " ") for line in row.lines}


def test_the_chapter_says_for_whom_when_and_on_what_assumption() -> None:
    facts = {
        line.name: line.text.replace("\u00a0", " ") for line in details_of(samples.mixed()).facts
    }
    assert facts == {
        "Applicant": "Lina Example (lina-example)",
        "Title": "Dietitian (dietitian)",
        "Authority": "Xandrian Board of Health Professions (xa-board)",
        "Assessed for": "25 November 2026",
        "Assumption": "practice going on today is taken to go on; otherwise: not met",
        "Pathway": "Trained outside Xandria",
        "Edition": "2026",
        "Next question": "results/xlt-2025/speaking",
    }


def test_a_requirement_has_amounts_dates_and_everything_an_adviser_asks() -> None:
    row = row_of(replace(samples.PRACTICE, missing=("practice/p2/end",), deemed_by="xa/x/other"))
    assert row.word == "not met"
    assert row.amounts == ("20.4 of 24 months", "short by 3.6 months")
    assert [text.replace("\u00a0", " ") for text in row.dates] == ["from 14 Mar 2027 on"]
    assert lines_of(row) == {
        "What would fix it": (
            "Work until 14 March 2027 at 60 %. Earliest day: 14 March 2027. At the present 22.5"
            " hours a week 3.6 months are full on 14 March 2027; at 100 % sooner."
        ),
        "Missing": "practice/p2/end",
        "Deemed met by": "xa/x/other",
        "Source": "Guide for applicants trained abroad, page 7, 4th edition",
    }


def test_a_conflict_names_both_sources() -> None:
    row = row_of(replace(samples.HEALTH, conflict=(samples.ACT, samples.GUIDE)))
    assert lines_of(row)["Sources disagree"] == (
        "Act on the Health Professions of Xandria, section 12 (2), 2025;"
        " Guide for applicants trained abroad, page 7, 4th edition"
    )


def test_only_a_later_check_point_is_named() -> None:
    rows = details_of(samples.mixed()).rows
    assert {row.at for row in rows} == {"", "at: Full registration"}


def test_a_part_without_a_check_point_of_its_own_names_none() -> None:
    assert row_of(replace(samples.PRACTICE, at="")).at == ""


def test_conditions_are_listed_as_they_are() -> None:
    chapter = details_of(replace(samples.mixed(), conditions=("perhaps: under supervision",)))
    assert chapter.conditions == ("perhaps: under supervision",)


def test_parts_follow_their_requirement_indented() -> None:
    part = replace(samples.PRACTICE, children=(samples.LANGUAGE,))
    whole = replace(samples.DEGREE, children=(part, samples.HEALTH))
    rows = details_of(samples.assessment(Verdict.MET, requirements=(whole,))).rows
    assert [(row.depth, row.label) for row in rows] == [
        (0, samples.DEGREE.label),
        (1, samples.PRACTICE.label),
        (2, samples.LANGUAGE.label),
        (1, samples.HEALTH.label),
    ]


@pytest.mark.parametrize(
    ("changes", "dates"),
    [
        ({"start": None, "until": day("2027-02-28")}, ["until 28 Feb 2027"]),
        ({"start": None, "until": None, "verdict": Verdict.MET}, ["at any time"]),
        ({"start": None, "windows": (window("2027-01-01", None, "possible"),)},
         ["may hold from 1 Jan 2027 on"]),
        ({"start": None, "windows": (window("2027-01-01", None),)}, ["holds from 1 Jan 2027 on"]),
        ({"start": None, "windows": ()}, ["no day found"]),
        ({"verdict": Verdict.NOT_APPLICABLE}, []),
    ],
)  # fmt: skip
def test_the_days_of_a_requirement_are_said(changes: dict[str, object], dates: list[str]) -> None:
    row = row_of(replace(samples.PRACTICE, **changes))  # type: ignore[arg-type]  # real fields
    assert [text.replace("\u00a0", " ") for text in row.dates] == dates


def test_an_amount_without_a_need_stands_alone() -> None:
    row = row_of(replace(samples.DEGREE, amount=4.0, unit="years"))
    assert row.amounts == ("4 years",)


@pytest.mark.parametrize(
    ("value", "shown"),
    [(24.0, "24"), (23.4, "23.4"), (0.0, "0"), (1234.5, "1\u00a0234.5"), (10.0, "10"),
     (0.333333, "0.33"), (100.0, "100")],
)  # fmt: skip
def test_a_number_has_no_idle_zeros(value: float, shown: str) -> None:
    assert number(value) == shown


def test_sources_come_once_with_the_day_they_were_read() -> None:
    sources = [text.replace("\u00a0", " ") for text in details_of(samples.mixed()).sources]
    assert sources == [
        "Guide for applicants trained abroad, page 7, 4th edition, read 11 June 2026",
        (
            "Act on the Health Professions of Xandria, section 12 (2), 2025,"
            " https://authority.example/act#s12, read 3 May 2026"
        ),
    ]


def test_a_source_without_a_reading_day_says_so() -> None:
    row = replace(samples.DEGREE, source=SourceNote("Some circular"))
    sources = details_of(samples.assessment(Verdict.MET, requirements=(row,))).sources
    assert sources == ("Some circular, day of reading not noted",)


def test_a_coming_edition_says_what_it_changes() -> None:
    change = ComingChange("2028", day("2028-01-01"), Verdict.MET, Verdict.NOT_MET, ("gone",))
    lines = details_of(replace(samples.mixed(), coming=(change,))).coming
    assert [text.replace("\u00a0", " ") for text in lines] == [
        "Edition 2028, from 1 January 2028: met becomes not met. Concerns: gone."
    ]


def test_a_coming_edition_that_changes_nothing_says_so() -> None:
    change = ComingChange("2028", day("2028-01-01"), Verdict.MET, Verdict.MET, ())
    lines = details_of(replace(samples.mixed(), coming=(change,))).coming
    assert [text.replace("\u00a0", " ") for text in lines] == [
        "Edition 2028, from 1 January 2028: the verdict stays met."
    ]


def test_texts_become_sentences() -> None:
    assert sentences(["Do this", "", "Now!", " then that. "]) == "Do this. Now! Then that."


def test_a_source_is_cited_by_what_is_known_of_it() -> None:
    assert cited(SourceNote("Act", edition="2025")) == "Act, 2025"


def test_a_very_long_requirement_may_be_broken_across_pages() -> None:
    assert not row_of(replace(samples.DEGREE, says="word " * 400)).is_unbroken
    assert row_of(samples.DEGREE).is_unbroken


def test_missing_facts_are_named_as_people_name_them() -> None:
    chapter = details(
        replace(samples.mixed(), next_question="practice/p2/end"),
        wording=ENGLISH,
        said=lambda paths: tuple(f"<{path}>" for path in paths),
    )
    assert chapter.facts[-1].text == "<practice/p2/end>"


def test_of_a_whole_that_is_met_only_the_parts_that_make_it_so_are_listed() -> None:
    met = replace(samples.DEGREE, verdict=Verdict.MET, label="Held", children=())
    refer = replace(met, verdict=Verdict.REFER, label="Looked at")
    for whole, expected in (
        (replace(met, children=(refer, met)), ["Held", "Held"]),
        (replace(met, children=(refer,)), ["Held", "Looked at"]),
        (replace(refer, children=(refer, met)), ["Looked at", "Looked at", "Held"]),
    ):
        found = details(replace(samples.mixed(), requirements=(whole,)), wording=ENGLISH)
        assert [row.label for row in found.rows] == expected
