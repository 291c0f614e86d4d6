"""What the office keeps of a person: taking it along, consents, who got what, the legal hold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING, Final

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from comity.core.days.calendar import date_from_day
from comity.desk import clock
from comity.desk.access import get_case, member_of, members_only, signed_in
from comity.desk.cases.shown import frame
from comity.desk.context import office
from comity.desk.keeping.forms import PURPOSES, AgreeForm, LegalHoldForm, RecordConsentForm
from comity.store import consents, exporting, retention
from comity.store.cases import set_legal_hold
from comity.store.models import Given

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date
    from uuid import UUID

    from django.http import HttpRequest, QueryDict
    from django.utils.functional import _StrPromise

    from comity.store.models import Account, Case

_SORTS: Final[Mapping[str, _StrPromise]] = {
    Given.Sort.BRIEF: gettext_lazy("Brief"),
    Given.Sort.MESSAGE: gettext_lazy("Message"),
    Given.Sort.LETTER: gettext_lazy("Letter"),
    Given.Sort.EXPORT: gettext_lazy("The whole file"),
}
_RECIPIENT_LENGTH: Final = 200


@dataclass(frozen=True, slots=True)
class Logged:
    """A line of the log: something that was given out, and whether its reader may open it."""

    row: Given
    what: _StrPromise
    is_open: bool


@signed_in
@require_safe
def data(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show what is kept of a case, what was agreed to and who got what; to applicants their own."""
    return _page(request, get_case(request, case_id))


def _page(
    request: HttpRequest,
    case: Case,
    *,
    agreeing: AgreeForm | RecordConsentForm | None = None,
    holding: LegalHoldForm | None = None,
) -> HttpResponse:
    """Return the page, with a form that was filled in amiss in the place of the empty one."""
    person = member_of(request)
    is_amiss = agreeing is not None or holding is not None
    context = {
        **frame(case, here="data"),
        "charts": False,
        "consents": case.consents.select_related("recorded_by").order_by("-given_at", "-pk"),
        "agreeing": agreeing or _consent_form(person, case),
        "purposes": PURPOSES,
        "log": tuple(_log(case, person)),
        "recipient": _applicant(case),
        "holding": holding or LegalHoldForm(),
        "kept_for": _kept_for(),
    }
    return render(request, "keeping/data.html", context, status=422 if is_amiss else 200)


def _log(case: Case, person: Account) -> Iterator[Logged]:
    """Yield what was given out, the newest first.

    Of an export only the list of its files is kept; applicants open their own briefs.
    """
    closed = {Given.Sort.EXPORT} if person.is_member else set(Given.Sort) - {Given.Sort.BRIEF}
    for row in case.given.select_related("given_by").order_by("-given_at", "-pk"):
        yield Logged(row, _SORTS[row.sort], row.sort not in closed)


def _kept_for() -> str:
    kept = {kind.name: kind.keeps for kind in retention.KINDS}
    return str({**kept, **office().retention}["closed cases"])


def _applicant(case: Case) -> str:
    return case.name or case.reference


# -------------------------------------------------------------------------------- taking it along


@signed_in
@require_POST
def export(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Give out everything an applicant gave, as one file; it is noted as given out."""
    case = get_case(request, case_id)
    person = member_of(request)
    named = request.POST.get("recipient", "").strip() if person.is_member else ""
    recipient = named[:_RECIPIENT_LENGTH] or _applicant(case)
    content = exporting.export(case, recipient=recipient, actor=person, now=clock.now())
    response = HttpResponse(content, content_type="application/zip")
    name = content_disposition_header(as_attachment=True, filename=f"data-{case.reference}.zip")
    response.headers["Content-Disposition"] = name or "attachment"
    return response


# --------------------------------------------------------------------------------------- consents


@signed_in
@require_POST
def agree(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Keep a consent: given by the applicant here, or written down by the office."""
    case = get_case(request, case_id, may="change")
    person = member_of(request)
    form = _consent_form(person, case, sent=request.POST)
    if not form.is_valid():
        return _page(request, case, agreeing=form)
    at = _moment_of(form.cleaned_data.get("day"))
    consents.consent(case, form.cleaned_data["purpose"], actor=person, now=at)
    messages.success(request, _("The consent is noted."))
    return redirect("desk-case-data", case.pk)


def _consent_form(
    person: Account, case: Case, *, sent: QueryDict | None = None
) -> AgreeForm | RecordConsentForm:
    """Return the form for whoever asks: applicants agree themselves, members write it down."""
    if person.is_member:
        today = date_from_day(clock.today_at())
        return RecordConsentForm(sent, initial={"day": f"{today:%Y-%m-%d}"})
    standing = case.consents.filter(withdrawn_at=None).values_list("purpose", flat=True)
    return AgreeForm(sent, given=standing)


def _moment_of(day: date | None) -> datetime:
    """Return now, or noon of an earlier day, which is that day nearly everywhere."""
    now = clock.now()
    return now if day is None or day >= now.date() else datetime.combine(day, time(12), tzinfo=UTC)


@signed_in
@require_POST
def withdraw(request: HttpRequest, case_id: UUID, consent_id: int) -> HttpResponse:
    """Keep that a consent was taken back; this is possible in a closed case, too."""
    case = get_case(request, case_id)
    row = case.consents.filter(pk=consent_id).first()
    if row is None:
        raise Http404
    consents.withdraw_consent(row, actor=member_of(request), now=clock.now())
    messages.success(request, _("The consent is taken back."))
    return redirect("desk-case-data", case.pk)


# ---------------------------------------------------------------------------------- the legal hold


@members_only
@require_POST
def legal_hold(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Forbid erasing a case, or allow it again; of a closed case, too, for its time runs."""
    case = get_case(request, case_id)
    if request.POST.get("do") == "lift":
        set_legal_hold(case, "", actor=member_of(request))
        messages.success(request, _("The legal hold is lifted."))
        return redirect("desk-case-data", case.pk)
    form = LegalHoldForm(request.POST)
    if not form.is_valid():
        return _page(request, case, holding=form)
    set_legal_hold(case, form.cleaned_data["reason"], actor=member_of(request))
    messages.success(request, _("The case is kept until the legal hold is lifted."))
    return redirect("desk-case-data", case.pk)
