"""Assessments made up by hand, to see how each of their parts is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from comity.core.days.calendar import Day, day_from_date
from comity.core.eligibility.assessment import (
    Assessment,
    RequirementResult,
    SourceNote,
    Verdict,
)


def day(text: str) -> Day:
    return day_from_date(date.fromisoformat(text))


ON = day("2026-11-25")
_RESULT = RequirementResult(
    id="xa-council/dietitian/hours",
    label="Hours of practice",
    at="submission",
    edition="2026",
    verdict=Verdict.MET,
    start=None,
    until=None,
    amount=None,
    needed=None,
    unit=None,
    shortfall=None,
    missing=(),
    deemed_by=None,
    remedy=None,
    source=SourceNote("Rules of registration", "4", read=day("2026-05-01")),
    says="At least 900 hours of practice",
    reason="",
)
_ASSESSMENT = Assessment(
    applicant="amara-n",
    applicant_name="Amara N.",
    authority="xa-council",
    authority_name="Council of Xandria",
    title="dietitian",
    title_name="Dietitian",
    on=ON,
    assumption="continues",
    verdict=Verdict.MET,
    windows=(),
    requirements=(),
    next_question=None,
    cautions=("The authority decides.",),
    milestones=(("submission", "Submission"), ("decision", "Decision")),
)


def result(**changes: Any) -> RequirementResult:  # noqa: ANN401 - any part of a result
    return replace(_RESULT, **changes)


def assessment(**changes: Any) -> Assessment:  # noqa: ANN401 - any part of an assessment
    return replace(_ASSESSMENT, **changes)
