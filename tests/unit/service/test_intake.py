from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.questions import is_settled
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.files.applicants import load_applicant
from comity.files.writing import WritingError
from comity.service.answers import AnswerError
from comity.service.assessing import titles_asked
from comity.service.intake import Intake, load_or_begin
from tests.simulated import KnowingPerson, interviewed, n_fixed_questions

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment
    from comity.core.eligibility.questions import Question
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook
    from comity.files.applicants import LoadedApplicant

TODAY = day_from_date(date(2026, 11, 25))
RULEBOOKS = demo_rulebooks(today=TODAY).rulebooks
TITLES = titles_asked(RULEBOOKS, None)
ONE_TITLE = titles_asked(RULEBOOKS, "xa-council/provisional")
PAGE = Path(__file__).parents[3] / "docs" / "how-to" / "ask-fewest-questions.md"


def begun(path: Path, *, titles: Sequence[tuple[Rulebook, str]] = TITLES) -> Intake:
    loaded = load_or_begin(path, today=TODAY)
    assert loaded.applicant is not None
    return Intake(path, loaded.text, loaded.applicant, titles, lambda _time_zone: TODAY)


def question_of(intake: Intake) -> Question:
    question = intake.next_question()
    assert question is not None
    return question


@dataclass(slots=True)
class Counted:
    """How many questions were asked, and how many a form would have asked."""

    n_asked: int = 0
    n_fixed: int = 0


def counted(applicants: Iterable[LoadedApplicant]) -> Counted:
    """Interview people who know what stands in their files; every title must come out the same."""
    count = Counted()
    for loaded in applicants:
        assert loaded.applicant is not None
        person = KnowingPerson(loaded.applicant)
        intake = interviewed(person, TITLES, today=TODAY)
        expected = [
            assess(loaded.applicant, rulebook, title=title, on=TODAY, today=TODAY).verdict
            for rulebook, title in TITLES
        ]
        found = [each.verdict for each in intake.final_assessments()]
        assert found == expected, loaded.file
        assert len(person.asked) == len(set(person.asked)), loaded.file
        count.n_asked += len(person.asked)
        count.n_fixed += n_fixed_questions(RULEBOOKS, loaded.applicant)
    return count


def test_two_thirds_of_the_questions_of_a_form_settle_every_title() -> None:
    quick = {"mehtap", "priyanka", "rosalind", "yasmin"}
    count = counted(each for each in demo_applicants() if Path(each.file).stem in quick)
    assert 0 < count.n_asked < count.n_fixed * 2 / 3


@pytest.mark.soak
def test_the_page_tells_how_few_questions_the_whole_demo_needs() -> None:
    count = counted(demo_applicants())
    assert count.n_asked < count.n_fixed * 2 / 3
    page = " ".join(PAGE.read_text(encoding="utf-8").split())
    assert f"{count.n_asked} questions" in page
    assert f"asks {count.n_fixed:,}" in page


def test_a_new_file_is_named_as_its_path_and_written_with_the_first_answer(tmp_path: Path) -> None:
    path = tmp_path / "Amara N.yaml"
    intake = begun(path)
    assert not path.exists()
    intake.answer(question_of(intake), "BSc Dietetics")
    assert path.read_text(encoding="utf-8") == (
        "applicant: amara-n\nas_of: 2026-11-25\n"
        "facts:\n  qualifications:\n    - id: bsc-dietetics\n      title: BSc Dietetics\n"
    )


def test_an_intake_goes_on_where_it_stopped(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    intake = begun(path)
    first = question_of(intake)
    intake.answer(first, "BSc Dietetics")
    second = question_of(intake)
    intake.answer(second, "?")
    third = question_of(intake)
    again = question_of(begun(path))
    assert again == third
    assert load_applicant(path).applicant == intake.applicant
    assert second.path in intake.applicant.asked


def test_what_is_known_in_part_is_kept_and_not_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    path.write_text(
        "applicant: amara\nfacts:\n  qualifications:\n    - {id: degree, title: BSc}\n",
        encoding="utf-8",
    )
    intake = begun(path, titles=ONE_TITLE)
    asked = []
    while (question := intake.next_question()) is not None:
        asked.append(question.path)
        intake.answer(question, "2019" if question.kind in {"day", "last day"} else "?")
    assert "qualifications/degree/completed" in asked
    assert len(asked) == len(set(asked))
    assert "completed: 2019" in path.read_text(encoding="utf-8")


def test_an_answer_that_contradicts_the_file_is_not_kept(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    path.write_text(
        "applicant: amara\nfacts:\n  practice:\n"
        "    - {id: post-1, employer: City Hospital, start: 2020-03-01}\n",
        encoding="utf-8",
    )
    intake = begun(path, titles=ONE_TITLE)
    before = path.read_bytes()
    question = next(found for found in _questions(intake) if found.path == "practice/post-1/end")
    with pytest.raises(AnswerError) as caught:
        intake.answer(question, "1 March 2019")
    assert str(caught.value) == (
        "the end lies before the start (2019-03-01); expected a day on or after 2020-03-01"
    )
    assert path.read_bytes() == before
    assert intake.n_answers == 0


def _questions(intake: Intake) -> list[Question]:
    """Return the questions that would come, nothing being kept."""
    other = Intake(None, intake.text, intake.applicant, ONE_TITLE, lambda _time_zone: TODAY)
    found = []
    while (question := other.next_question()) is not None:
        found.append(question)
        other.answer(question, "?")
    return found


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    intake = begun(tmp_path / "no" / "amara.yaml")
    with pytest.raises(WritingError):
        intake.answer(question_of(intake), "BSc")


def test_a_settled_title_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    loaded = next(each for each in demo_applicants() if each.file.endswith("hana.yaml"))
    assert loaded.applicant is not None
    intake = Intake(None, loaded.text, loaded.applicant, TITLES, lambda _time_zone: TODAY)
    settled = intake.assessments()
    n_open = sum(not is_settled(each, intake.vocabulary) for each in settled)
    calls = []

    def counting(
        applicant: Applicant, rulebook: Rulebook, *, title: str, on: Day, today: Day
    ) -> Assessment:
        calls.append(title)
        return assess(applicant, rulebook, title=title, on=on, today=today)

    monkeypatch.setattr("comity.service.intake.assess", counting)
    assert intake.assessments() == settled
    assert len(calls) == n_open < len(settled)


def test_the_last_answer_can_be_taken_back(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    intake = begun(path, titles=ONE_TITLE)
    assert not intake.take_back()
    first = question_of(intake)
    intake.answer(first, "BSc Dietetics")
    kept = path.read_bytes()
    second = question_of(intake)
    intake.answer(second, "?")
    assert intake.take_back()
    assert path.read_bytes() == kept
    assert question_of(intake) == second
    assert intake.n_answers == 1
