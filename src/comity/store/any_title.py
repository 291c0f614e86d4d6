"""Cases found by an answer on any of several titles."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Any

from django.db.models import Exists, OuterRef, Q, Value
from django.db.models.functions import Concat

from comity.core.eligibility.assessment import Verdict
from comity.store.models import Case, Span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day

_Sort = Span.Sort


def cases_where_any(titles: Sequence[tuple[str, str]], verdict: str, day: Day) -> QuerySet[Case]:
    """Return the cases with a verdict on submitting on a day for one of the titles at least.

    Each case is asked by itself, so that a list which shows the first few ends early.

    Parameters
    ----------
    titles : sequence of (authority, title)
        Ids; none finds no case.
    verdict : str
        ``met``, ``unknown``, ``refer`` or ``not met``.
    day : Day
        Of submission.
    """
    if not titles:
        return Case.objects.none()
    held = _held(day).filter(case=OuterRef("pk"))
    asked = held.filter(_one_of(titles))
    match Verdict(verdict):
        case Verdict.MET:
            return Case.objects.filter(Exists(asked.filter(sort=_Sort.CERTAIN)))
        case Verdict.REFER:
            return Case.objects.filter(Exists(asked.filter(sort=_Sort.REFERRED)))
        case Verdict.UNKNOWN:
            certain = _held(day).filter(
                case=OuterRef("case"),
                sort=_Sort.CERTAIN,
                whole=Concat(OuterRef("authority"), Value("/"), OuterRef("title")),
            )
            possible = asked.filter(sort=_Sort.POSSIBLE)
            return Case.objects.filter(Exists(possible.filter(~Exists(certain))))
        case Verdict.NOT_MET:
            lacking = [Q(~Exists(held.filter(_one_of([title])))) for title in titles]
            return Case.objects.filter(reduce(or_, lacking))
    return Case.objects.none()


def _held(day: Day) -> QuerySet[Any]:
    """Return the runs that hold the day, with the title as one word that no index knows.

    So the database looks up the case, of which there are a dozen runs, and not the title, of which
    there are as many as cases.
    """
    rows = Span.objects.filter(start__lte=day, until__gt=day)
    return rows.alias(whole=Concat("authority", Value("/"), "title"))


def _one_of(titles: Sequence[tuple[str, str]]) -> Q:
    return Q(whole__in=["/".join(title) for title in titles])
