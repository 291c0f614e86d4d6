"""The audit trail of a case, readable: who, when, what before and after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from comity.desk.access import get_case, members_only
from comity.desk.cases.shown import frame
from comity.store.audit import detail_of, name_of
from comity.store.models import Account, AuditRecord, Holder

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import datetime
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse
    from django.utils.functional import _StrPromise

A_PAGE: Final = 40
_WORDS: Final[Mapping[str, _StrPromise]] = {
    "case/added": gettext_lazy("Took the case in"),
    "case/facts changed": gettext_lazy("Changed facts"),
    "case/fact removed": gettext_lazy("Took a fact out"),
    "case/adviser changed": gettext_lazy("Changed the adviser"),
    "case/closed": gettext_lazy("Closed the case"),
    "case/reopened": gettext_lazy("Opened the case again"),
    "case/legal hold changed": gettext_lazy("Changed the legal hold"),
    "case/note added": gettext_lazy("Added a note"),
    "case/action added": gettext_lazy("Added a next action"),
    "case/action changed": gettext_lazy("Changed a next action"),
    "case/action done": gettext_lazy("Marked an action as done"),
    "case/action reopened": gettext_lazy("Took up an action again"),
    "case/step done": gettext_lazy("Marked a step as done"),
    "case/step undone": gettext_lazy("Took back that a step was done"),
    "case/result entered": gettext_lazy("Entered the result of an examination"),
    "case/payment entered": gettext_lazy("Entered a payment"),
    "calendar/address made": gettext_lazy("Made an address of the calendar"),
    "calendar/address taken back": gettext_lazy("Took an address of the calendar back"),
    "given/brief": gettext_lazy("Gave out a brief"),
    "given/message": gettext_lazy("Gave out a message"),
    "given/letter": gettext_lazy("Gave out a letter"),
    "given/export": gettext_lazy("Gave out an export"),
    "consent/given": gettext_lazy("Noted a consent"),
    "consent/withdrawn": gettext_lazy("Noted that a consent was taken back"),
    "exam/form given": gettext_lazy("Gave a mock examination"),
    "exam/form taken back": gettext_lazy("Took a mock examination back"),
    "exam/sitting begun": gettext_lazy("Began a mock examination"),
    "exam/handed in": gettext_lazy("Handed a mock examination in"),
    "exam/time was up": gettext_lazy("The time of a mock examination was up"),
    "exam/mark changed": gettext_lazy("Changed the mark of an answer"),
    "given/settled": gettext_lazy("Told the recipient what has changed"),
}
_ABOUT: Final = ("name", "text", "reason", "purpose")


@dataclass(frozen=True, slots=True)
class Change:
    """A value before and after."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Done:
    """One record, as people read it."""

    at: datetime
    who: str
    what: str
    about: str
    changes: tuple[Change, ...]
    lines: tuple[tuple[str, str], ...]
    given: int | None


@members_only
@require_safe
def history(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show what was done in a case, the newest first."""
    case = get_case(request, case_id)
    records = AuditRecord.objects.filter(case_id=case.pk).order_by("-sequence")
    page = Paginator(records, A_PAGE).get_page(request.GET.get("page"))
    people = {name_of(each): each.name for each in Account.objects.only("pk", "name")}
    done = [_done(each, people) for each in page]
    context = {**frame(case, here="history"), "page": page, "done": done, "charts": False}
    return render(request, "cases/history.html", context)


def _done(record: AuditRecord, people: Mapping[str, str]) -> Done:
    detail = detail_of(record) or {}
    given = detail.get("given")
    return Done(
        record.at,
        people.get(record.actor, _("The program") if record.actor == "system" else record.actor),
        str(_WORDS.get(record.action) or record.action.replace("/", ": ")),
        next((str(detail[each]) for each in _ABOUT if detail.get(each)), _gave(detail)),
        tuple(_changes(detail)),
        tuple(_lines(detail)),
        given if isinstance(given, int) else None,
    )


def _gave(detail: Mapping[str, Any]) -> str:
    recipient = detail.get("recipient")
    return _("to %(who)s") % {"who": recipient} if recipient else ""


def _changes(detail: Mapping[str, Any]) -> Iterator[Change]:
    """Yield what is different: fields of an entry, or a value as such."""
    before, after = detail.get("before"), detail.get("after")
    if isinstance(before, list) and isinstance(after, list):
        old, new = dict(before), dict(after)
        for label in dict.fromkeys((*old, *new)):
            if old.get(label) != new.get(label):
                yield Change(label, old.get(label, ""), new.get(label, ""))
    elif isinstance(before, str) and isinstance(after, str):
        yield Change("", before, after)
    if "holder" in detail:
        yield Change(_("Has the ball"), "", str(dict(Holder.choices).get(detail["holder"], "")))


def _lines(detail: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield the lines of the file that went and came, where nothing better tells the change."""
    if isinstance(detail.get("before"), list):
        return
    for line in detail.get("lines") or ():
        if not line.startswith("@@"):
            yield line[:1], line[1:]
