"""What is to be done in a case, what the office notes, and whether the case is open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django import forms
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from comity.desk.access import get_case, member_of, members_only
from comity.store import cases
from comity.store.models import Account, Holder, Role

if TYPE_CHECKING:
    from uuid import UUID

    from django.db.models import QuerySet
    from django.http import HttpRequest, HttpResponse


class ActionForm(forms.Form):
    """Something to do."""

    text = forms.CharField(label=_("What is to be done"), max_length=500)
    holder = forms.ChoiceField(label=_("Who has the ball"), choices=Holder.choices)
    due = forms.DateField(
        label=_("By when"), required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    is_for_applicant = forms.BooleanField(label=_("Show it to the applicant"), required=False)


class NoteForm(forms.Form):
    """A note of the office."""

    text = forms.CharField(
        label=_("Note"), max_length=10_000, widget=forms.Textarea(attrs={"rows": 3})
    )


@members_only
@require_POST
def add(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Keep something to do."""
    case = get_case(request, case_id, may="change")
    form = ActionForm(request.POST)
    if not form.is_valid():
        context = {"case": case, "form": form, "title": _("A next action")}
        return render(request, "cases/office_form.html", context, status=422)
    cases.add_action(case, actor=member_of(request), **form.cleaned_data)
    return redirect("desk-case", case.pk)


@members_only
@require_POST
def change(request: HttpRequest, case_id: UUID, action_id: int) -> HttpResponse:
    """Mark something as done, or as still to do."""
    case = get_case(request, case_id, may="change")
    action = case.actions.filter(pk=action_id).first()
    if action is None:
        raise Http404
    if request.POST.get("do") == "reopen":
        cases.reopen_action(action, actor=member_of(request))
    else:
        cases.finish_action(action, actor=member_of(request))
    return redirect("desk-case", case.pk)


@members_only
@require_POST
def note(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Keep a note."""
    case = get_case(request, case_id, may="change")
    form = NoteForm(request.POST)
    if not form.is_valid():
        context = {"case": case, "form": form, "title": _("A note")}
        return render(request, "cases/office_form.html", context, status=422)
    cases.add_note(case, form.cleaned_data["text"], actor=member_of(request))
    return redirect("desk-case", case.pk)


@members_only
@require_POST
def state(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Close a case, take it up again, or put it in somebody's care."""
    case = get_case(request, case_id)
    if request.POST.get("do") == "reopen":
        cases.reopen_case(case, actor=member_of(request))
    elif request.POST.get("do") == "care":
        adviser = members().filter(pk=_number(request.POST.get("adviser"))).first()
        cases.set_adviser(case, adviser, actor=member_of(request))
    else:
        reason = request.POST.get("reason", "").strip()[:300]
        cases.close_case(case, actor=member_of(request), reason=reason)
    return redirect("desk-case", case.pk)


def members() -> QuerySet[Account]:
    """Return those who can have a case in their care."""
    working = Account.objects.filter(is_active=True, role__in=(Role.OWNER, Role.ADVISER))
    return working.order_by("name")


def _number(text: str | None) -> int:
    return int(text) if text is not None and text.isdecimal() else 0
