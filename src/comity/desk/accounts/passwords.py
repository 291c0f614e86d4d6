"""Fields and checks of a new password, for all forms that set one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from comity.store.models import Account

LONGEST: Final = 200
HINT: Final = _(
    "At least 12 characters. Four unrelated words are easy to keep in mind and hard to guess."
)


def new_password_field() -> forms.CharField:
    """Return a field for a password that is set; whoever keeps passwords may fill it."""
    return forms.CharField(
        label=_("New password"),
        help_text=HINT,
        strip=False,
        max_length=LONGEST,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


def check_new_password(form: forms.Form, name: str, person: Account) -> None:
    """Tie what is wrong with a new password to its field: too short, too common, too near."""
    password = form.cleaned_data.get(name)
    if not password:
        return
    try:
        validate_password(password, person)
    except ValidationError as error:
        form.add_error(name, error)
