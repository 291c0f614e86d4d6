"""Requirement sets that real authorities have published, and what they make of applicants.

Each folder holds the set as editions of a rulebook, in our own words and with its sources, and
`cases.yaml`: applicants on the day before, on and after each boundary, with the verdicts that
follow from the text of the rule, worked out by hand. README.md says more.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.published.sets import Question, check, folders_in, page, questions, rulebook

FOLDERS = folders_in(Path(__file__).parent)
MARKS = ("read in", "secondary", "from memory")


@pytest.mark.parametrize("question", questions(FOLDERS), ids=str)
def test_an_applicant_gets_what_the_published_text_says(question: Question) -> None:
    check(question)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_set_says_where_it_is_published_and_how_it_was_read(folder: Path) -> None:
    for edition in rulebook(folder).editions:
        assert not edition.fictional
        assert edition.sources
        for document in edition.sources.values():
            assert document.edition, f"{document.title}: say its edition, or that it is undated"
            assert any(f"({mark}" in document.title for mark in MARKS), document.title
        for title in edition.titles:
            assert all(requirement.source for requirement in title.requires)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_case_says_where_it_is_from_and_how_it_was_worked(folder: Path) -> None:
    content = page(folder)
    assert content["typed_by"]
    names = [case["id"] for case in content["cases"]]
    assert len(names) == len(set(names))
    for case in content["cases"]:
        assert case["rule"], case["id"]
        assert case["worked"], case["id"]
    assert {case["applicant"] for case in content["cases"]} == set(content["applicants"])
