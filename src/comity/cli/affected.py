"""Whose answer a new edition changes, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from comity.cli.sentences import Line
from comity.core.days.calendar import iso
from comity.core.eligibility.assessment import Verdict
from comity.service.affected import Affected, Cause, Concerned


def affected_lines(concerned: Concerned) -> Iterator[Line]:
    """Yield the applicants with another answer, each with the requirements that change it."""
    n_read = len(concerned.read.applicants)
    looked_at = f"{n_read} {'applicant' if n_read == 1 else 'applicants'} looked at"
    day = iso(concerned.days.on)
    if not concerned.affected:
        yield Line(f"Nobody's answer changes, handed in on {day} ({looked_at}).")
        return
    yield Line(f"Whose answer changes, handed in on {day} ({looked_at}):")
    for each in concerned.affected:
        yield Line(_answer(each), 1, "·")
        yield from (Line(_cause(cause), 2, "·") for cause in each.causes)


def _answer(each: Affected) -> str:
    who = f"{each.applicant_name} ({each.applicant}) as {each.title_name}"
    if each.before is None:
        return f"{who}: the title is new, {each.after}."
    if each.after is None:
        return f"{who}: the title is no longer there, before {each.before}."
    return f"{who}: before {each.before}, now {each.after}."


def _cause(cause: Cause) -> str:
    said = f"{cause.label}: before {_said(cause.before)}, now {_said(cause.after)}"
    reason = "" if cause.after is Verdict.NOT_APPLICABLE else cause.reason
    return f"{said}: {reason.rstrip('.')}." if reason else f"{said}."


def _said(verdict: Verdict | None) -> str:
    return "not asked" if verdict is None else str(verdict)
