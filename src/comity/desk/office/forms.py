"""Forms of the office's settings and of inviting people."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final
from zoneinfo import available_timezones

from babel import Locale
from babel.core import get_global
from babel.numbers import get_currency_name
from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from comity.desk.templatetags.desk import reader_locale
from comity.store.models import Role

if TYPE_CHECKING:
    from comity.store.models import Office

SETTINGS: Final = ("name", "contact", "time_zone", "language", "currency", "shows_readiness")


def _time_zones() -> tuple[tuple[str, str], ...]:
    return time_zones()


def _currencies() -> tuple[tuple[str, str], ...]:
    return currencies(str(reader_locale()))


class OfficeBasicsForm(forms.Form):
    """What stands on the office's papers, and how it writes days and money."""

    name = forms.CharField(
        label=_("Name of the office"),
        help_text=_("It stands on every page and every brief."),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "organization"}),
    )
    contact = forms.CharField(
        label=_("How applicants reach you"),
        help_text=_(
            "A person, an address, a number: whatever suits you. It stands beside every answer"
            " an applicant reads."
        ),
        max_length=300,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    time_zone = forms.ChoiceField(
        label=_("Time zone"),
        help_text=_("Where an authority's own is not known, days change when yours do."),
        choices=_time_zones,
        initial="UTC",
    )
    currency = forms.ChoiceField(
        label=_("Currency"),
        help_text=_("In which sums are added up."),
        choices=_currencies,
        initial="EUR",
    )

    def values(self) -> dict[str, Any]:
        """Return the settings as they were filled in."""
        return {name: self.cleaned_data[name] for name in SETTINGS if name in self.cleaned_data}


class OfficeForm(OfficeBasicsForm):
    """All settings, for an office that there is; remembers which version it was filled from."""

    language = forms.ChoiceField(
        label=_("Language of new people's pages"), choices=settings.LANGUAGES
    )
    shows_readiness = forms.BooleanField(
        label=_("Tell applicants how ready they are for an examination"),
        help_text=_(
            "In words with their caution, and never before there is enough practice. Advisers see"
            " it always."
        ),
        required=False,
    )
    base_version = forms.IntegerField(widget=forms.HiddenInput)

    @staticmethod
    def of(office: Office, **filled: Any) -> OfficeForm:  # noqa: ANN401 - values by name
        """Return the form filled with an office's settings, or with others in their place."""
        present = {name: getattr(office, name) for name in SETTINGS}
        return OfficeForm(initial={**present, "base_version": office.version, **filled})


class InviteForm(forms.Form):
    """Whom to let in."""

    name = forms.CharField(
        label=_("Name"), max_length=200, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    email = forms.EmailField(
        label=_("E-mail address"),
        help_text=_("They sign in with it. Nothing is sent: you get a link to hand over yourself."),
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )


class InviteMemberForm(InviteForm):
    """A colleague."""

    role = forms.ChoiceField(
        label=_("What they may do"),
        initial=Role.ADVISER,
        choices=(
            (Role.ADVISER, _("Adviser: works on all cases and rulebooks")),
            (Role.OWNER, _("Owner: the same, and runs the office and its people")),
        ),
        widget=forms.RadioSelect,
    )


@lru_cache
def time_zones() -> tuple[tuple[str, str], ...]:
    """Return all time zones that name a place, and UTC."""
    names = sorted(name for name in available_timezones() if "/" in name and name[0].isupper())
    places = [name for name in names if not name.startswith(("Etc/", "SystemV/", "US/"))]
    return tuple((name, name.replace("_", " ")) for name in ("UTC", *places))


@lru_cache
def currencies(locale: str) -> tuple[tuple[str, str], ...]:
    """Return the currencies that are tender somewhere, by their codes."""
    codes = {
        code
        for rows in get_global("territory_currencies").values()
        for code, _since, end, is_tender in rows
        if is_tender and end is None
    }
    parsed = Locale.parse(locale)
    return tuple(
        (code, f"{code} – {get_currency_name(code, locale=parsed)}") for code in sorted(codes)
    )
