"""What `rulebook show` says of parties, steps, fees, examinations and renewal."""

from __future__ import annotations

from pathlib import Path

from comity.core.declaring.estimates import Estimate
from comity.core.rulebook.checks import check_edition
from comity.core.rulebook.diff import changes
from comity.core.rulebook.model import Examination, Renewal
from comity.core.rulebook.prose_editions import sections
from comity.core.rulebook.prose_plan import plan_words
from tests.unit.core.rulebook.samples import day, edition, edition_from, title

PLANNED = Path(__file__).parents[3] / "assets" / "rulebooks" / "planned.yaml"
TEXT = PLANNED.read_text("utf-8")


def said(heading: str) -> list[str]:
    found = {section.heading: section.lines for section in sections(edition_from(TEXT))}
    return [line.text for line in found[heading]]


def test_a_rulebook_that_says_everything_of_its_steps_has_nothing_to_mend() -> None:
    assert list(check_edition(edition_from(TEXT), today=day("2026-11-25"))) == []


def test_parties_are_told_with_the_days_on_which_they_do_not_work() -> None:
    assert said("Who acts") == [
        (
            "The Council (council), an authority: does not work on Fridays and Saturdays, the"
            " public"
            " holidays of XA and 2027-01-01 and 2027-01-02."
        ),
        "The authority at home (home), an authority: does not work on Saturdays and Sundays.",
        "The clinic (clinic), an employer: does not work from Friday to Sunday.",
        "The candidate (candidate), the applicant: acts on any day.",
    ]


def test_steps_are_told_with_all_that_a_plan_needs() -> None:
    assert said("Steps") == [
        "Learn for the examination (the candidate), with 120 hours of study.",
        (
            "Sit the examination (the candidate), after learn, sits the National Examination;"
            " left out"
            ' once "examination" is met.'
        ),
        (
            "Have the certificate sent (the authority at home), takes 20 to 40 days, mostly 25,"
            " gets"
            " the certificate of good standing, good for 3 months, used at submission; left out"
            " once"
            ' "good standing" is met.'
        ),
        "Hand in the application (the candidate), after sit and order, which reaches submission.",
        "Decide (the Council), after apply, takes 20 working days, which reaches decision.",
        (
            "Be entered (the candidate), 2 weeks at least after decide, which reaches registration;"
            " done within 3 months after decision, else what was paid or granted is forfeited."
        ),
    ]


def test_fees_examinations_and_renewal_are_told() -> None:
    assert said("Fees") == [
        'Examination: 300.00 EUR for each attempt, paid with "sit", not paid back on refusal.',
        (
            "Verification: 40.00 EUR for each document, of which there are 3, due at submission,"
            " not"
            " paid back on refusal."
        ),
    ]
    assert said("Examinations") == [
        (
            "The National Examination: 2027-03-06 (to be entered for by 2027-01-15). 100 questions,"
            " 180 minutes, passed with 65 %, result after 10 working days of the Council."
        ),
    ]
    assert said("Renewal") == [
        "Every 2 years, asked for from 3 months before the end on, and still for 1 month after it."
    ]


def test_an_examination_by_appointment_says_so() -> None:
    words = plan_words(edition(), title())
    exam = Examination(id="oral", name="Oral", by_appointment=True, result_time=Estimate(5, 5))
    assert words.examination(exam) == "Oral: on any working day that is agreed. Result after 5 days"


def test_renewal_without_more_is_told_as_before() -> None:
    words = sections(edition(title(renewal=Renewal(every=edition().read_again_after))))
    assert [line.text for s in words if s.heading == "Renewal" for line in s.lines] == [
        "Every 12 months."
    ]


def test_changes_of_steps_parties_and_fees_are_told_in_sentences() -> None:
    new = (
        TEXT.replace("duration: 20 working days,", "duration: 25 working days,")
        .replace("lasts: 3 months, used_at", "lasts: 6 weeks, used_at")
        .replace("after: decision, period: 3 months", "after: decision, period: 2 months")
        .replace("documents: 3", "documents: 4")
        .replace("weekend: [Friday, Saturday],", "weekend: [Friday],")
        .replace("to_pass: 65 %", "to_pass: 70 %")
        .replace("opens: 3 months", "opens: 2 months")
        .replace('rulebook: "2026"', 'rulebook: "2027"')
        .replace("{from: 2026-01-01}", "{from: 2027-01-01}")
    )
    since = " (applications from 2027-01-01)."
    assert [
        change.sentence.removesuffix(since)
        for change in changes(edition_from(TEXT), edition_from(new))
    ] == [
        (
            "The title Dietitian, Have the certificate sent, paper it gets: the time it lasts goes"
            " from 3 months to 6 weeks"
        ),
        (
            "The title Dietitian, Decide: the time it takes goes from 20 working days to 25 working"
            " days"
        ),
        "The title Dietitian, Be entered, limit 1: the time goes from 3 months to 2 months",
        "The title Dietitian, Verification: the number of documents goes from 3 to 4",
        (
            "The title Dietitian, The National Examination: the share needed to pass goes from 65"
            " % to"
            " 70 %"
        ),
        (
            "The title Dietitian, renewal: the time before the end from which it can be asked for"
            " goes"
            " from 3 months to 2 months"
        ),
        "The edition, the Council: the days of the weekend go from Friday and Saturday to Friday.",
    ]
