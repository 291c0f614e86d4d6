"""What is wrong with an applicant file taken as a whole."""

from __future__ import annotations

from comity.core.facts.checks import check_applicant
from comity.core.facts.model import (
    Applicant,
    ExaminationResult,
    Facts,
    Paper,
    Person,
    PracticeSpell,
    Results,
)


def found(applicant: Applicant) -> list[tuple[str, tuple[str | int, ...]]]:
    """Return codes and paths of the complaints."""
    return [(each.code, each.path) for each in check_applicant(applicant)]


def test_an_empty_file_is_fine() -> None:
    assert found(Applicant(applicant="a")) == []


def test_ids_are_unique_in_their_list_and_free_in_another() -> None:
    sat = ExaminationResult(id="x", examination="national")
    applicant = Applicant(
        applicant="a",
        facts=Facts(practice=(PracticeSpell(id="x"), PracticeSpell(id="y"), PracticeSpell(id="x"))),
        results=Results(examinations=(sat, sat)),
    )
    assert found(applicant) == [
        ("F311", ("facts", "practice", 2, "id")),
        ("F311", ("results", "examinations", 1, "id")),
    ]


def test_papers_named_by_facts_are_listed() -> None:
    applicant = Applicant(
        applicant="a",
        facts=Facts(
            person=Person(papers=("passport",)),
            practice=(PracticeSpell(id="x", papers=("passport", "letter")),),
        ),
        papers=(Paper(id="passport", kind="passport"),),
    )
    (complaint,) = check_applicant(applicant)
    assert (complaint.code, complaint.path) == ("F312", ("facts", "practice", 0, "papers", 1))
    assert complaint.hint == "list it there with its kind"


def test_while_the_list_of_papers_is_unknown_any_paper_may_be_named() -> None:
    applicant = Applicant(applicant="a", facts=Facts(person=Person(papers=("passport",))))
    assert found(applicant) == []
