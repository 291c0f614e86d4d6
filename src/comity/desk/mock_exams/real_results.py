"""What came of the examination itself, of everybody who practised here, as their files have it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.core.exam.real_results import RealResult
from comity.store.converters import applicant_of
from comity.store.errors import UnreadableError
from comity.store.models import Case

if TYPE_CHECKING:
    from comity.core.facts.model import ExaminationResult


def real_results(examination: str) -> tuple[RealResult, ...]:
    """Return the results of an examination, by its id, of those who have begun a sitting here.

    Results of a stage, of which the day is not known to the day, or that are awaited are left out.
    """
    practised = Case.objects.filter(sittings__began_at__isnull=False).distinct()
    # Files are long to read: those in which the id does not stand are not read.
    named = practised.filter(document__contains=examination).order_by("pk")
    return tuple(
        RealResult(str(case.pk), each.taken.latest, each.outcome == "passed")
        for case in named
        for each in _results(case)
        if each.examination == examination and each.stage is None
        if each.outcome in {"passed", "failed"}
        if each.taken is not None and each.taken.is_exact
    )


def _results(case: Case) -> tuple[ExaminationResult, ...]:
    try:
        return applicant_of(case).results.examinations or ()
    except UnreadableError:  # one old file keeps nobody else's chance from being told
        return ()
