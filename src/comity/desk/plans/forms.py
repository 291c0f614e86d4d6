"""What is typed on the pages of a plan: trials, days, results of examinations, calendars."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from comity.core.days.calendar import Day, date_from_day, day_from_date
from comity.core.declaring.amounts import Money
from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.desk.templatetags.desk import day as in_words
from comity.service.plan_trials import Trial

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date
    from decimal import Decimal

    from comity.core.days.dayset import Run

_DATE: Final = {"type": "date"}
_FURTHEST_DAYS: Final = 3_650
"""Plans end within ten years."""
OTHER: Final = "other"
"""The purpose of a payment that is for no fee of the title."""


class TrialForm(forms.Form):
    """What to try; everything may be left out, and tried together."""

    start = forms.DateField(
        label=_("Begin on"), required=False, widget=forms.DateInput(attrs=_DATE)
    )
    hours = forms.DecimalField(
        label=_("Hours of study a week"), required=False, min_value=1, max_value=100
    )
    savings = forms.DecimalField(
        label=_("Put aside a month"), required=False, min_value=1, max_value=1_000_000_000
    )
    skip = forms.MultipleChoiceField(
        label=_("Pass over these sittings"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    away_from = forms.DateField(
        label=_("Away from"), required=False, widget=forms.DateInput(attrs=_DATE)
    )
    away_until = forms.DateField(
        label=_("Away until"), required=False, widget=forms.DateInput(attrs=_DATE)
    )

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - as Django's forms take them
        sittings: Sequence[Day],
        currency: str,
        today: Day,
        **kwargs: Any,  # noqa: ANN401 - as above
    ) -> None:
        super().__init__(*args, **kwargs)
        self.currency, self.today = currency, today
        skip = self.fields["skip"]
        assert isinstance(skip, forms.MultipleChoiceField)  # noqa: S101 - declared above
        skip.choices = [(str(date_from_day(day)), in_words(day)) for day in sittings]
        if not sittings:
            del self.fields["skip"]
        if currency:
            self.fields["savings"].label = _t("Put aside a month, in %(currency)s") % {
                "currency": currency
            }
        else:
            del self.fields["savings"]

    def clean(self) -> dict[str, Any]:
        """Check what belongs together, and that days can be planned for."""
        found = super().clean() or {}
        self._check_day("start")
        away_from, away_until = found.get("away_from"), found.get("away_until")
        if away_from and not away_until and "away_until" not in self.errors:
            self.add_error("away_until", _t("Say until when."))
        if away_until and not away_from and "away_from" not in self.errors:
            self.add_error("away_from", _t("Say from when."))
        if away_from and away_until and away_until < away_from:
            self.add_error("away_until", _t("This lies before the first day away."))
        elif away_from and away_until:
            self._check_day("away_until")
        return found

    def _check_day(self, name: str) -> None:
        day = self.cleaned_data.get(name)
        if day is None:
            return
        number = day_from_date(day)
        if not self.today <= number <= self.today + _FURTHEST_DAYS:
            self.add_error(name, _t("Choose a day from today on, within ten years."))

    def trial(self) -> Trial:
        """Return what is to be tried."""
        found = self.cleaned_data
        blocked: tuple[Run, ...] = ()
        if found.get("away_from"):
            start, until = day_from_date(found["away_from"]), day_from_date(found["away_until"])
            blocked = ((start, until + 1),)
        return Trial(
            start=day_from_date(found["start"]) if found.get("start") else None,
            study_minutes_a_week=int(found["hours"] * 60) if found.get("hours") else None,
            savings=self._money(found.get("savings")),
            skipped=tuple(_day(each) for each in found.get("skip") or ()),
            blocked=blocked,
        )

    def _money(self, amount: Decimal | None) -> Money | None:
        if amount is None:
            return None
        minor = int(amount.scaleb(CURRENCY_DECIMALS[self.currency]))
        return Money(minor, self.currency)


def _day(text: str) -> Day:
    field = forms.DateField()
    found: date = field.to_python(text) or field.clean(text)
    return day_from_date(found)


class DoneForm(forms.Form):
    """That something was done, and on which day."""

    name = forms.CharField(max_length=300, widget=forms.HiddenInput)
    on = forms.DateField(
        label=_("Done on"),
        widget=forms.DateInput(attrs=_DATE),
        error_messages={"required": _("Say on which day it was done.")},
    )

    def __init__(self, *args: Any, today: Day, **kwargs: Any) -> None:  # noqa: ANN401
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_on(self) -> date:
        """Refuse days that are still to come."""
        found: date = self.cleaned_data["on"]
        if day_from_date(found) > self.today:
            message = _t("This day is still to come; mark it as done once it is.")
            raise forms.ValidationError(message)
        return found


class ResultForm(forms.Form):
    """An attempt at an examination, as its report tells it."""

    examination = forms.ChoiceField(label=_("Examination"))
    taken = forms.DateField(label=_("Day of the sitting"), widget=forms.DateInput(attrs=_DATE))
    outcome = forms.ChoiceField(
        label=_("Outcome"),
        choices=(
            ("failed", _("not passed")),
            ("passed", _("passed")),
            ("awaiting", _("sat, the result is awaited")),
            ("booked", _("booked")),
        ),
    )
    score = forms.CharField(
        label=_("Score"),
        required=False,
        max_length=30,
        help_text=_("As on the report, 61 or 61.5."),
    )
    domains = forms.CharField(
        label=_("Result of each domain"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("A line each, as assessment: 58."),
    )
    application = forms.CharField(
        label=_("Earlier application it belongs to"),
        required=False,
        max_length=60,
        help_text=_(
            "Only for an attempt of an earlier application, as 2024. Attempts are counted over"
            " all applications where the rules say so."
        ),
    )

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - as Django's forms take them
        examinations: Sequence[tuple[str, str]],
        **kwargs: Any,  # noqa: ANN401 - as above
    ) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["examination"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - declared above
        field.choices = list(examinations)
        if len(examinations) == 1:
            field.widget = forms.HiddenInput()
            field.initial = examinations[0][0]

    def typed(self) -> dict[str, str]:
        """Return the fields as an applicant file's form takes them."""
        found = {name: str(value) for name, value in self.cleaned_data.items() if value}
        found["domains"] = "; ".join(
            line.strip() for line in found.get("domains", "").splitlines() if line.strip()
        )
        return {name: text for name, text in found.items() if text}


class PaymentForm(forms.Form):
    """A payment, as its receipt tells it."""

    purpose = forms.ChoiceField(label=_("What for"))
    other = forms.CharField(
        label=_("What for, if it is none of these"), required=False, max_length=200
    )
    amount = forms.CharField(
        label=_("How much"), max_length=40, help_text=_("With its currency, as 120.00 EUR.")
    )
    on = forms.DateField(label=_("Paid on"), widget=forms.DateInput(attrs=_DATE))
    payer = forms.CharField(
        label=_("Who paid"),
        required=False,
        max_length=100,
        help_text=_("As applicant or employer."),
    )
    receipt = forms.CharField(label=_("Number of the receipt"), required=False, max_length=100)
    attempt = forms.IntegerField(
        label=_("For which attempt"),
        required=False,
        min_value=1,
        max_value=50,
        help_text=_("For fees of an examination, counted from 1."),
    )
    refundable_until = forms.DateField(
        label=_("Can be had back until"), required=False, widget=forms.DateInput(attrs=_DATE)
    )
    again = forms.BooleanField(label=_("It is paid a second time all the same"), required=False)

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - as Django's forms take them
        purposes: Sequence[tuple[str, str]],
        today: Day,
        **kwargs: Any,  # noqa: ANN401 - as above
    ) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        field = self.fields["purpose"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - declared above
        field.choices = [*purposes, (OTHER, _("something else"))]
        if not self.data.get("again") and not self.is_bound:
            self.fields["again"].widget = forms.HiddenInput()

    def clean_on(self) -> date:
        """Refuse days that are still to come."""
        found: date = self.cleaned_data["on"]
        if day_from_date(found) > self.today:
            message = _t("This day is still to come; write the payment down once it is made.")
            raise forms.ValidationError(message)
        return found

    def clean(self) -> dict[str, Any]:
        """Ask for a purpose."""
        found = super().clean() or {}
        if found.get("purpose") == OTHER and not found.get("other"):
            self.add_error("other", _t("Say what was paid for."))
        return found

    def ask_again(self) -> None:
        """Show the box by which a second payment is meant."""
        self.fields["again"].widget = forms.CheckboxInput()

    @property
    def named(self) -> str:
        """What was paid for, as the file names it."""
        found = self.cleaned_data
        return str(found["other"] if found["purpose"] == OTHER else found["purpose"]).strip()

    def typed(self) -> dict[str, str]:
        """Return the fields as an applicant file's form takes them."""
        names = ("amount", "on", "payer", "receipt", "attempt", "refundable_until")
        found = {name: str(self.cleaned_data[name]) for name in names if self.cleaned_data[name]}
        return {"purpose": self.named, **found}


class CalendarForm(forms.Form):
    """A new address of a calendar."""

    label = forms.CharField(
        label=_("What reads it"),
        max_length=100,
        help_text=_("To know it by, as: calendar on my telephone."),
    )
