"""Banks to read: their items by domain, level and state, and each item with its explanation."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from comity.core.exam.items import Level
from comity.core.exam.reviews import ReviewState
from comity.core.exam.scoring import Answer
from comity.core.exam.writing import flaws_of
from comity.desk.access import member_of, members_only
from comity.desk.mock_exams.packages import not_carried
from comity.service.mock_forms import domain_name
from comity.service.mock_sittings import outcome_of, question_of
from comity.service.starter_items import starter_bank_text
from comity.store.errors import StoreError
from comity.store.item_banks import add_bank, loaded_bank
from comity.store.models import ItemBank

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.core.exam.items import Bank, Item

A_PAGE: Final = 50


@members_only
@require_safe
def bank(request: HttpRequest, bank_id: UUID) -> HttpResponse:
    """List the items of a bank, narrowed as the reader asks."""
    stored = get_object_or_404(ItemBank.objects.select_related("changed_by"), pk=bank_id)
    held = _held(stored)
    asked = {name: request.GET.get(name, "").strip() for name in ("domain", "level", "state", "q")}
    found = list(_narrowed(held.items, asked))
    domains = sorted({item.domain for item in held.items})
    context = {
        "stored": stored,
        "bank": held,
        "page": Paginator(found, A_PAGE).get_page(request.GET.get("page")),
        "n_found": len(found),
        "asked": asked,
        "not_carried": not_carried(held),
        "domains": [(each, domain_name(each)) for each in domains],
        "levels": [(each.value, each.value) for each in Level],
        "states": [(each.value, each.value) for each in ReviewState],
    }
    return render(request, "mock_exams/bank.html", context)


def _narrowed(items: tuple[Item, ...], asked: Mapping[str, str]) -> Iterator[Item]:
    words = asked["q"].casefold().split()
    for item in items:
        text = f"{item.id} {item.stem}".casefold()
        if (
            asked["domain"] in {"", item.domain}
            and asked["level"] in {"", item.level.value}
            and asked["state"] in {"", item.state.value}
            and all(word in text for word in words)
        ):
            yield item


@members_only
@require_safe
def item(request: HttpRequest, bank_id: UUID, item_id: str) -> HttpResponse:
    """Show an item as it is asked and as it is explained, with what its writing is worth a look."""
    stored = get_object_or_404(ItemBank, pk=bank_id)
    held = _held(stored)
    number = next((n for n, each in enumerate(held.items, 1) if each.id == item_id), None)
    if number is None:
        raise Http404
    blank = Answer()
    context = {
        "stored": stored,
        "item": held.items[number - 1],
        "domain": domain_name(held.items[number - 1].domain),
        "question": question_of(held, number, blank, cautions={}),
        "outcome": outcome_of(held, number, blank, cautions={}),
        "flaws": flaws_of(held.items[number - 1]),
    }
    return render(request, "mock_exams/item.html", context)


@members_only
@require_POST
def take_starter(request: HttpRequest) -> HttpResponse:
    """Take the bank that comes with Comity into the office, to be read and changed like any."""
    try:
        added = add_bank(starter_bank_text(), actor=member_of(request))
    except StoreError as error:
        said = str(error)
        messages.warning(request, f"{said[:1].upper()}{said[1:]}.")
        return redirect("desk-exams")
    messages.success(request, _("The starter bank is here. Have its items read before you rely."))
    return redirect("desk-exam-bank", bank_id=added.pk)


def _held(stored: ItemBank) -> Bank:
    held = loaded_bank(stored.text).value
    if held is None:  # only what was sound is kept; a later version may read less
        raise Http404
    return held
