"""The applicants of a list, as a table to take along; noted in each one's history."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from django.http import HttpResponse
from django.views.decorators.http import require_POST

from comity.core.days.calendar import iso
from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.applicants.asking import asked_in, searched_for
from comity.desk.applicants.finding import cases_for
from comity.desk.applicants.views import titles_today
from comity.files.tables import media_type_of, write_table
from comity.service.tabular import cells_of, headings_for, numbers_of
from comity.store.converters import applicant_of
from comity.store.errors import UnreadableError
from comity.store.tables import note_given

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from uuid import UUID

    from django.db.models import QuerySet
    from django.http import HttpRequest

    from comity.core.facts.model import Applicant
    from comity.files.tables import Format
    from comity.store.models import Case


@members_only
@require_POST
def export_table(request: HttpRequest, form: Format) -> HttpResponse:
    """Give out all applicants of a list, whatever page of it was looked at."""
    account = member_of(request)
    asked = asked_in(request.POST)
    words = searched_for(request.session, asked)
    today = clock.today_at()
    cases = cases_for(asked, words, account=account, titles=titles_today(), day=today)
    several = list(_readable(cases))
    content = table_of([applicant for _pk, applicant in several], form)
    note_given(
        [pk for pk, _applicant in several],
        form=form,
        sha256=hashlib.sha256(content).hexdigest(),
        recipient=account.name,
        actor=account,
    )
    answer = HttpResponse(content, content_type=media_type_of(form))
    answer.headers["Content-Disposition"] = f'attachment; filename="applicants-{iso(today)}.{form}"'
    return answer


def _readable(cases: QuerySet[Case]) -> Iterator[tuple[UUID, Applicant]]:
    """Yield who can be read; what an older version kept is mended on its own page."""
    for case in cases.only("pk", "reference", "document").iterator(chunk_size=500):
        try:
            yield case.pk, applicant_of(case)
        except UnreadableError:
            continue


def table_of(applicants: Sequence[Applicant], form: Format) -> bytes:
    """Return a table with as many numbered columns as the busiest applicant needs."""
    n_entries: dict[str, int] = {}
    for each in applicants:
        for section, n in numbers_of(each).items():
            n_entries[section] = max(n, n_entries.get(section, 0))
    rows = (cells_of(each, n_entries) for each in applicants)
    return write_table(headings_for(n_entries), rows, form)
