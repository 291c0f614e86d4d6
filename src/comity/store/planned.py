"""Days of plans and of licences kept as rows, so that calendars and lists need not plan anew.

What comes after a licence is kept in step with the document and with what is in force. The days of
plans are kept whenever plans are worked out, and hold for one day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.db.models.signals import post_save

from comity.core.days.calendar import FOREVER
from comity.service.licences import days_after, licences_of
from comity.service.plan_days import days_of
from comity.store.converters import file_of, loaded
from comity.store.models import Case, PlannedDay
from comity.store.rulebooks import rulebooks_in_force
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook
    from comity.service.plan_days import DayOf
    from comity.service.planning import Plan

_LONGEST_KEY: Final = 200
_LONGEST: Final = 300


def rests_on(digest: str, today: Day) -> str:
    """Return what the days of plans rest on beside the document: the editions, and the day."""
    return f"{today}:{digest}"[:64]


def keep_plans(case: Case, plans: Sequence[Plan], *, basis: str, today: Day) -> None:
    """Put the days of a case's plans in the place of the old ones.

    Nothing happens if the document has moved on meanwhile, or if they are kept already.

    Parameters
    ----------
    case : Case
        As it was when it was planned for.
    plans : sequence of Plan
        For the titles that somebody follows.
    basis : str
        What they rest on, of `rests_on`.
    today : Day
        The day of the plans.
    """
    days = [day for each in plans for day in days_of(each)]
    with writing():
        current = Case.objects.select_for_update().filter(pk=case.pk).first()
        if current is None or current.version != case.version or current.planned_of == basis:
            return
        case.planned_days.filter(is_after_licence=False).delete()
        PlannedDay.objects.bulk_create(_rows(case, days, as_of=today))
        # Not a change of the case: nobody has touched it.
        Case.objects.filter(pk=case.pk).update(planned_of=basis)


def keep_licences(case: Case) -> None:
    """Put the days that come after a case's licences in the place of the old ones."""
    applicant = loaded(case.document, file_of(case)).applicant
    case.planned_days.filter(is_after_licence=True).delete()
    if applicant is not None:
        PlannedDay.objects.bulk_create(rows_after(case, applicant, rulebooks_in_force()))


def rows_after(
    case: Case, applicant: Applicant, rulebooks: Sequence[Rulebook]
) -> Iterator[PlannedDay]:
    """Yield the rows with the days that come after the licences a document tells of.

    They are looked at from the day after the last thing that has happened, so that they need no
    clock: whoever reads them picks the days that matter on theirs.
    """
    as_of = _after_everything(applicant)
    held = () if as_of is None else licences_of(applicant, rulebooks, today=as_of)
    days = [day for each in held for day in days_after(each)]
    yield from _rows(case, days, as_of=as_of or 0, is_after_licence=True)


def _after_everything(applicant: Applicant) -> Day | None:
    """Return the day after the last that a document tells of; None where no licence can be held."""
    begun = [each.on.latest for each in applicant.progress]
    begun += [each.start.latest for each in applicant.facts.registrations or () if each.start]
    if not begun:
        return None
    ends = [each.end.latest for each in applicant.facts.practice or () if each.end]
    return max(day for day in (*begun, *ends) if day < FOREVER) + 1


def _rows(
    case: Case, days: Iterable[DayOf], *, as_of: Day, is_after_licence: bool = False
) -> Iterator[PlannedDay]:
    for each in days:
        yield PlannedDay(
            case=case,
            authority=each.authority,
            title=each.title,
            key=each.key[:_LONGEST_KEY],
            day=each.day,
            label=each.label[:_LONGEST],
            as_of=as_of,
            is_after_licence=is_after_licence,
        )


def connect() -> None:
    """Keep rows in step from now on, inside the transaction of each save of a document."""
    post_save.connect(_saved, sender=Case, dispatch_uid="comity.store.planned")


def _saved(
    sender: type[Case],
    instance: Case,
    *,
    update_fields: Collection[str] | None = None,
    **_more: Any,  # noqa: ANN401 - what Django sends along
) -> None:
    del sender
    if update_fields is None or "document" in update_fields:
        Case.objects.filter(pk=instance.pk).update(planned_of="")
        keep_licences(instance)
