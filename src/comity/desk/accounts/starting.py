"""The first start: whoever comes first sets the office up and owns it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.contrib import messages
from django.contrib.auth import login
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from comity.desk.access import anyone
from comity.desk.accounts.passwords import check_new_password, new_password_field
from comity.desk.office.forms import OfficeBasicsForm
from comity.store.errors import StoreError
from comity.store.models import Account
from comity.store.people import has_started, start_office

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

BACKEND = "comity.desk.backends.OfficeBackend"


class StartForm(OfficeBasicsForm):
    """The office and the account of its owner, in one go."""

    person = forms.CharField(
        label=gettext_lazy("Your name"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = forms.EmailField(
        label=gettext_lazy("Your e-mail address"),
        help_text=gettext_lazy("You sign in with it."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = new_password_field()

    def clean(self) -> dict[str, Any]:
        """Look at the password beside the name and address it must not repeat."""
        given = super().clean() or self.cleaned_data
        person = Account(email=given.get("email", ""), name=given.get("person", ""))
        check_new_password(self, "password", person)
        return given


@anyone
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """Set up the office, once."""
    if has_started():
        return redirect("desk-sign-in")
    form = StartForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            owner = start_office(
                form.values(),
                email=form.cleaned_data["email"],
                person=form.cleaned_data["person"],
                password=form.cleaned_data["password"],
            )
        except StoreError as error:
            messages.warning(request, str(error))
            return redirect("desk-sign-in")
        login(request, owner, backend=BACKEND)
        messages.success(request, _("Your office is open. Nothing is in it yet."))
        return redirect("/")
    status = 422 if form.errors else 200
    return render(request, "accounts/start.html", {"form": form}, status=status)
