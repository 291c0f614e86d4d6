"""Forms of the rulebooks."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class NewEditionForm(forms.Form):
    """What a new edition is called, and from when it applies."""

    name = forms.RegexField(
        r"^[A-Za-z0-9][A-Za-z0-9.-]*$",
        max_length=100,
        label=_("What the new edition is called"),
        help_text=_("A year or a short name: letters, digits, hyphens, as 2027."),
        error_messages={"invalid": _("Only letters, digits, points and hyphens, as 2027.")},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    first_day = forms.DateField(
        required=False,
        label=_("First day on which it applies"),
        help_text=_("Submissions from this day on are judged by it."),
        widget=forms.DateInput(attrs={"type": "date"}),
    )
