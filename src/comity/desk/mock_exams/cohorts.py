"""Classes: applicants who prepare together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID

from django.contrib import messages
from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.mock_exams.forms import CohortForm
from comity.desk.mock_exams.shown import sat
from comity.store.errors import StoreError
from comity.store.mock_exams import add_cohort, change_cohort
from comity.store.models import Case, Cohort, Sitting

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from comity.core.exam.sittings import Standing

MOST_SHOWN: Final = 120


@dataclass(frozen=True, slots=True)
class Taken:
    """One sitting as the page of a class shows it; no figures before its end."""

    sitting: Sitting
    standing: Standing
    n_right: int | None
    n_asked: int | None


@members_only
@require_safe
def cohort(request: HttpRequest, cohort_id: UUID) -> HttpResponse:
    """Show who is in a class and what each has sat."""
    found = get_object_or_404(Cohort, pk=cohort_id)
    cases = Case.objects.filter(cohort_places__cohort=found).order_by("name", "reference")
    now = clock.instant()
    sittings = Sitting.objects.filter(case__in=cases).select_related("form", "case")
    taken: dict[UUID, list[Taken]] = {case.pk: [] for case in cases}
    forms: dict[UUID, str] = {}
    for each in sittings.prefetch_related("answers").order_by("given_at", "pk"):
        taken[each.case_id].append(_taken(each, now))
        if each.mode == Sitting.Mode.EXAM:
            forms[each.form_id] = each.form.name
    context = {
        "cohort": found,
        "rows": [(case, taken[case.pk]) for case in cases],
        "forms": list(forms.items()),
    }
    return render(request, "mock_exams/cohort.html", context)


def _taken(sitting: Sitting, now: datetime) -> Taken:
    shown = sat(sitting)
    standing = shown.timing.standing(now)
    if not shown.timing.is_over(now):
        return Taken(sitting, standing, None, None)
    result = shown.result()
    return Taken(sitting, standing, result.n_right, len(result.outcomes))


@members_only
@require_http_methods(["GET", "POST"])
def cohort_new(request: HttpRequest) -> HttpResponse:
    """Make a class."""
    form = CohortForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            made = add_cohort(form.cleaned_data["name"], _chosen(request), actor=member_of(request))
        except StoreError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, _("The class is made."))
            return redirect("desk-exam-class", cohort_id=made.pk)
    return _page(request, form, None, chosen=_chosen(request))


@members_only
@require_http_methods(["GET", "POST"])
def cohort_edit(request: HttpRequest, cohort_id: UUID) -> HttpResponse:
    """Change who is in a class."""
    found = get_object_or_404(Cohort, pk=cohort_id)
    form = CohortForm(
        request.POST if request.method == "POST" else None, initial={"name": found.name}
    )
    if form.is_valid():
        name = form.cleaned_data["name"]
        try:
            change_cohort(found, _chosen(request), name=name, actor=member_of(request))
        except StoreError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, _("Saved."))
            return redirect("desk-exam-class", cohort_id=found.pk)
    present = Case.objects.filter(cohort_places__cohort=found)
    chosen = _chosen(request) if request.method == "POST" else present
    return _page(request, form, found, chosen=chosen)


def _chosen(request: HttpRequest) -> Iterable[Case]:
    """Return the cases that are ticked; what is no id of one is passed over."""
    ids = []
    for text in request.POST.getlist("case"):
        try:
            ids.append(UUID(text))
        except ValueError:
            continue
    return Case.objects.filter(pk__in=ids)


def _page(
    request: HttpRequest, form: CohortForm, found: Cohort | None, *, chosen: Iterable[Case]
) -> HttpResponse:
    ticked = {case.pk for case in chosen}
    asked = request.GET.get("q", "").strip()
    named = Q(name__icontains=asked) | Q(reference__icontains=asked)
    others = Case.objects.filter(closed_at=None).filter(named).exclude(pk__in=ticked)
    cases = [*Case.objects.filter(pk__in=ticked).order_by("name"), *others.order_by("name")]
    context: dict[str, Any] = {
        "form": form,
        "cohort": found,
        "cases": [(case, case.pk in ticked) for case in cases[: MOST_SHOWN + len(ticked)]],
        "has_more": len(cases) > MOST_SHOWN + len(ticked),
        "q": asked,
    }
    return render(
        request, "mock_exams/cohort_edit.html", context, status=422 if form.errors else 200
    )
