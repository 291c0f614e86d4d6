"""What is lost after a licence unless somebody acts, found among the days kept for cases."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.service.needs import AHEAD_DAYS, BEHIND_DAYS, Need, Whose
from comity.store.models import PlannedDay

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day
    from comity.service.needs import NamedTitle

_COLUMNS: Final = (
    "case_id",
    "case__name",
    "case__reference",
    "case__account_id",
    "case__adviser__name",
    "authority",
    "title",
    "key",
    "day",
)


def days_near(today: Day) -> QuerySet[PlannedDay]:
    """Return the days after licences that come within a quarter, or have just gone."""
    return PlannedDay.objects.filter(
        is_after_licence=True, day__gte=today - BEHIND_DAYS, day__lte=today + AHEAD_DAYS
    ).order_by("day")


def needs_of(
    rows: QuerySet[PlannedDay], titles: Mapping[tuple[str, str], NamedTitle], *, at_most: int
) -> Iterator[Need]:
    """Yield an entry for each day of a title whose rules are in force."""
    for row in rows.values_list(*_COLUMNS)[:at_most]:
        case, name, reference, account, adviser, authority, title, key, day = row
        named = titles.get((authority, title))
        if named is not None:
            yield Need(
                "after licence",
                "adviser" if account is None else "applicant",
                day,
                Whose(str(case), name or reference, account is not None, adviser or ""),
                named.name,
                detail=key.rpartition("/")[2],
                place=f"plan/{authority}/{title}",
            )
