"""Marks of the cases, kept in step with their documents by the save that changes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.db.models.signals import post_save

from comity.service.needs import marks_of
from comity.store.converters import file_of, loaded
from comity.store.models import Case, Mark

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from comity.core.facts.model import Applicant

_LONGEST: Final = 300


def keep(case: Case) -> None:
    """Put a document's marks in the place of the old ones; of one that cannot be read, none."""
    applicant = loaded(case.document, file_of(case)).applicant
    case.marks.all().delete()
    Mark.objects.bulk_create(() if applicant is None else rows_of(case, applicant))


def rows_of(case: Case, applicant: Applicant) -> Iterator[Mark]:
    """Yield the rows that tell lists of a case what its document says."""
    for each in marks_of(applicant):
        yield Mark(
            case=case,
            sort=each.sort,
            what=each.what[:_LONGEST],
            day=each.day,
            place=each.place[:_LONGEST],
            holder=each.holder,
        )


def connect() -> None:
    """Keep marks in step from now on, inside the transaction of each save."""
    post_save.connect(_saved, sender=Case, dispatch_uid="comity.store.marks")


def _saved(
    sender: type[Case],
    instance: Case,
    *,
    update_fields: Collection[str] | None = None,
    **_more: Any,  # noqa: ANN401 - what Django sends along
) -> None:
    del sender
    # A save of other columns leaves the document alone; a restored case is saved whole.
    if update_fields is None or "document" in update_fields:
        keep(instance)
