"""Forms of consents, of the legal hold and of erasing."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from comity.core.days.calendar import date_from_day
from comity.desk import clock

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from django.http import QueryDict
    from django.utils.functional import _StrPromise

    from comity.store.models import Case

# What applicants are commonly asked; kept in the words in which it was read.
PURPOSES: Final[tuple[_StrPromise, ...]] = (
    gettext_lazy("You may keep my health papers and use them for my application."),
    gettext_lazy("You may send my papers to the authority I apply to, also abroad."),
    gettext_lazy("You may tell my employer or school how my application stands."),
)
_WORD: Final = re.compile(r"\w{3,}")


class RecordConsentForm(forms.Form):
    """What an applicant agreed to, written down by the office."""

    purpose = forms.CharField(
        label=gettext_lazy("What the applicant agreed to"),
        help_text=gettext_lazy("One purpose at a time, as it was said or signed."),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "purposes"}),
    )
    day = forms.DateField(
        label=gettext_lazy("On which day"),
        widget=forms.DateInput(attrs={"type": "date"}),
    )

    def clean_day(self) -> date:
        """Refuse days that are still to come."""
        day: date = self.cleaned_data["day"]
        if day > date_from_day(clock.today_at()):
            raise ValidationError(_("This day is still to come; give the day it was said."))
        return day


class AgreeForm(forms.Form):
    """What an applicant agrees to; a sentence of those offered."""

    def __init__(self, data: QueryDict | None = None, *, given: Iterable[str] = ()) -> None:
        super().__init__(data)
        already = set(given)
        offered = [str(each) for each in PURPOSES if str(each) not in already]
        self.fields["purpose"] = forms.ChoiceField(
            label=_("What you agree to"),
            choices=[(each, each) for each in offered],
            widget=forms.RadioSelect,
        )


class LegalHoldForm(forms.Form):
    """Why a case has to be kept."""

    reason = forms.CharField(
        label=gettext_lazy("Why it has to be kept"),
        help_text=gettext_lazy("For instance a claim, a complaint, or an inquiry of an authority."),
        max_length=300,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class EraseForm(forms.Form):
    """The last question before a case is erased."""

    reason = forms.CharField(
        label=gettext_lazy("Why it is erased"),
        help_text=gettext_lazy("It stays, so name nobody: “asked for by the applicant” will do."),
        max_length=300,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    reference = forms.CharField(
        label=gettext_lazy("Type the reference of the case"),
        max_length=100,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}
        ),
    )

    def __init__(self, data: QueryDict | None = None, *, case: Case) -> None:
        super().__init__(data)
        self.case = case
        self.fields["reference"].help_text = _("It is %(reference)s.") % {
            "reference": case.reference
        }

    def clean_reason(self) -> str:
        """Refuse a reason that would name the person for ever."""
        reason: str = self.cleaned_data["reason"]
        told = _words(reason) & _words(f"{self.case.name} {self.case.reference}")
        if told:
            said = _("The reason stays for ever and may name nobody; leave out “%(word)s”.")
            raise ValidationError(said % {"word": sorted(told)[0]})
        return reason

    def clean_reference(self) -> str:
        """Refuse anything but the reference of this very case."""
        reference: str = self.cleaned_data["reference"]
        if reference != self.case.reference:
            raise ValidationError(
                _("This is not the reference of this case; it is %(reference)s.")
                % {"reference": self.case.reference}
            )
        return reference


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text.casefold()))
