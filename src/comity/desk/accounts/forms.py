"""Forms of signing in and of one's own account."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.contrib.auth import authenticate
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django.http import HttpRequest, QueryDict

    from comity.store.models import Account

LONGEST_PASSWORD: Final = 200


class SignInForm(forms.Form):
    """An address and its password."""

    username = forms.EmailField(
        label=_("E-mail address"),
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=LONGEST_PASSWORD,
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
