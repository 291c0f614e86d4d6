"""Forms of the mock examinations' pages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.utils.translation import gettext_lazy as _

from comity.core.declaring.quantities import SHARE
from comity.core.exam.sittings import MOST_EXTRA_PERCENT
from comity.desk.mock_exams.examinations import examinations
from comity.store.models import Case, Cohort, ItemBank, Sitting

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django.utils.functional import _StrPromise

MOST_ITEMS: Final = 300
MOST_FORMS: Final = 8
MOST_SUGGESTED: Final = 200


def _banks() -> list[tuple[str, str | _StrPromise]]:
    rows = ItemBank.objects.order_by("title", "bank").only("pk", "title", "bank")
    return [
        ("", _("no bank: all items are drawn")),
        *((str(r.pk), r.title or r.bank) for r in rows),
    ]


def _examinations() -> list[tuple[str, str | _StrPromise]]:
    named = [(each.key, each.label) for each in examinations()]
    return [("", _("none: the time is my own")), *named]


class FormForm(forms.Form):
    """What forms are made of, how long they are, and how much time there is."""

    name = forms.CharField(
        label=_("Name of the form"),
        help_text=_("Applicants see it. With several forms, a letter is added to each."),
        max_length=180,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    bank = forms.ChoiceField(label=_("Items from"), choices=_banks, required=False)
    n_items = forms.IntegerField(
        label=_("Questions in a form"), min_value=1, max_value=MOST_ITEMS, initial=20
    )
    n_drawn = forms.IntegerField(
        label=_("Of them calculations, drawn fresh from item models"),
        help_text=_("Your own models first, then those that come with Comity."),
        min_value=0,
        max_value=60,
        initial=4,
    )
    n_forms = forms.IntegerField(
        label=_("How many forms"),
        help_text=_("Alike in what they ask about; no item is in two of them."),
        min_value=1,
        max_value=MOST_FORMS,
        initial=1,
    )
    examination = forms.ChoiceField(
        label=_("Time and pass mark as in"),
        help_text=_("The time for each question is that of the examination."),
        choices=_examinations,
        required=False,
    )
    minutes = forms.IntegerField(
        label=_("Minutes"),
        help_text=_("Left empty, the examination says it, or else a minute and a half a question."),
        min_value=1,
        max_value=24 * 60,
        required=False,
    )
    to_pass = forms.CharField(
        label=_("Share that passes"),
        help_text=_("As 55 %. Left empty, the examination says it, or nothing is said."),
        max_length=10,
        required=False,
    )

    fills_up = forms.BooleanField(
        label=_("Make it even where the bank has too little of a part"),
        help_text=_("The form then says which shares it does not keep."),
        required=False,
    )

    def clean_to_pass(self) -> str:
        """Return the share as it is kept."""
        text = self.cleaned_data["to_pass"].strip()
        try:
            return SHARE.write(SHARE.parse(text)) if text else ""
        except ValueError as error:
            raise forms.ValidationError(str(error) or _("Write a share, as 55 %.")) from error

    def clean(self) -> dict[str, Any]:
        """Check that no more is drawn than is asked, and that items come from somewhere."""
        data: dict[str, Any] = super().clean() or {}
        n_items, n_drawn = data.get("n_items"), data.get("n_drawn")
        if n_items is not None and n_drawn is not None:
            if n_drawn > n_items:
                self.add_error("n_drawn", _("No more can be drawn than the form has questions."))
            elif not data.get("bank") and n_drawn < n_items:
                self.add_error("bank", _("Choose a bank, or let all questions be drawn."))
        return data


class ImportForm(forms.Form):
    """A bank's file."""

    file = forms.FileField(
        label=_("A bank file"),
        help_text=_(
            "Plain text (YAML), or a QTI package (.zip). What is wrong is shown at its place."
        ),
    )


def _cohorts() -> list[tuple[str, str | _StrPromise]]:
    rows = Cohort.objects.order_by("name")
    return [("", _("no class")), *((str(row.pk), row.name) for row in rows)]


def _open_cases() -> QuerySet[Case]:
    """Return the cases that can be worked on: to closed ones nothing is given."""
    return Case.objects.filter(closed_at=None)


class GiveForm(forms.Form):
    """To whom a form is given, and on what terms."""

    cohort = forms.ChoiceField(label=_("Class"), choices=_cohorts, required=False)
    applicant = forms.CharField(
        label=_("Or one applicant"),
        help_text=_("The reference or the whole name."),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "applicant-list"}),
    )
    mode = forms.ChoiceField(label=_("As"), choices=Sitting.Mode.choices, initial="exam")
    extra_percent = forms.IntegerField(
        label=_("Extra time, in percent"),
        help_text=_("For people who need more time; 25 makes 60 minutes 75."),
        min_value=0,
        max_value=MOST_EXTRA_PERCENT,
        initial=0,
    )
    shows_keys = forms.BooleanField(
        label=_("Show what is right, and why, after the end"),
        help_text=_("Leave it off while others have yet to sit the form."),
        required=False,
        initial=True,
    )

    def clean(self) -> dict[str, Any]:
        """Find the people."""
        data: dict[str, Any] = super().clean() or {}
        cohort, named = data.get("cohort"), data.get("applicant", "").strip()
        if cohort:
            data["cases"] = list(_open_cases().filter(cohort_places__cohort=cohort))
        elif named:
            found = list(_open_cases().filter(reference=named)) or list(
                _open_cases().filter(name__iexact=named)[:2]
            )
            if len(found) != 1:
                self.add_error("applicant", _("No one applicant has this reference or name."))
            data["cases"] = found
        else:
            self.add_error("cohort", _("Choose a class or name an applicant."))
        return data


class CohortForm(forms.Form):
    """What a class is called."""

    name = forms.CharField(
        label=_("Name of the class"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class MarkForm(forms.Form):
    """Another mark than the key gives, and why."""

    mark = forms.ChoiceField(
        label=_("Mark"),
        choices=[("", _("as the key gives")), ("1", _("right")), ("0", _("not right"))],
        required=False,
    )
    reason = forms.CharField(label=_("Why"), max_length=300)
