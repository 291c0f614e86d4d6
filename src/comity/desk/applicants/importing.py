"""A table of applicants brought in: read, looked at, and only then kept."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.applicants.forms import ImportForm
from comity.files.tables import MOST_BYTES, media_type_of, read_table, write_table
from comity.files.workbooks import TableError, TableProblem
from comity.service.table_columns import GROUPS
from comity.service.tabular import (
    changed_text,
    conflicts,
    differences,
    headings_for,
    new_applicant,
    read_rows,
)
from comity.store.converters import applicant_of
from comity.store.errors import StoreError, UnreadableError
from comity.store.models import Case, UploadedTable
from comity.store.tables import Change, take_in

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from uuid import UUID

    from django.core.files.uploadedfile import UploadedFile
    from django.http import HttpRequest

    from comity.service.tabular import Difference, RowRead

KEPT_HOURS: Final = 24
PROBLEMS_SHOWN: Final = 200
NEW_SHOWN: Final = 50
CHANGED_SHOWN: Final = 100


@dataclass(frozen=True, slots=True)
class Known:
    """A row of somebody who is there already, and what it would change."""

    row: RowRead
    case: Case
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """What a table would do."""

    new: tuple[RowRead, ...]
    changed: tuple[Known, ...]
    n_same: int
    problems: tuple[TableProblem, ...]

    @property
    def basis(self) -> str:
        """A mark of what the preview rests on; another one means that something has changed."""
        said = [
            *(each.reference for each in self.new),
            *(f"{each.case.pk} {each.case.version}" for each in self.changed),
        ]
        return hashlib.sha256("\n".join(said).encode("utf-8")).hexdigest()[:16]


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def import_table(request: HttpRequest) -> HttpResponse:
    """Take a table; one with faults is not even put aside."""
    forget_old_tables()
    form = ImportForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        upload: UploadedFile[bytes] = form.cleaned_data["table"]
        data, found = _looked_at(upload)
        if not found.problems:
            table = UploadedTable.objects.create(
                name=(upload.name or "")[:255], content=data, uploaded_by=member_of(request)
            )
            return redirect("desk-applicants-import-preview", table_id=table.pk)
        return _asked(request, form, problems=found.problems)
    return _asked(request, form)


def _looked_at(upload: UploadedFile[bytes]) -> tuple[bytes, Preview]:
    # No more is read than one byte above the most; the reader says that it is too much.
    data = upload.read(MOST_BYTES + 1)
    return data, preview_of(data)


def _asked(
    request: HttpRequest, form: ImportForm, problems: Sequence[TableProblem] = ()
) -> HttpResponse:
    context = {
        "form": form,
        "problems": problems[:PROBLEMS_SHOWN],
        "n_problems": len(problems),
        "n_more": max(0, len(problems) - PROBLEMS_SHOWN),
        "groups": GROUPS,
    }
    status = 422 if problems or form.errors else 200
    return render(request, "applicants/import.html", context, status=status)


@members_only
@require_safe
def import_columns(request: HttpRequest) -> HttpResponse:
    """Give an empty table with all headings."""
    del request
    content = write_table(headings_for({"practice": 3, "registrations": 2}), (), "xlsx")
    answer = HttpResponse(content, content_type=media_type_of("xlsx"))
    answer.headers["Content-Disposition"] = 'attachment; filename="applicants.xlsx"'
    return answer


def forget_old_tables() -> None:
    """Let go of what nobody confirmed within a day."""
    before = clock.instant() - timedelta(hours=KEPT_HOURS)
    UploadedTable.objects.filter(created_at__lt=before).delete()


# ---------------------------------------------------------------------------------- the preview


def preview_of(data: bytes) -> Preview:
    """Return what a table would do; nothing is kept."""
    try:
        read = read_rows(read_table(data))
    except TableError as error:
        return Preview((), (), 0, (error.problem,))
    there = _cases_of(read.rows)
    new, changed, n_same = [], [], 0
    problems = list(read.problems)
    for row in read.rows:
        case = there.get(row.reference)
        if case is None:
            new.append(row)
            continue
        known = _known(row, case, problems)
        if known is not None and known.differences:
            changed.append(known)
        elif known is not None:
            n_same += 1
    return Preview(tuple(new), tuple(changed), n_same, tuple(problems))


def _cases_of(rows: Sequence[RowRead]) -> Mapping[str, Case]:
    references = [row.reference for row in rows]
    return {case.reference: case for case in Case.objects.filter(reference__in=references)}


def _known(row: RowRead, case: Case, problems: list[TableProblem]) -> Known | None:
    try:
        applicant = applicant_of(case)
    except UnreadableError:
        hint = _("open the case: its page says what is wrong")
        problems.append(
            _problem(row, _("the office's file of this applicant cannot be read"), hint)
        )
        return None
    different = differences(row, applicant)
    if different and case.closed_at is not None:
        hint = _("open the case again first, or leave the row out")
        problems.append(_problem(row, _("the case of this applicant is closed"), hint))
        return None
    against = list(conflicts(row, applicant))
    problems.extend(against)
    return None if against else Known(row, case, different)


def _problem(row: RowRead, message: str, hint: str) -> TableProblem:
    return TableProblem(message, row=row.number, column="reference", got=row.reference, hint=hint)


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def import_preview(request: HttpRequest, table_id: UUID) -> HttpResponse:
    """Show what an uploaded table would do; do it, or forget it."""
    forget_old_tables()
    table = UploadedTable.objects.filter(pk=table_id, uploaded_by=member_of(request)).first()
    if table is None:
        raise Http404
    if request.method == "POST" and "leave" in request.POST:
        table.delete()
        messages.success(request, _("The table is forgotten; nothing was kept of it."))
        return redirect("desk-applicants-import")
    found = preview_of(bytes(table.content))
    if request.method == "POST":
        return _confirmed(request, table, found)
    return _shown(request, table, found)


def _shown(
    request: HttpRequest, table: UploadedTable, found: Preview, *, status: int = 200
) -> HttpResponse:
    context = {
        "table": table,
        "found": found,
        "new": found.new[:NEW_SHOWN],
        "n_new": len(found.new),
        "n_more_new": max(0, len(found.new) - NEW_SHOWN),
        "changed": found.changed[:CHANGED_SHOWN],
        "n_changed": len(found.changed),
        "n_more_changed": max(0, len(found.changed) - CHANGED_SHOWN),
        "problems": found.problems[:PROBLEMS_SHOWN],
        "n_problems": len(found.problems),
        "is_idle": not found.new and not found.changed,
    }
    return render(request, "applicants/preview.html", context, status=status)


def _confirmed(request: HttpRequest, table: UploadedTable, found: Preview) -> HttpResponse:
    if found.problems or request.POST.get("basis") != found.basis:
        messages.warning(
            request,
            _("Cases have changed since you looked. Nothing was kept; please look once more."),
        )
        return _shown(request, table, found, status=409)
    account = member_of(request)
    try:
        n = take_in(
            [new_applicant(row) for row in found.new],
            [_change(known) for known in _ticked(request, found)],
            source=table.name,
            actor=account,
            adviser=account if "is_mine" in request.POST else None,
        )
    except (StoreError, ValueError) as error:
        messages.warning(request, str(error))
        return _shown(request, table, preview_of(bytes(table.content)), status=409)
    table.delete()
    said = ngettext("%(n)s applicant is kept.", "%(n)s applicants are kept.", n) % {"n": n}
    messages.success(request, said)
    return redirect("desk-applicants")


def _ticked(request: HttpRequest, found: Preview) -> list[Known]:
    if "all" in request.POST:
        return list(found.changed)
    ticked = set(request.POST.getlist("change"))
    return [known for known in found.changed if str(known.case.pk) in ticked]


def _change(known: Known) -> Change:
    text = changed_text(known.case.document, known.row, applicant_of(known.case))
    return Change(
        known.case,
        text,
        before=tuple((each.heading, each.before) for each in known.differences),
        after=tuple((each.heading, each.after) for each in known.differences),
    )
