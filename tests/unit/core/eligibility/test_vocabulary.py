"""Words of rulebooks that questions offer."""

from __future__ import annotations

from dataclasses import replace

from comity.core.eligibility.vocabulary import Vocabulary, vocabulary_of
from comity.core.rulebook.model import Rulebook
from tests.unit.core.eligibility.samples import asking, title_from
from tests.unit.core.rulebook.samples import AUTHORITY, edition


def words_of(*requirements: str) -> Vocabulary:
    """Return the words of one edition with these requirements."""
    return vocabulary_of([Rulebook(AUTHORITY, (asking(*requirements),))])


def test_words_for_practice_are_taken_from_settings_that_count_and_that_do_not() -> None:
    found = words_of(
        "{kind: recency, within: P2Y, scope: {settings: [clinical, community], titles: [chef]}}",
        "{kind: recency, within: P5Y, scope: {excluded_settings: [teaching, clinical]}}",
    )
    assert found.words["practice/setting"] == ("clinical", "community", "teaching")
    assert found.words["practice/title"] == ("chef",)


def test_words_inside_combined_requirements_count() -> None:
    found = words_of("""
        kind: any
        of:
          - {kind: paper, paper: passport}
          - {kind: not, of: {kind: paper, paper: visa}}
    """)
    assert found.words["papers"] == ("passport", "visa")


def test_categories_of_a_curriculum_are_the_words_for_its_hours() -> None:
    found = words_of("""
        kind: qualification
        total_hours: 4600
        least_hours: {taught: 2900}
        shares: [{category: placement, share: 1/3, of: required total}]
    """)
    assert found.words["qualifications/hours"] == ("taught", "placement")


def test_parts_of_a_language_test_are_words_and_so_is_its_name() -> None:
    found = words_of("{kind: language, tests: [{test: Halvenian, parts: {reading: 80}}]}")
    assert found.words["language"] == ("Halvenian",)
    assert found.words["language/parts"] == ("reading",)


def test_the_authority_itself_is_one_with_which_people_may_be_registered() -> None:
    found = words_of("{kind: registration, authorities: [xb-board]}")
    assert found.words["registrations/authority"] == ("xa-council", "xb-board")


def test_names_are_those_of_authorities_examinations_and_the_edition() -> None:
    book = edition(
        title_from("examinations: [{id: final, name: Final Examination}]"), names={"xb": "Belmora"}
    )
    found = vocabulary_of([Rulebook(AUTHORITY, (book,))])
    assert [found.named(word) for word in ("final", "xb", "xa-council", "other")] == [
        "Final Examination",
        "Belmora",
        "Council of Dietitians",
        "other",
    ]


def test_a_declaration_is_asked_as_it_stands_first() -> None:
    found = words_of(
        "{kind: declaration, declaration: sound, question: Are you well?}",
        "{kind: declaration, declaration: sound, question: Is your health good?}",
    )
    assert found.declarations == {"sound": "Are you well?"}


def test_what_employers_ask_never_decides() -> None:
    found = words_of(
        "{id: asked, kind: paper, paper: CV}",
        "{id: wished, kind: paper, paper: reference, demanded_by: employers}",
    )
    assert found.asides == {"xa-council/dietitian/wished"}


def test_words_of_several_editions_stand_in_the_order_in_which_they_come() -> None:
    older = asking("{kind: paper, paper: passport}", rulebook="2020")
    newer = asking("{kind: paper, paper: photo}", "{kind: paper, paper: passport}")
    other = Rulebook(
        replace(AUTHORITY, id="xb-board"), (asking("{kind: paper, paper: visa}", rulebook="1"),)
    )
    found = vocabulary_of([Rulebook(AUTHORITY, (older, newer)), other])
    assert found.words["papers"] == ("passport", "photo", "visa")
