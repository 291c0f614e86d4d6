"""The tutor's pages: what there is, forms made and given, and what became of them."""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from django.contrib import messages
from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.mock_exams.examinations import examination_of, minutes_for
from comity.desk.mock_exams.forms import MOST_SUGGESTED, FormForm, GiveForm, MarkForm
from comity.desk.mock_exams.shown import get_sitting, sat, share_of
from comity.service.mock_forms import NoFormError, Wanted, domain_name, make_forms, n_to_pass
from comity.store import sittings as sitting_store
from comity.store.errors import StoreError
from comity.store.item_banks import bank_in
from comity.store.mock_exams import (
    FormFacts,
    Terms,
    add_form,
    content_of,
    give_form,
    withdraw_form,
)
from comity.store.models import Case, Cohort, ExamForm, ItemBank, Sitting, StoredItemModel

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

_SEEDS: Final = 1_000_000
_LETTERS: Final = "ABCDEFGHIJ"


@members_only
@require_safe
def exams(request: HttpRequest) -> HttpResponse:
    """Show forms, classes, banks and models of the office."""
    over = Q(sittings__settled_at__isnull=False)
    counted = ExamForm.objects.annotate(
        n_given=Count("sittings"), n_over=Count("sittings", filter=over)
    )
    context = {
        "forms": counted.filter(withdrawn_at=None).order_by("-made_at", "name"),
        "withdrawn": counted.exclude(withdrawn_at=None).order_by("-withdrawn_at", "name"),
        "cohorts": Cohort.objects.annotate(n_people=Count("places")).order_by("name"),
        "banks": ItemBank.objects.order_by("title", "bank").defer("text"),
        "models": StoredItemModel.objects.order_by("title", "model").defer("text"),
    }
    return render(request, "mock_exams/exams.html", context)


@members_only
@require_http_methods(["GET", "POST"])
def form_new(request: HttpRequest) -> HttpResponse:
    """Make one form or several alike."""
    form = FormForm(request.POST if request.method == "POST" else None, initial=_first_bank())
    if form.is_valid():
        try:
            made = _made(request, form.cleaned_data)
        except NoFormError as error:
            said = str(error)
            form.add_error(None, f"{said[:1].upper()}{said[1:]}.")
        else:
            said = ngettext("The form is made.", "{n} forms are made.", len(made))
            messages.success(request, said.format(n=len(made)))
            return redirect("desk-exam-form", form_id=made[0].pk)
    context = {"form": form}
    return render(request, "mock_exams/form_new.html", context, status=422 if form.errors else 200)


def _first_bank() -> dict[str, Any]:
    first = ItemBank.objects.order_by("title", "bank").only("pk").first()
    return {} if first is None else {"bank": str(first.pk)}


def _made(request: HttpRequest, data: dict[str, Any]) -> list[ExamForm]:
    stored = ItemBank.objects.filter(pk=data["bank"]).first() if data["bank"] else None
    wanted = Wanted(
        n_items=data["n_items"],
        n_drawn=data["n_drawn"],
        n_forms=data["n_forms"],
        seed=secrets.randbelow(_SEEDS),
        fills_up=data["fills_up"],
    )
    own = dict(StoredItemModel.objects.order_by("pk").values_list("model", "text"))
    bank = None if stored is None else bank_in(stored.text)
    forms = make_forms(bank, wanted, own_models=own)
    named = examination_of(data["examination"])
    facts = FormFacts(
        name=data["name"],
        minutes=data["minutes"] or minutes_for(wanted.n_items, named),
        to_pass=data["to_pass"] or ("" if named is None else named.to_pass),
        examination="" if named is None else named.label[:200],
        bank=stored,
    )
    return [
        add_form(
            made,
            replace(facts, name=_name(facts.name, number, len(forms))),
            actor=member_of(request),
            now=clock.now(),
        )
        for number, made in enumerate(forms)
    ]


def _name(name: str, number: int, n_forms: int) -> str:
    return name if n_forms == 1 else f"{name} {_LETTERS[number]}"


@members_only
@require_safe
def form(request: HttpRequest, form_id: UUID) -> HttpResponse:
    """Show a form: its items, to whom it was given, and how to give it to more people."""
    found = get_object_or_404(ExamForm.objects.select_related("bank", "made_by"), pk=form_id)
    return render(request, "mock_exams/form.html", _form_context(found, GiveForm()))


def _form_context(found: ExamForm, giving: GiveForm) -> dict[str, Any]:
    items = content_of(found).items
    share = share_of(found)
    now = clock.instant()
    rows = found.sittings.select_related("case", "form").order_by("-given_at", "case__name", "pk")
    return {
        "form": found,
        "items": [(n, each, domain_name(each.domain)) for n, each in enumerate(items, 1)],
        "n_needed": None if share is None else n_to_pass(len(items), share),
        "giving": giving,
        "suggested": Case.objects.filter(closed_at=None).order_by("name")[:MOST_SUGGESTED],
        "sittings": [(each, sitting_store.timing_of(each).standing(now)) for each in rows],
        "has_answers": any(each.began_at for each in rows),
    }


@members_only
@require_POST
def give(request: HttpRequest, form_id: UUID) -> HttpResponse:
    """Give a form to a class or an applicant."""
    found = get_object_or_404(ExamForm, pk=form_id)
    giving = GiveForm(request.POST)
    if giving.is_valid():
        data = giving.cleaned_data
        terms = Terms(
            mode=data["mode"],
            extra_percent=data["extra_percent"],
            shows_keys=data["shows_keys"],
        )
        try:
            given = give_form(
                found, data["cases"], actor=member_of(request), now=clock.now(), terms=terms
            )
        except StoreError as error:
            said = str(error)
            giving.add_error(None, f"{said[:1].upper()}{said[1:]}.")
        else:
            _say_given(request, len(given), len(data["cases"]))
            return redirect("desk-exam-form", form_id=found.pk)
    context = _form_context(found, giving)
    return render(request, "mock_exams/form.html", context, status=422)


@members_only
@require_POST
def withdraw(request: HttpRequest, form_id: UUID) -> HttpResponse:
    """Let a form be given to nobody any more."""
    found = get_object_or_404(ExamForm, pk=form_id)
    if withdraw_form(found, actor=member_of(request), now=clock.now()):
        messages.success(request, _("The form is withdrawn. Who has it already keeps it."))
    return redirect("desk-exam-form", form_id=found.pk)


def _say_given(request: HttpRequest, n_given: int, n_asked: int) -> None:
    said = ngettext("Given to {n} applicant.", "Given to {n} applicants.", n_given)
    messages.success(request, said.format(n=n_given))
    if n_given < n_asked:
        had = ngettext(
            "{n} has it open already.", "{n} have it open already.", n_asked - n_given
        ).format(n=n_asked - n_given)
        messages.info(request, had)


@members_only
@require_safe
def sitting(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Show a member what came of a sitting, or how far it is."""
    now = clock.instant()
    found = sitting_store.settle(get_sitting(request, sitting_id), now=now)
    return render(request, "mock_exams/sitting.html", _sitting_context(found, MarkForm(), 0))


def _sitting_context(found: Sitting, marking: MarkForm, marked: int) -> dict[str, Any]:
    now = clock.instant()
    shown = sat(found)
    is_over = shown.timing.is_over(now)
    return {
        "sitting": found,
        "sat": shown,
        "standing": shown.timing.standing(now),
        "is_over": is_over,
        "minutes_taken": shown.timing.minutes_taken(now),
        "result": shown.result() if is_over else None,
        "marking": marking,
        "marked": marked,
    }


@members_only
@require_POST
def mark(request: HttpRequest, sitting_id: UUID, number: int) -> HttpResponse:
    """Change the mark of an answer, with the reason."""
    found = get_sitting(request, sitting_id)
    items = content_of(found.form).items
    marking = MarkForm(request.POST)
    if marking.is_valid() and 1 <= number <= len(items):
        text = marking.cleaned_data["mark"]
        try:
            sitting_store.change_mark(
                found,
                items[number - 1].id,
                mark=int(text) if text else None,
                reason=marking.cleaned_data["reason"],
                actor=member_of(request),
            )
        except StoreError as error:
            marking.add_error(None, str(error))
        else:
            messages.success(request, _("The mark is changed."))
            return redirect("desk-exam-sitting", sitting_id=found.pk)
    context = _sitting_context(found, marking, number)
    return render(request, "mock_exams/sitting.html", context, status=422)


@members_only
@require_POST
def take_back(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Take a form back from somebody who has not begun."""
    found = get_sitting(request, sitting_id)
    try:
        sitting_store.take_back(found, actor=member_of(request))
    except StoreError as error:
        said = str(error)
        messages.warning(request, f"{said[:1].upper()}{said[1:]}.")
    else:
        messages.success(request, _("Taken back."))
    return redirect("desk-exam-form", form_id=found.form_id)
