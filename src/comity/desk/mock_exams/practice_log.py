"""Everybody's answers as a log of practice, and what they say of people and items."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from django.db.models import Count, Max, Sum

from comity.core.days.calendar import day_from_date
from comity.core.exam.practice import DatedAnswer
from comity.desk import clock
from comity.desk.mock_exams.shown import sat
from comity.store.models import GivenAnswer, Sitting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.exam.items import Item
    from comity.core.exam.practice_fit import PracticeFit

Key = tuple[int | None, ...]


def practice_log() -> tuple[tuple[DatedAnswer, ...], tuple[Item, ...]]:
    """Return everybody's answers, and the items they are to or may be.

    Of a mock examination everything counts once it has ended, open questions as wrong; of practice
    what was answered.
    """
    items: dict[str, Item] = {}
    answers = tuple(_answers(items))
    return answers, tuple(items.values())


def _answers(items: dict[str, Item]) -> Iterator[DatedAnswer]:
    now = clock.instant()
    rows = Sitting.objects.exclude(began_at=None).select_related("form", "case")
    for row in rows.prefetch_related("answers").order_by("given_at", "pk"):
        shown = sat(row)
        items.update({each.id: each for each in shown.bank.items if each.id not in items})
        if not shown.is_practice and not shown.timing.is_over(now):
            continue
        day = day_from_date(row.given_at.date())
        for each in shown.result().outcomes:
            yield DatedAnswer(str(row.case_id), each.item.id, day, float(each.is_right))


def practice_key() -> Key:
    """Return what changes when anybody answers or a sitting begins or ends."""
    over = Sitting.objects.aggregate(n=Count("settled_at"), begun=Count("began_at"))
    kept = GivenAnswer.objects.aggregate(n=Count("pk"), last=Max("pk"), versions=Sum("version"))
    return (*over.values(), *kept.values())


def fit_now() -> PracticeFit:
    """Return what everybody's answers say, worked out once for the same answers."""
    return _fit(practice_key(), clock.today_at())


@lru_cache(maxsize=4)
def _fit(key: Key, today: Day) -> PracticeFit:
    from comity.service.mock_readiness import fit_of  # noqa: PLC0415 - it loads scipy.stats, which the desk starts without

    del key  # by which another state of the answers is told
    answers, items = practice_log()
    return fit_of(answers, items, today=today)
