"""The list of applicants, and who is new in it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.applicants.asking import SORTS, Asked, asked_in, kept_search, searched_for
from comity.desk.applicants.finding import cases_for, page_of
from comity.desk.applicants.forms import FindForm, NewApplicantForm
from comity.files.dumping import dump_yaml
from comity.service.needs import named_titles
from comity.store.cases import add_case
from comity.store.errors import StoreError, UnreadableError
from comity.store.models import Case
from comity.store.rulebooks import rulebooks_in_force
from comity.store.spans import out_of_date

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from django.http import HttpRequest, HttpResponse

    from comity.desk.applicants.finding import Listed, Page
    from comity.service.needs import NamedTitle


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def applicants(request: HttpRequest) -> HttpResponse:
    """Show a page of the applicants asked for; a search is sent, so that no address holds names."""
    if request.method == "POST":
        return _searched(request)
    asked = asked_in(request.GET)
    titles = titles_today()
    words = searched_for(request.session, asked)
    today = clock.today_at()
    cases = cases_for(asked, words, account=member_of(request), titles=titles, day=today)
    page = page_of(cases, asked, titles=titles, day=today)
    context = {
        "asked": asked,
        "words": words,
        "form": FindForm(initial={**_filled(asked), "words": words}, titles=titles),
        "page": page,
        "rows": _rows(page),
        "previous": asked.turned_to(asked.n_page - 1).query or "page=1" if asked.n_page > 1 else "",
        "following": asked.turned_to(asked.n_page + 1).query if page.has_next else "",
        "columns": list(_columns(asked)),
        "has_rules": bool(titles),
        "is_refreshing": bool(titles) and out_of_date().exists(),
        "has_cases": bool(page.rows) or Case.objects.exists(),
    }
    return render(request, "applicants/applicants.html", context)


def _rows(page: Page) -> list[tuple[Listed, str]]:
    """Return the rows, each with its verdict as laid out once for all that have the same."""
    verdicts = {row.answer.verdict for row in page.rows if row.answer is not None}
    marks = {each: render_to_string("_verdict.html", {"verdict": each}) for each in verdicts}
    return [(row, marks[row.answer.verdict] if row.answer else "") for row in page.rows]


def titles_today() -> Mapping[tuple[str, str], NamedTitle]:
    """Return the titles of the rulebooks in force, with the names people read."""
    return named_titles(rulebooks_in_force(), today=clock.today_at())


def _searched(request: HttpRequest) -> HttpResponse:
    asked = asked_in(request.POST)
    search = kept_search(request.session, request.POST.get("words", ""))
    query = replace(asked, search=search, page="1").query
    return redirect(f"{reverse('desk-applicants')}?{query}" if query else "desk-applicants")


def _filled(asked: Asked) -> dict[str, str]:
    return {name: getattr(asked, name) for name in ("title", "verdict", "next", "care", "state")}


def _columns(asked: Asked) -> Iterator[dict[str, str]]:
    """Yield the headings by which the list can be put in order."""
    labels = {
        "name": _("Name"),
        "reference": _("Reference"),
        "next": _("Next action"),
        "changed": _("Last worked on"),
    }
    for name in SORTS:
        order = {name: "ascending", f"-{name}": "descending"}.get(asked.sort, "")
        if name == "changed" and order:
            order = "descending" if order == "ascending" else "ascending"
        yield {
            "name": name,
            "label": labels[name],
            "order": order,
            "query": asked.sorted_by(name).query,
        }


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def applicant_new(request: HttpRequest) -> HttpResponse:
    """Take somebody in whose name is all that is known."""
    filled = request.POST if request.method == "POST" else None
    form = NewApplicantForm(filled, initial={"reference": _free_reference()})
    if request.method == "POST" and form.is_valid():
        account = member_of(request)
        adviser = account if form.cleaned_data["is_mine"] else None
        try:
            case = add_case(dump_yaml(form.applicant()), actor=account, adviser=adviser)
        except UnreadableError as error:
            form.add_error(None, error.problems[0].message)
        except StoreError as error:
            form.add_error("reference", str(error))
        else:
            return redirect("desk-case", case_id=case.pk)
    status = 422 if form.errors else 200
    return render(request, "applicants/new.html", {"form": form}, status=status)


def _free_reference() -> str:
    """Return a reference nobody has: one above the newest that was made this way."""
    newest = Case.objects.filter(reference__regex=r"^a-[0-9]{4,6}$").order_by("-reference")
    last = newest.values_list("reference", flat=True).first()
    match = re.search(r"[0-9]+", last or "")
    return f"a-{int(match.group()) + 1 if match else 1:04}"
