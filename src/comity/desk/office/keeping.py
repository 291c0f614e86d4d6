"""How long the office keeps what, and letting go what has had its time."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_http_methods, require_POST

from comity.desk import clock
from comity.desk.access import member_of, owner_only
from comity.store import retention
from comity.store.errors import StoreError
from comity.store.models import Case, Office
from comity.store.people import change_office

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse, QueryDict
    from django.utils.functional import _StrPromise

# Label, and what the time counts from, for each kind of the store.
WORDS: Final[Mapping[str, tuple[_StrPromise, _StrPromise]]] = {
    "closed cases": (
        gettext_lazy("Closed cases"),
        gettext_lazy("Counted from the day the case was closed. A legal hold keeps it longer."),
    ),
    "invitations": (
        gettext_lazy("Invitations"),
        gettext_lazy("Counted from the day the link ended."),
    ),
    "tokens": (
        gettext_lazy("Tokens of programs"),
        gettext_lazy("Counted from the day the token ended."),
    ),
    "calendar addresses": (
        gettext_lazy("Addresses of calendars"),
        gettext_lazy("Counted from the day the address was taken back."),
    ),
    "sittings": (
        gettext_lazy("Examinations that applicants sat here"),
        gettext_lazy("Counted from the day the form was given. They go with the case, too."),
    ),
    "uploaded tables": (
        gettext_lazy("Tables that were uploaded"),
        gettext_lazy("Counted from the upload."),
    ),
    "sign-in attempts": (
        gettext_lazy("Attempts to sign in"),
        gettext_lazy("Counted from the attempt; throttling needs the last quarter of an hour."),
    ),
    "sign-in log": (
        gettext_lazy("Who signed in"),
        gettext_lazy("Counted from the sign-in."),
    ),
    "failed sign-ins": (
        gettext_lazy("Who failed to sign in"),
        gettext_lazy("Counted from the attempt."),
    ),
}


def field_of(kind: retention.Kind) -> str:
    """Return the name of a kind's field; the page's ids bear no spaces."""
    return kind.name.replace(" ", "-")


class KeepingForm(forms.Form):
    """A time for each kind of record, as people write it."""

    def __init__(self, data: QueryDict | None = None, *, office: Office) -> None:
        super().__init__(data)
        self.fields["base_version"] = forms.IntegerField(
            widget=forms.HiddenInput, initial=office.version
        )
        for kind in retention.KINDS:
            label, hint = WORDS[kind.name]
            self.fields[field_of(kind)] = forms.CharField(
                label=label,
                help_text=hint,
                max_length=40,
                initial=office.retention.get(kind.name, kind.keeps),
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )

    def clean(self) -> dict[str, object]:
        """Tie what is no time to its field."""
        for kind in retention.KINDS:
            text = self.cleaned_data.get(field_of(kind))
            try:
                retention.checked({kind.name: text} if text else {})
            except StoreError as error:
                self.add_error(field_of(kind), ValidationError(str(error)))
        return self.cleaned_data

    def own(self) -> dict[str, str]:
        """Return the times that are not ours already."""
        return {
            kind.name: self.cleaned_data[field_of(kind)]
            for kind in retention.KINDS
            if self.cleaned_data[field_of(kind)] != kind.keeps
        }


@owner_only
@require_http_methods(["GET", "POST"])
def keeping(request: HttpRequest) -> HttpResponse:
    """Show and change how long things are kept, and what has had its time."""
    office = get_object_or_404(Office, pk=1)
    form = KeepingForm(request.POST if request.method == "POST" else None, office=office)
    if request.method == "POST" and form.is_valid():
        base = form.cleaned_data["base_version"]
        try:
            change_office({"retention": form.own()}, base_version=base, actor=member_of(request))
        except StoreError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The times are saved."))
            return redirect("desk-office-change-keeping")
    context = {"form": form, "due": due_by_kind(office), **_cases(office)}
    return render(request, "office/keeping.html", context, status=422 if form.errors else 200)


@owner_only
@require_POST
def let_go(request: HttpRequest) -> HttpResponse:
    """Let go what has had its time; it cannot be had back."""
    office = get_object_or_404(Office, pk=1)
    today = clock.today_at(office.time_zone)
    n_gone = sum(retention.apply(today, actor=member_of(request)).values())
    said = ngettext("%(n)d record is gone.", "%(n)d records are gone.", n_gone)
    messages.success(request, said % {"n": n_gone})
    return redirect("desk-office-change-keeping")


def due_by_kind(office: Office) -> tuple[tuple[_StrPromise, int], ...]:
    """Return how many records of each kind have had their time and are not held."""
    found = retention.due(clock.today_at(office.time_zone))
    counts = Counter(each.kind.name for each in found if not each.held)
    return tuple((WORDS[name][0], n_due) for name, n_due in counts.items())


def _cases(office: Office) -> Mapping[str, tuple[retention.Due, ...]]:
    """Return the cases that have had their time: those to be erased, and those held."""
    found = retention.due(clock.today_at(office.time_zone))
    cases = tuple(each for each in found if isinstance(each.row, Case))
    return {
        "cases_due": tuple(each for each in cases if not each.held),
        "held": tuple(each for each in cases if each.held),
    }
