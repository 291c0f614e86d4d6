"""Forms of signing in and of one's own account."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings
from django.contrib.auth import authenticate
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from comity.desk.accounts.passwords import LONGEST, check_new_password, new_password_field
from comity.store.models import Account

if TYPE_CHECKING:
    from django.http import HttpRequest, QueryDict


class SignInForm(forms.Form):
    """An address and its password."""

    username = forms.EmailField(
        label=_("E-mail address"),
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=LONGEST,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, data: QueryDict | None = None, *, request: HttpRequest) -> None:
        super().__init__(data)
        self.request = request
        self.account: Account | None = None

    def clean(self) -> dict[str, Any]:
        """Find the account; say the same whether address or password is wrong."""
        given = self.cleaned_data
        if "username" in given and "password" in given:
            self.account = authenticate(
                self.request, username=given["username"], password=given["password"]
            )
            if self.account is None:
                raise ValidationError(
                    _("This address and password do not belong together. Look at both once more.")
                )
        return given


class PasswordForm(forms.Form):
    """A new password, for who knows the old one."""

    current = forms.CharField(
        label=_("Present password"),
        strip=False,
        max_length=LONGEST,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    new = new_password_field()

    def __init__(self, data: QueryDict | None = None, *, account: Account) -> None:
        super().__init__(data)
        self.account = account

    def clean_current(self) -> str:
        """Make sure that it is the person themselves."""
        current: str = self.cleaned_data["current"]
        if not self.account.check_password(current):
            raise ValidationError(_("This is not your present password."))
        return current

    def clean(self) -> dict[str, Any]:
        """Look at the new password beside the name and address it must not repeat."""
        check_new_password(self, "new", self.account)
        return self.cleaned_data


class NewPasswordForm(forms.Form):
    """A new password, for who followed a link for it."""

    new = new_password_field()

    def __init__(self, data: QueryDict | None = None, *, account: Account) -> None:
        super().__init__(data)
        self.account = account

    def clean(self) -> dict[str, Any]:
        """Look at the new password beside the name and address it must not repeat."""
        check_new_password(self, "new", self.account)
        return self.cleaned_data


class LanguageForm(forms.Form):
    """The language of one's pages."""

    language = forms.ChoiceField(label=_("Language"), choices=tuple(settings.LANGUAGES))


class TokenForm(forms.Form):
    """A token for a program."""

    label = forms.CharField(
        label=_("What is it for?"),
        max_length=100,
        help_text=_("So that you know later which one to take back."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    may_write = forms.BooleanField(label=_("It may also add and change applicants"), required=False)
    days = forms.TypedChoiceField(
        label=_("It ends"),
        coerce=int,
        initial=90,
        choices=(
            (30, _("after 30 days")),
            (90, _("after 90 days")),
            (365, _("after a year")),
        ),
    )


class JoinForm(forms.Form):
    """A name and a password, for who was invited."""

    name = forms.CharField(
        label=_("Your name"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    password = new_password_field()

    def __init__(self, data: QueryDict | None = None, *, email: str, name: str) -> None:
        super().__init__(data, initial={"name": name})
        self.email = email

    def clean(self) -> dict[str, Any]:
        """Look at the password beside the name and address it must not repeat."""
        person = Account(email=self.email, name=self.cleaned_data.get("name", ""))
        check_new_password(self, "password", person)
        return self.cleaned_data
