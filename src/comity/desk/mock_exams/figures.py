"""What the answers say of a form, its items and a class."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from comity.desk import clock
from comity.desk.access import members_only
from comity.desk.mock_exams.shown import sat
from comity.service.mock_figures import Sheet, figures_of
from comity.store import sittings as store
from comity.store.mock_exams import content_of
from comity.store.models import Cohort, ExamForm, Sitting

if TYPE_CHECKING:
    from collections.abc import Iterable
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse


@members_only
@require_safe
def figures(request: HttpRequest, form_id: UUID) -> HttpResponse:
    """Show the figures of a form, over everybody or one class."""
    form = get_object_or_404(ExamForm, pk=form_id)
    asked = request.GET.get("class", "")
    cohorts = Cohort.objects.filter(places__case__sittings__form=form).distinct().order_by("name")
    cohort = next((each for each in cohorts if str(each.pk) == asked), None)
    rows = form.sittings.filter(mode=Sitting.Mode.EXAM).select_related("form", "case")
    if cohort is not None:
        rows = rows.filter(case__cohort_places__cohort=cohort)
    ended = rows.prefetch_related("answers").order_by("given_at", "pk")
    context = {
        "form": form,
        "figures": figures_of(content_of(form), sheets_of(ended)),
        "cohorts": cohorts,
        "cohort": cohort,
    }
    return render(request, "mock_exams/figures.html", context)


def sheets_of(rows: Iterable[Sitting]) -> list[Sheet]:
    """Return what each person made of a form, their first sitting that ended."""
    now = clock.instant()
    sheets: dict[str, Sheet] = {}
    for row in rows:
        if not store.timing_of(row).is_over(now):
            continue
        person = str(row.case_id)
        if person not in sheets:
            sheets[person] = _sheet(row, person)
    return list(sheets.values())


def _sheet(row: Sitting, person: str) -> Sheet:
    shown = sat(row)
    outcomes = [shown.outcome(number) for number in range(1, shown.n_questions + 1)]
    answers = {item: store.answer_in(given) for item, given in shown.answers.items()}
    return Sheet(person, answers, {each.item.id: each.is_right for each in outcomes})
