"""Assessments as plain data: the contract of ``comity assess --json``."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from comity.core.days.calendar import iso
from comity.service.assessing import day_or_null

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.eligibility.assessment import (
        Assessment,
        ComingChange,
        PlainStep,
        Remedy,
        RequirementResult,
        SourceNote,
        Window,
    )

Data = dict[str, Any]


def assessment_data(assessment: Assessment) -> Data:
    """Return an assessment as data; days are ISO 8601, both ends included, open ends null."""
    return {
        "applicant": assessment.applicant,
        "authority": assessment.authority,
        "title": assessment.title,
        "on": iso(assessment.on),
        "assumption": assessment.assumption,
        "verdict": assessment.verdict.value,
        "windows": [_window(window) for window in assessment.windows],
        "requirements": [_requirement(each) for each in assessment.requirements],
        "next_question": assessment.next_question,
        "cautions": list(assessment.cautions),
        "applicant_name": assessment.applicant_name,
        "authority_name": assessment.authority_name,
        "title_name": assessment.title_name,
        "plain_answer": assessment.plain_answer,
        "headline": assessment.answer.headline,
        "steps": [_step(step) for step in assessment.answer.steps],
        "steps_after": [_step(step) for step in assessment.answer.after],
        "pathway": assessment.pathway,
        "earliest": day_or_null(assessment.earliest),
        "remedies": [_remedy(remedy) for remedy in assessment.remedies],
        "earliest_is_own_pace": assessment.earliest_is_own_pace,
        "earliest_is_conditional": assessment.earliest_is_conditional,
        "conditions": list(assessment.conditions),
        "coming": [_coming(change) for change in assessment.coming],
        "other_assumption": assessment.other_assumption,
        "if_stops_until": day_or_null(assessment.if_stops_until),
        "by_hand_open": list(assessment.by_hand_open),
        "wholly_read": assessment.wholly_read,
        "stale": list(assessment.stale),
        "notes": list(assessment.notes),
        "never_together": list(assessment.never_together),
    }


def _window(window: Window) -> Data:
    return {
        "from": day_or_null(window.start),
        "until": day_or_null(window.until),
        "certainty": window.certainty,
    }


def _requirement(result: RequirementResult) -> Data:
    return {
        "id": result.id,
        "label": result.label,
        "at": result.at,
        "edition": result.edition,
        "verdict": result.verdict.value,
        "from": day_or_null(result.start),
        "until": day_or_null(result.until),
        "amount": result.amount,
        "needed": result.needed,
        "unit": result.unit,
        "shortfall": result.shortfall,
        "missing": list(result.missing),
        "deemed_by": result.deemed_by,
        "remedy": _remedy(result.remedy),
        "source": _source(result.source),
        "says": result.says,
        "reason": result.reason,
        "windows": [_window(window) for window in result.windows],
        "parts": [_requirement(part) for part in result.children],
        "conflict": [_source(source) for source in result.conflict],
        "demanded_by": result.demanded_by,
    }


def _remedy(remedy: Remedy | None) -> Data | None:
    if remedy is None:
        return None
    return {
        "what": remedy.what,
        "earliest": day_or_null(remedy.earliest),
        "detail": remedy.detail,
        "plain": remedy.plain,
    }


def _step(step: PlainStep) -> Data:
    return {"says": step.says, "earliest": day_or_null(step.day)}


def _source(source: SourceNote) -> Data:
    return {**asdict(source), "read": day_or_null(source.read)}


def _coming(change: ComingChange) -> Data:
    return {
        "edition": change.edition,
        "from": iso(change.start),
        "verdict_before": change.verdict_before.value,
        "verdict_after": change.verdict_after.value,
        "requirements": list(change.requirements),
    }


def assessments_data(assessments: Sequence[Assessment]) -> list[Data]:
    """Return assessments as data, in their order."""
    return [assessment_data(each) for each in assessments]
