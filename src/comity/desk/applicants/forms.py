"""The forms of the list: what to find, and who is new."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.utils.translation import gettext_lazy as _

from comity.core.declaring.fields import fields_of
from comity.core.facts.model import Applicant
from comity.service.editing_fields import FieldError, read_field
from comity.store.models import Account, Case, Role

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from django.utils.functional import _StrPromise

    from comity.service.needs import NamedTitle

    Choices = list[tuple[str, Any]]

VERDICT_WORDS: Final = (
    ("", _("Any answer")),
    ("met", _("Met")),
    ("refer", _("Authority decides")),
    ("unknown", _("Not known yet")),
    ("not met", _("Not met")),
)
NEXT_WORDS: Final = (
    ("", _("Whenever")),
    ("overdue", _("Overdue")),
    ("two weeks", _("Within two weeks")),
    ("month", _("Within a month")),
    ("none", _("No date set")),
)
STATE_WORDS: Final = (
    ("open", _("Open cases")),
    ("closed", _("Closed cases")),
    ("all", _("Open and closed")),
)


class FindForm(forms.Form):
    """What to find; every choice may stay as it is."""

    words = forms.CharField(
        label=_("Name or reference"),
        required=False,
        max_length=100,
        widget=forms.SearchInput(attrs={"autocomplete": "off"}),
    )
    title = forms.ChoiceField(label=_("Rulebook and title"), required=False)
    verdict = forms.ChoiceField(
        label=_("Answer if handed in today"), required=False, choices=VERDICT_WORDS
    )
    next = forms.ChoiceField(label=_("Next action due"), required=False, choices=NEXT_WORDS)
    care = forms.ChoiceField(label=_("In the care of"), required=False)
    state = forms.ChoiceField(label=_("State"), required=False, choices=STATE_WORDS)

    def __init__(
        self,
        *filled: Any,  # noqa: ANN401
        titles: Mapping[tuple[str, str], NamedTitle],
        **more: Any,  # noqa: ANN401
    ) -> None:
        super().__init__(*filled, **more)
        self._choose("title", [("", _("All rulebooks")), *_by_authority(titles)])
        self._choose("care", list(_carers()))

    def _choose(self, name: str, choices: Choices) -> None:
        field = self.fields[name]
        if isinstance(field, forms.ChoiceField):
            field.choices = choices


def _by_authority(titles: Mapping[tuple[str, str], NamedTitle]) -> Iterator[tuple[str, Any]]:
    """Yield the titles of each authority below its name."""
    groups: dict[str, tuple[str, Choices]] = {}
    for (authority, title), named in titles.items():
        own, _comma, office = named.name.rpartition(", ")
        _name, choices = groups.setdefault(
            authority, (office, [(f"{authority}/", _("Any title of %(name)s") % {"name": office})])
        )
        choices.append((f"{authority}/{title}", own))
    for name, choices in groups.values():
        yield name, choices


def _carers() -> Iterator[tuple[str, str | _StrPromise]]:
    yield "", _("Anybody")
    yield "mine", _("Me")
    yield "nobody", _("Nobody yet")
    members = Account.objects.exclude(role=Role.APPLICANT).filter(is_active=True)
    for pk, name in members.order_by("name").values_list("pk", "name"):
        yield str(pk), name


class NewApplicantForm(forms.Form):
    """Who is new: a name and a reference are enough."""

    name = forms.CharField(
        label=_("Name"), max_length=300, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    reference = forms.CharField(
        label=_("Reference"),
        help_text=_(
            "By which the office tells people apart. Small letters, digits and hyphens, no name."
        ),
        max_length=100,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    is_mine = forms.BooleanField(label=_("In my care"), required=False, initial=True)

    def clean_name(self) -> Any:  # noqa: ANN401 - what the declaration reads
        """Read the name as applicant files do."""
        return _read("name", self.cleaned_data["name"])

    def clean_reference(self) -> Any:  # noqa: ANN401 - as above
        """Read the reference as applicant files do; each stands once."""
        reference = _read("applicant", self.cleaned_data["reference"])
        if Case.objects.filter(reference=reference).exists():
            raise forms.ValidationError(_("The office has an applicant with this reference."))
        return reference

    def applicant(self) -> Applicant:
        """Return the applicant as filled in."""
        given = self.cleaned_data
        return Applicant(applicant=given["reference"], name=given["name"])


def _read(field: str, text: str) -> Any:  # noqa: ANN401 - as above
    declared = next(each for each in fields_of(Applicant) if each.name == field)
    try:
        return read_field(declared, text, ())
    except FieldError as error:
        raise forms.ValidationError(error.problem.sentence) from error


class ImportForm(forms.Form):
    """The table to bring in."""

    table = forms.FileField(
        label=_("Table"),
        help_text=_("CSV in UTF-8, or XLSX. At most 5 MB and 2,000 rows."),
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
        error_messages={"empty": _("The file is empty. Choose the table once it is saved.")},
    )
