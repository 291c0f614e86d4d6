"""Rulebooks to write: a new one, a new edition from an old one, the editor and its checks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from comity.desk.access import member_of, members_only
from comity.desk.rulebooks.forms import NewEditionForm
from comity.desk.rulebooks.looking import checked, stored
from comity.desk.rulebooks.texts import BLANK, with_name
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.models import StoredEdition
from comity.store.rulebooks import add_edition, change_edition

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from comity.desk.rulebooks.looking import Checked

MOST_CHARACTERS: Final = 500_000


@members_only
@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Begin a rulebook from a blank sheet; it is kept as a draft."""
    text = _text(request) if request.method == "POST" else BLANK
    if request.method != "POST":
        return _editor(request, text, None, found=None)
    if "check" in request.POST:
        return _editor(request, text, None, found=checked(text, runs_cases=True))
    try:
        added = add_edition(text, actor=member_of(request))
    except UnreadableError:
        found = checked(text, runs_cases=False)
        said = _("Nothing is kept yet: the text does not say whose rulebook it is.")
        return _editor(request, text, None, found=found, error=said)
    except StoreError as error:
        return _editor(request, text, None, found=None, error=_sentence(error))
    messages.success(request, _("The draft is kept."))
    return redirect("desk-rulebook-edit", authority=added.authority, edition=added.edition)


@members_only
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Change an edition's text; a draft may be kept with its faults."""
    current = stored(authority, edition)
    if request.method != "POST":
        return _editor(request, current.text, current, found=checked(current.text, runs_cases=True))
    text = _text(request)
    if "check" in request.POST:
        return _editor(request, text, current, found=checked(text, runs_cases=True))
    return _saved(request, current, text)


def _saved(request: HttpRequest, current: StoredEdition, text: str) -> HttpResponse:
    """Save a text, or show it again with what keeps it from being saved."""
    base = request.POST.get("base_version", "")
    found, error = None, ""
    try:
        saved = change_edition(
            current,
            text,
            base_version=int(base) if base.isdecimal() else 0,
            actor=member_of(request),
        )
    except StaleError as stale:
        return _conflict(request, text, stale)
    except UnreadableError:
        error = _("Nothing was saved: an edition in force has to stay without faults.")
        found = checked(text, runs_cases=False)
    except StoreError as refusal:
        error = _sentence(refusal)
    if error:
        return _editor(request, text, current, found=found, error=error)
    if saved.state == StoredEdition.State.IN_FORCE:
        return redirect("desk-rulebook-refresh")
    messages.success(request, _("Saved."))
    return redirect("desk-rulebook-edit", authority=saved.authority, edition=saved.edition)


def _text(request: HttpRequest) -> str:
    # Browsers send the ends of lines as CRLF.
    return request.POST.get("text", "")[:MOST_CHARACTERS].replace("\r\n", "\n")


def _sentence(error: Exception) -> str:
    said = str(error)
    return f"{said[:1].upper()}{said[1:]}."


def _editor(
    request: HttpRequest,
    text: str,
    current: StoredEdition | None,
    *,
    found: Checked | None,
    error: str = "",
    theirs: str = "",
) -> HttpResponse:
    context: dict[str, Any] = {
        "stored": current,
        "text": text,
        "found": found,
        "error": error,
        "theirs": theirs,
    }
    status = 409 if theirs else 422 if error else 200
    return render(request, "rulebooks/editor.html", context, status=status)


def _conflict(request: HttpRequest, text: str, error: StaleError) -> HttpResponse:
    """Show both texts; saving again puts one's own in the place of the other deliberately."""
    theirs = error.current
    if not isinstance(theirs, StoredEdition):
        raise error
    said = _("Somebody else saved this edition while you were writing. Nothing of yours is saved.")
    return _editor(
        request,
        text,
        theirs,
        found=checked(text, runs_cases=False),
        error=said,
        theirs=theirs.text,
    )


@members_only
@require_POST
def check(request: HttpRequest) -> HttpResponse:
    """Return what is wrong with the text as it is being written."""
    found = checked(_text(request), runs_cases=False)
    return render(request, "rulebooks/_problems.html", {"found": found})


@members_only
@require_http_methods(["GET", "POST"])
def new_from(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Begin an edition with the text of another one."""
    old = stored(authority, edition)
    form = NewEditionForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        name, first = form.cleaned_data["name"], form.cleaned_data["first_day"]
        try:
            added = add_edition(with_name(old.text, name, first=first), actor=member_of(request))
        except StoreError as error:
            form.add_error("name", _sentence(error))
        else:
            messages.success(
                request, _("The new edition is a draft. Nothing rests on it until it is in force.")
            )
            return redirect("desk-rulebook-edit", authority=added.authority, edition=added.edition)
    context = {"form": form, "stored": old}
    return render(request, "rulebooks/new_from.html", context, status=422 if form.errors else 200)
