"""Assessments made by hand, for the tests of charts and briefs; all names are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assessment import (
    Assessment,
    Certainty,
    ComingChange,
    PlainAnswer,
    Remedy,
    RequirementResult,
    SourceNote,
    Verdict,
    Window,
)
from comity.core.eligibility.discretion import Letter, LetterRow

HOSTILE = '#panic("x") $x^2$ *b* _i_ \\ " \' @ref <lbl> `raw` // c /* d */ = H\n- x\t~ [a](b) {{c}}'
LONG_NAME = "Abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz" * 2
ARABIC_NAME = "عبد الرحمن محمد السعيد"


def day(text: str) -> int:
    """Return the day of an ISO date."""
    return day_from_date(date.fromisoformat(text))


def window(start: str | None, until: str | None, certainty: Certainty = "certain") -> Window:
    """Return a window between two ISO dates."""
    return Window(
        None if start is None else day(start), None if until is None else day(until), certainty
    )


ON = day("2026-11-25")
ACT = SourceNote(
    "Act on the Health Professions of Xandria",
    section="section 12 (2)",
    edition="2025",
    read=day("2026-05-03"),
    url="https://authority.example/act#s12",
)
GUIDE = SourceNote(
    "Guide for applicants trained abroad", "page 7", "4th edition", day("2026-06-11")
)


def requirement(label: str, verdict: Verdict, **changes: object) -> RequirementResult:
    """Return a requirement checked at submission, with everything else empty."""
    plain = RequirementResult(
        id=f"xa-board/dietitian/{label.lower().replace(' ', '-')[:30]}",
        label=label,
        at="submission",
        edition="2026",
        verdict=verdict,
        start=None,
        until=None,
        amount=None,
        needed=None,
        unit=None,
        shortfall=None,
        missing=(),
        deemed_by=None,
        remedy=None,
        source=ACT,
        says="",
        reason="",
    )
    return replace(plain, **changes)  # type: ignore[arg-type]  # the tests name real fields


DEGREE = requirement(
    "A degree in dietetics of at least three years",
    Verdict.MET,
    start=day("2016-07-01"),
    windows=(window("2016-07-01", None),),
    says="A first degree in dietetics or human nutrition of at least three years.",
    reason="Your bachelor's degree of 2016 took four years and is in dietetics.",
)
PRACTICE = requirement(
    "24 months of practice within the last five years",
    Verdict.NOT_MET,
    start=day("2027-03-14"),
    amount=20.4,
    needed=24.0,
    unit="months",
    shortfall=3.6,
    windows=(window("2027-03-14", "2029-02-28"), window("2029-03-01", "2029-08-31", "possible")),
    says="24 months of full-time-equivalent practice in the five years before the application.",
    reason="You have worked the equivalent of 20.4 months since November 2021.",
    remedy=Remedy(
        "Work until 2027-03-14 at 60 %",
        day("2027-03-14"),
        "At the present 22.5 hours a week 3.6 months are full on 2027-03-14; at 100 % sooner.",
        "Go on working as you do now until 14 March 2027.",
    ),
    source=GUIDE,
)
STANDING = requirement(
    "A certificate of good standing not older than six months",
    Verdict.MET,
    start=day("2026-09-01"),
    until=day("2027-02-28"),
    windows=(window("2026-09-01", "2027-02-28"),),
    says="Issued by every authority that registered the applicant in the last five years.",
    reason="The certificate of 1 September 2026 is young enough until 28 February 2027.",
)
LANGUAGE = requirement(
    "Proof of Xandrian, level B2 in each part",
    Verdict.UNKNOWN,
    missing=("results/xlt-2025/speaking",),
    windows=(window("2026-11-25", "2027-10-09", "possible"),),
    says="A test of Xandrian at level B2 in reading, writing, listening and speaking.",
    reason="The test of October 2025 is good enough in three parts; the fourth is not entered.",
    remedy=Remedy(
        "Enter the result in speaking",
        detail="Three of four parts reach B2.",
        plain="Tell us your result in speaking, from the test of October 2025.",
    ),
)
HEALTH = requirement(
    "Fitness to practise",
    Verdict.REFER,
    windows=(window("2026-11-25", None),),
    says="The board decides where a health declaration names a condition.",
    reason="You declared a condition; the board looks at each case on its own.",
    remedy=Remedy(
        "Prepare a case for discretion",
        detail="Attach the specialist's letter and the employer's statement.",
        plain="Send the board a letter with your doctor's statement.",
    ),
)
REFUGEE = requirement(
    "Alternative evidence for refugees",
    Verdict.NOT_APPLICABLE,
    says="Where papers cannot be had because the applicant had to flee.",
    reason="Your papers can be had.",
)
ADAPTATION = requirement(
    "A period of adaptation of three months",
    Verdict.NOT_MET,
    at="registration",
    start=day("2027-06-30"),
    amount=0.0,
    needed=3.0,
    unit="months",
    shortfall=3.0,
    windows=(window("2027-06-30", None),),
    says="Three months under supervision between provisional and full registration.",
    reason="No supervised practice in Xandria is entered.",
    remedy=Remedy(
        "Work three months under supervision after provisional registration",
        day("2027-06-30"),
        "The supervisor needs three years of registration.",
        "Work three months with a supervisor once you are provisionally registered.",
    ),
)

ALL_VERDICTS = (PRACTICE, LANGUAGE, HEALTH, DEGREE, STANDING, REFUGEE, ADAPTATION)

CAUTIONS = (
    "The rulebook was last read on 11 June 2026 and the guide may have changed since.",
    "Practice is counted as stated; no employer has confirmed it yet.",
)


def assessment(verdict: Verdict, **changes: object) -> Assessment:
    """Return an assessment of an invented dietitian on 25 November 2026."""
    plain = Assessment(
        applicant="lina-example",
        applicant_name="Lina Example",
        authority="xa-board",
        authority_name="Xandrian Board of Health Professions",
        title="dietitian",
        title_name="Dietitian",
        on=ON,
        assumption="continues",
        verdict=verdict,
        windows=(),
        requirements=(),
        next_question=None,
        cautions=CAUTIONS,
        milestones=(
            ("submission", "Application handed in"),
            ("registration", "Full registration"),
        ),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]  # the tests name real fields


def mixed() -> Assessment:
    """Return an assessment in which every verdict occurs."""
    return assessment(
        Verdict.NOT_MET,
        requirements=ALL_VERDICTS,
        windows=(window("2027-03-14", "2027-10-09", "possible"),),
        remedies=(PRACTICE.remedy, LANGUAGE.remedy, HEALTH.remedy),
        earliest=day("2027-03-14"),
        next_question="results/xlt-2025/speaking",
        pathway="Trained outside Xandria",
        coming=(
            ComingChange(
                "2028",
                day("2028-01-01"),
                Verdict.NOT_MET,
                Verdict.NOT_MET,
                (PRACTICE.id,),
            ),
        ),
        by_hand_open=("Character: two referees who have known the applicant for a year",),
        wholly_read=False,
        stale=("Guide for applicants trained abroad was last read on 2026-06-11.",),
        other_assumption=Verdict.NOT_MET,
        if_stops_until=None,
        answer=PlainAnswer("Not yet", "On 14 March 2027 your practice is enough."),
        notes=("The start of practice p2 was taken as 1 May 2019, the latest it can be.",),
    )


def clear_yes() -> Assessment:
    """Return three requirements, all met, with a window that closes."""
    recency = requirement(
        "Practice within the last two years",
        Verdict.MET,
        until=day("2029-06-30"),
        windows=(window(None, "2029-06-30"),),
        reason="You work as a dietitian now.",
    )
    return assessment(
        Verdict.MET,
        requirements=(STANDING, DEGREE, recency),
        windows=(window("2026-09-01", "2027-02-28"),),
        if_stops_until=day("2027-01-31"),
        answer=PlainAnswer("Yes", "What you told us meets everything that was checked."),
        cautions=(),
    )


def many(n_requirements: int = 40) -> Assessment:
    """Return an assessment with many requirements and some long labels."""
    rows = tuple(
        replace(
            ALL_VERDICTS[number % len(ALL_VERDICTS)],
            id=f"xa-board/dietitian/r{number}",
            label=f"{number + 1}. {ALL_VERDICTS[number % len(ALL_VERDICTS)].label}"
            + (", with whatever else the board may ask for in its guide" if number % 3 else ""),
        )
        for number in range(n_requirements)
    )
    return replace(mixed(), requirements=rows)


def hostile() -> Assessment:
    """Return an assessment whose every text is full of markup, or far too long."""
    nasty = replace(
        PRACTICE,
        label=HOSTILE,
        says=HOSTILE,
        reason=HOSTILE,
        source=SourceNote(HOSTILE, HOSTILE, HOSTILE, None, "https://example.org/" + "a" * 120),
        remedy=Remedy(HOSTILE, None, HOSTILE, HOSTILE),
        missing=(HOSTILE,),
        unit=HOSTILE,
        deemed_by=HOSTILE,
    )
    long = replace(LANGUAGE, label=LONG_NAME, reason=ARABIC_NAME * 10, missing=(LONG_NAME,))
    return replace(
        mixed(),
        applicant_name=HOSTILE,
        authority_name=LONG_NAME,
        title_name=HOSTILE,
        requirements=(nasty, long, replace(DEGREE, children=(nasty, long))),
        answer=PlainAnswer(HOSTILE, HOSTILE),
        cautions=(HOSTILE,),
        notes=(HOSTILE, LONG_NAME),
        stale=(HOSTILE,),
        by_hand_open=(HOSTILE,),
        next_question=HOSTILE,
        pathway=HOSTILE,
    )


def letter() -> Letter:
    """Return a case for discretion about practice that falls a little short."""
    return Letter(
        to=(
            "Xandrian Board of Health Professions",
            "Registration of persons trained abroad",
            "1 Assembly Square",
            "Xandria City",
        ),
        sender=("Lina Example", "7 Orchard Lane", "Port Wye", "lina@mail.example"),
        on=ON,
        subject="Registration as a dietitian: request to accept practice that falls a little short",
        facts=(
            (
                "I apply for registration as a dietitian. Of the requirements in force on 25"
                " November 2026 I meet all but one. The facts are these."
            ),
            (
                "I have practised as a clinical dietitian at the General Hospital of Port Wye since"
                " 1 February 2024, at 22.5 hours a week, and full time from 2019 to 2021."
            ),
            (
                "The board may accept less practice where the circumstances justify it (section 12"
                " (5) of the Act). I ask the board to use this discretion."
            ),
        ),
        rows=(
            LetterRow(
                PRACTICE.label,
                "24 months",
                "20.4 months",
                "3.6 months",
                "Guide for applicants trained abroad, page 7, 4th edition",
            ),
        ),
        speaks_for=(
            "The shortfall is 3.6 months, and practice goes on: it ends on 14 March 2027.",
            "The interruption of 2021 to 2024 was parental leave, shown by the enclosed letter.",
            "Thirty-two hours of updating were completed in 2026.",
        ),
        papers=(
            "Letter of the General Hospital with hours and duties",
            "Confirmation of parental leave",
            "Certificates of updating, four",
        ),
        cautions=(
            "Read every sentence: this letter was drafted from what you told us.",
            "Attach the papers in the order of the list.",
        ),
    )


def unknown() -> Assessment:
    """Return an assessment which a missing fact leaves open."""
    row = replace(LANGUAGE, remedy=None)
    return assessment(
        Verdict.UNKNOWN,
        requirements=(row, DEGREE, STANDING),
        windows=(window("2026-11-25", "2027-02-28", "possible"),),
        next_question="results/xlt-2025/speaking",
    )


def refers() -> Assessment:
    """Return an assessment which the authority has to settle."""
    return assessment(
        Verdict.REFER,
        requirements=(replace(HEALTH, remedy=None), DEGREE, STANDING),
        windows=(window("2026-11-25", "2027-02-28"),),
    )


def not_for_you() -> Assessment:
    """Return an assessment under rules meant for others."""
    return assessment(Verdict.NOT_APPLICABLE, requirements=(REFUGEE,))


def hopeless() -> Assessment:
    """Return a no without any remedy that could be computed."""
    row = replace(PRACTICE, remedy=None, windows=(), start=None, reason="Only 85 % of xa/b_c.")
    return assessment(Verdict.NOT_MET, requirements=(row,))
