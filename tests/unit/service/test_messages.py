"""The message to an applicant: plain, short, never a bare no, cautions at its foot."""

from __future__ import annotations

import re

import pytest

from comity.core.eligibility.assessment import Verdict
from comity.demo.caseload import demo_files
from comity.service.casework import in_order
from comity.service.messages import message_of
from tests.unit.service.casework_cases import case_of

NAMES = [path[11:-5] for path in demo_files() if path.startswith("applicants/")]
CONTACT = "Ade Okonjo, desk@lantern.example"
CAUTION = "The authority decides, and its current text counts: check it before you act."


def message(name: str, n_titles: int = 1) -> str:
    case = case_of(name)
    answers = in_order(case.answers())[:n_titles]
    return message_of(answers, applicant=case.applicant, contact=CONTACT, is_fictional=True)


@pytest.mark.parametrize("name", NAMES)
def test_a_message_has_no_codes_and_no_percentages_and_says_the_caution(name: str) -> None:
    text = message(name, 6)
    body = text.replace(CONTACT, "").replace(case_of(name).applicant.name or "", "")
    assert not re.search(r"%|per ?cent|\w+/\w+|\b[A-Z]{3,}\b|\d{4}-\d{2}", body)
    assert CAUTION in text
    assert "This is no legal or immigration advice." in text


@pytest.mark.parametrize("name", NAMES)
def test_a_no_is_followed_by_what_to_do_and_whom_to_write_to(name: str) -> None:
    for answer in case_of(name).answers():
        if answer.verdict is Verdict.NOT_MET:
            text = message_of([answer], applicant=case_of(name).applicant, contact=CONTACT)
            assert f"Questions? Write to {CONTACT}." in text
            assert re.search(r"^(1\. |Next: )", text, re.MULTILINE), text


def test_a_yes_reads_as_a_person_would_write_it() -> None:
    lines = message("leilani").splitlines()
    assert lines[0] == (
        "Hello Leilani Okonkwo-Virtanen, this is where you stand on 25 November 2026, "
        "as far as we can see."
    )
    assert lines[2] == "Dietitian, Halvenian Council of Nutrition Professions: Yes."
    assert "Hand in by 18 December 2026." in lines
    assert lines[-1] == "Invented for demonstration: no such authority, rule or person exists."


def test_a_message_on_one_title_fits_a_screen() -> None:
    assert max(len(message(name).splitlines()) for name in NAMES) <= 20


def test_more_steps_than_three_are_counted() -> None:
    assert any("more thing" in message(name, 6) for name in NAMES)


def test_without_a_contact_it_names_the_adviser() -> None:
    case = case_of("thu")
    text = message_of(case.answers()[:1], applicant=case.applicant, contact="")
    assert "Questions? Write to your adviser." in text
