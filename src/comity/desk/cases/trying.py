"""What if: facts tried without saving them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.http import Http404
from django.shortcuts import render
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST, require_safe

from comity.core.days.calendar import day_from_date
from comity.desk.access import get_case, members_only
from comity.desk.cases.shown import casework_of, frame, typed_in
from comity.service.casework_dates import certificate_name
from comity.service.casework_offers import offers_of
from comity.service.what_if import (
    FULL_WEEK_MINUTES,
    MOST_MONTHS,
    ApplyOn,
    FactWere,
    MorePractice,
    PaperArrives,
    QualificationCounts,
    TrialError,
    compared,
    said,
    share_of_week,
    tried,
)

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.service.casework import Casework
    from comity.service.what_if import Trial

_DATE: Final = {"type": "date"}
_CERTIFICATES: Final = ("good standing", "criminal record", "health")


class TrialForm(forms.Form):
    """What to try; everything may be left out, and tried together."""

    months = forms.IntegerField(
        label=_("More months of practice"), min_value=1, max_value=MOST_MONTHS, required=False
    )
    amount = forms.DecimalField(
        label=_("How much"), min_value=1, max_value=168, required=False, initial=100
    )
    unit = forms.ChoiceField(
        label=_("Counted as"),
        choices=(("share", _("per cent of a full week")), ("hours", _("hours a week"))),
        required=False,
    )
    full_week = forms.DecimalField(
        label=_("Hours of a full week"),
        min_value=1,
        max_value=80,
        initial=FULL_WEEK_MINUTES // 60,
        required=False,
    )
    counts = forms.ChoiceField(label=_("This qualification is recognised"), required=False)
    paper = forms.ChoiceField(label=_("This paper arrives"), required=False)
    paper_on = forms.DateField(
        label=_("Day on which it arrives"), required=False, widget=forms.DateInput(attrs=_DATE)
    )
    apply_on = forms.DateField(
        label=_("Handed in on"), required=False, widget=forms.DateInput(attrs=_DATE)
    )

    def __init__(self, *args: Any, casework: Casework, **kwargs: Any) -> None:  # noqa: ANN401
        super().__init__(*args, **kwargs)
        self.casework = casework
        _choices(self, "counts", _qualifications(casework))
        _choices(self, "paper", _papers(casework))

    def clean(self) -> dict[str, Any]:
        """Check what belongs together."""
        found = super().clean() or {}
        if found.get("paper") and not found.get("paper_on"):
            self.add_error("paper_on", _t("Say on which day it arrives."))
        if found.get("months") and not found.get("amount"):
            self.add_error("amount", _t("Say how much, as 50."))
        return found

    def trials(self) -> tuple[Trial, ...]:
        """Return what is to be tried."""
        found = self.cleaned_data
        trials: list[Trial] = []
        if found["months"]:
            trials.append(MorePractice(found["months"], self._minutes()))
        if found["counts"]:
            trials.append(QualificationCounts(found["counts"]))
        if found["paper"]:
            section, entry, kind = found["paper"].split("/")
            day = day_from_date(found["paper_on"])
            trials.append(PaperArrives(section, day, entry=entry, kind=kind))
        if found["apply_on"]:
            trials.append(ApplyOn(day_from_date(found["apply_on"])))
        return tuple(trials)

    def _minutes(self) -> int:
        amount = Fraction(self.cleaned_data["amount"])
        if self.cleaned_data["unit"] == "hours":
            return int(amount * 60)
        full = Fraction(self.cleaned_data["full_week"] or FULL_WEEK_MINUTES // 60)
        return share_of_week(amount / 100, int(full * 60))


def _choices(form: forms.Form, name: str, words: list[tuple[str, str]]) -> None:
    field = form.fields[name]
    if isinstance(field, forms.ChoiceField):
        field.choices = [("", "–"), *words]


def _qualifications(casework: Casework) -> list[tuple[str, str]]:
    held = casework.applicant.facts.qualifications or ()
    return [(each.id, each.title or each.id) for each in held]


def _papers(casework: Casework) -> list[tuple[str, str]]:
    applicant = casework.applicant
    papers = [(f"papers/{each.id}/", each.kind) for each in applicant.papers or ()]
    held = [
        (f"certificates/{each.id}/", _certificate(each.of, each.authority))
        for each in applicant.facts.certificates or ()
    ]
    more = [(f"certificates//{each}", _new(certificate_name(each))) for each in _CERTIFICATES]
    return [*papers, *held, *more]


def _certificate(of: str, authority: str | None) -> str:
    return f"{certificate_name(of)} ({authority})" if authority else certificate_name(of)


def _new(name: str) -> str:
    return _t("a new %(name)s") % {"name": name}


@dataclass(frozen=True, slots=True)
class Tried:
    """What was tried, in words, and what came of it."""

    words: tuple[str, ...]
    changes: tuple[Any, ...]


@members_only
@require_safe
def what_if(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the answers as they would be; nothing is saved."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    is_asked = any(request.GET.get(name) for name in ("months", "counts", "paper", "apply_on"))
    form = TrialForm(request.GET if is_asked else None, casework=casework)
    context: dict[str, Any] = {**frame(case, here="what-if"), "form": form, "tried": None}
    context["has_rules"] = bool(casework.rulebooks)
    if is_asked and form.is_valid():
        trials = form.trials()
        after = tried(casework, trials)
        context["tried"] = Tried(
            tuple(said(each, casework) for each in trials), compared(casework, after)
        )
    template = "cases/_tried.html" if request.htmx else "cases/what_if.html"  # type: ignore[attr-defined]  # (django_htmx)
    return render(request, template, context, status=422 if is_asked and form.errors else 200)


@members_only
@require_POST
def what_if_fact(
    request: HttpRequest, case_id: UUID, *, section: str, entry: str = ""
) -> HttpResponse:
    """Show the answers as they would be if a fact were as typed; nothing is saved."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    context: dict[str, Any] = {**frame(case, here="what-if"), "tried": None, "problems": ()}
    try:
        trial = FactWere(section, typed_in(request), entry=entry)
        after = tried(casework, [trial], offers=offers_of(casework))
        words = (_t("this fact were as typed"),)
        context["tried"] = Tried(words, compared(casework, after))
    except TrialError as error:
        context["problems"] = tuple(each.sentence for each in error.problems.values())
    except KeyError:
        raise Http404 from None
    template = "cases/_tried_list.html" if request.htmx else "cases/what_if_fact.html"  # type: ignore[attr-defined]  # (django_htmx)
    return render(request, template, context, status=422 if context["problems"] else 200)
