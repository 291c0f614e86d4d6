"""Banks and models to write: the editor, its checks, import and export."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final
from urllib.parse import quote

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk.access import member_of, members_only
from comity.desk.mock_exams.checking import checked_bank, checked_model
from comity.desk.mock_exams.forms import ImportForm
from comity.desk.mock_exams.packages import MOST_PACKED, is_package, read_package
from comity.desk.mock_exams.texts import BLANK_BANK, BLANK_MODEL
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.item_banks import add_bank, add_model, change_bank, change_model
from comity.store.models import ItemBank, StoredItemModel

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest

    from comity.desk.mock_exams.checking import Checked

MOST_CHARACTERS: Final = 2_000_000


@members_only
@require_http_methods(["GET", "POST"])
def bank_new(request: HttpRequest) -> HttpResponse:
    """Begin a bank from a few lines, or from a file that somebody wrote elsewhere."""
    if request.method != "POST":
        return _bank_page(request, BLANK_BANK, None, found=checked_bank(BLANK_BANK))
    if request.FILES:
        return _imported(request)
    text = _text(request)
    if "check" in request.POST:
        return _bank_page(request, text, None, found=checked_bank(text))
    try:
        added = add_bank(text, actor=member_of(request))
    except UnreadableError:
        said = _("Nothing is kept yet: mend what is found first.")
        return _bank_page(request, text, None, found=checked_bank(text), error=said)
    except StoreError as error:
        return _bank_page(request, text, None, found=checked_bank(text), error=_sentence(error))
    messages.success(request, _("The bank is kept."))
    return redirect("desk-exam-bank", bank_id=added.pk)


def _imported(request: HttpRequest) -> HttpResponse:
    """Show a file's text in the editor, with what is wrong with it; nothing is kept yet."""
    form = ImportForm(request.POST, request.FILES)
    if not form.is_valid():
        return _bank_page(request, BLANK_BANK, None, found=checked_bank(BLANK_BANK), importing=form)
    upload = form.cleaned_data["file"]
    data: bytes = upload.read(MOST_PACKED + 1)
    if is_package(data):
        return _unpacked(request, form, data, name=upload.name or "")
    if len(data) > MOST_CHARACTERS:
        form.add_error("file", _("This file is too large for one bank; part it."))
        return _bank_page(request, BLANK_BANK, None, found=checked_bank(BLANK_BANK), importing=form)
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        form.add_error("file", _("This is no text in UTF-8. Save it as plain text and try again."))
        return _bank_page(request, BLANK_BANK, None, found=checked_bank(BLANK_BANK), importing=form)
    messages.info(request, _("Read, not kept yet: look at what was found, then keep the bank."))
    return _bank_page(request, text, None, found=checked_bank(text))


def _unpacked(request: HttpRequest, form: ImportForm, data: bytes, *, name: str) -> HttpResponse:
    """Show the items of a package in the editor, or why it is refused; nothing is kept yet."""
    package = None if len(data) > MOST_PACKED else read_package(data, name)
    if package is None or len(package.text) > MOST_CHARACTERS:
        form.add_error("file", _("This file is too large for one bank; part it."))
    elif package.is_refused:
        form.add_error("file", _("Nothing was taken from this package: see below why."))
    else:
        messages.info(request, _("Read, not kept yet: look at what was found, then keep the bank."))
        found = checked_bank(package.text)
        return _bank_page(request, package.text, None, found=found, package=package)
    found = checked_bank(BLANK_BANK)
    return _bank_page(request, BLANK_BANK, None, found=found, importing=form, package=package)


@members_only
@require_http_methods(["GET", "POST"])
def bank_edit(request: HttpRequest, bank_id: UUID) -> HttpResponse:
    """Change a bank's text."""
    current = get_object_or_404(ItemBank, pk=bank_id)
    if request.method != "POST":
        return _bank_page(request, current.text, current, found=checked_bank(current.text))
    text = _text(request)
    if "check" in request.POST:
        return _bank_page(request, text, current, found=checked_bank(text))
    try:
        change_bank(current, text, base_version=_base(request), actor=member_of(request))
    except StaleError as stale:
        theirs = stale.current
        if not isinstance(theirs, ItemBank):
            raise
        said = _("Somebody else saved this bank while you were writing. Nothing of yours is saved.")
        return _bank_page(
            request, text, theirs, found=checked_bank(text), error=said, theirs=theirs.text
        )
    except UnreadableError:
        said = _("Nothing was saved: mend what is found first.")
        return _bank_page(request, text, current, found=checked_bank(text), error=said)
    except StoreError as error:
        return _bank_page(request, text, current, found=checked_bank(text), error=_sentence(error))
    messages.success(request, _("Saved."))
    return redirect("desk-exam-bank", bank_id=current.pk)


@members_only
@require_POST
def bank_check(request: HttpRequest) -> HttpResponse:
    """Return what is wrong with a bank's text as it is being written."""
    return render(request, "mock_exams/_found.html", {"found": checked_bank(_text(request))})


@members_only
@require_safe
def bank_export(request: HttpRequest, bank_id: UUID) -> HttpResponse:
    """Return a bank as its file, as it was written."""
    del request
    stored = get_object_or_404(ItemBank, pk=bank_id)
    response = HttpResponse(stored.text, content_type="application/yaml; charset=utf-8")
    name = quote(f"{stored.bank}.yaml")
    response.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{name}"
    return response


@members_only
@require_http_methods(["GET", "POST"])
def model_new(request: HttpRequest) -> HttpResponse:
    """Begin an item model from a small one."""
    text = _text(request) if request.method == "POST" else BLANK_MODEL
    if request.method != "POST" or "check" in request.POST:
        return _model_page(request, text, None, found=checked_model(text))
    try:
        added = add_model(text, actor=member_of(request))
    except UnreadableError:
        said = _("Nothing is kept yet: mend what is found first.")
        return _model_page(request, text, None, found=checked_model(text), error=said)
    except StoreError as error:
        return _model_page(request, text, None, found=checked_model(text), error=_sentence(error))
    messages.success(request, _("The model is kept."))
    return redirect("desk-exam-model", model_id=added.pk)


@members_only
@require_http_methods(["GET", "POST"])
def model_edit(request: HttpRequest, model_id: int) -> HttpResponse:
    """Change an item model's text."""
    current = get_object_or_404(StoredItemModel, pk=model_id)
    text = _text(request) if request.method == "POST" else current.text
    if request.method != "POST" or "check" in request.POST:
        return _model_page(request, text, current, found=checked_model(text))
    try:
        change_model(current, text, base_version=_base(request), actor=member_of(request))
    except StaleError as stale:
        theirs = stale.current
        if not isinstance(theirs, StoredItemModel):
            raise
        said = _(
            "Somebody else saved this model while you were writing. Nothing of yours is saved."
        )
        return _model_page(
            request, text, theirs, found=checked_model(text), error=said, theirs=theirs.text
        )
    except UnreadableError:
        said = _("Nothing was saved: mend what is found first.")
        return _model_page(request, text, current, found=checked_model(text), error=said)
    except StoreError as error:
        return _model_page(
            request, text, current, found=checked_model(text), error=_sentence(error)
        )
    messages.success(request, _("Saved."))
    return redirect("desk-exam-model", model_id=current.pk)


@members_only
@require_POST
def model_check(request: HttpRequest) -> HttpResponse:
    """Return what is wrong with a model's text as it is being written, and an item it draws."""
    return render(request, "mock_exams/_found.html", {"found": checked_model(_text(request))})


def _bank_page(
    request: HttpRequest,
    text: str,
    stored: ItemBank | None,
    *,
    found: Checked,
    **more: Any,  # noqa: ANN401 - what a page shows besides
) -> HttpResponse:
    context = {
        "stored": stored,
        "name": None if stored is None else stored.title or stored.bank,
        "text": text,
        "found": found,
        "importing": ImportForm() if stored is None else None,
        **more,
    }
    return render(request, "mock_exams/bank_edit.html", context, status=_status(more))


def _model_page(
    request: HttpRequest,
    text: str,
    stored: StoredItemModel | None,
    *,
    found: Checked,
    **more: Any,  # noqa: ANN401 - as above
) -> HttpResponse:
    name = None if stored is None else stored.title or stored.model
    context = {"stored": stored, "name": name, "text": text, "found": found, **more}
    return render(request, "mock_exams/model_edit.html", context, status=_status(more))


def _status(more: dict[str, Any]) -> int:
    if more.get("theirs"):
        return 409
    importing = more.get("importing")
    is_amiss = more.get("error") or (importing is not None and importing.errors)
    return 422 if is_amiss else 200


def _text(request: HttpRequest) -> str:
    # Browsers send the ends of lines as CRLF.
    return request.POST.get("text", "")[:MOST_CHARACTERS].replace("\r\n", "\n")


def _base(request: HttpRequest) -> int:
    base = request.POST.get("base_version", "")
    return int(base) if base.isdecimal() else 0


def _sentence(error: Exception) -> str:
    said = str(error)
    return f"{said[:1].upper()}{said[1:]}."
