"""Applicants found by filters that the database answers; nobody's file is read for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.db.models import F, Q

from comity.core.days.calendar import date_from_day, day_from_date
from comity.core.eligibility.assessment import Verdict
from comity.desk import clock
from comity.desk.api.plain import page_of, person
from comity.desk.api.refusals import Kind, Refusal, problem
from comity.store.models import Case
from comity.store.rulebooks import digest_in_force, rulebooks_in_force
from comity.store.spans import cases_where, verdicts_on

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day
    from comity.desk.api.asked import Filters

_ORDERS: Final = {
    "name": ("name", "reference"),
    "changed": ("-changed_at", "pk"),
    "next": (F("next_day").asc(nulls_last=True), "name", "pk"),
}


def found_page(filters: Filters, text: str = "") -> dict[str, Any]:
    """Return a page of the applicants that filters and words leave."""
    day = clock.today_at() if filters.on is None else day_from_date(filters.on)
    cases = _matching(_left(filters, day), text).select_related("adviser")
    rows, numbers = page_of(cases.order_by(*_ORDERS[filters.order]), filters)
    return {**numbers, "on": date_from_day(day), "items": _items(rows, day)}


def _left(filters: Filters, day: Day) -> QuerySet[Case]:
    if filters.verdict is None:
        cases = Case.objects.all()
    else:
        authority, title = _named(filters)
        cases = cases_where(authority, title, filters.verdict, day)
    if filters.state != "all":
        cases = cases.filter(closed_at__isnull=filters.state == "open")
    if filters.adviser is not None:
        cases = cases.filter(adviser=filters.adviser)
    if filters.next_by is not None:
        cases = cases.filter(next_day__lte=filters.next_by)
    return cases


def _named(filters: Filters) -> tuple[str, str]:
    """Return the title that a verdict is asked about."""
    missing = [name for name in ("authority", "title") if getattr(filters, name) is None]
    if missing:
        mended = tuple(
            problem("A103", f"a verdict is asked of a title; {name} is missing", at=name)
            for name in missing
        )
        raise Refusal(Kind.NOT_VALID, "name the authority and the title beside the verdict", mended)
    authority, title = str(filters.authority), str(filters.title)
    if (authority, title) not in titles_in_force():
        raise unknown_title("/".join((authority, title)))
    return authority, title


def titles_in_force() -> tuple[tuple[str, str], ...]:
    """Return the ids of authorities and titles that there are answers on."""
    return tuple(
        (rulebook.authority.id, title)
        for rulebook in rulebooks_in_force()
        for title in rulebook.titles()
    )


def unknown_title(got: str) -> Refusal:
    """Return the refusal of a title that no rulebook in force has."""
    known = ", ".join("/".join(each) for each in titles_in_force())
    mended = problem(
        "E102", "no rulebook in force has this title", at="title", got=got, expected=known
    )
    return Refusal(Kind.NOT_VALID, "no rulebook in force has this title", (mended,))


def _matching(cases: QuerySet[Case], text: str) -> QuerySet[Case]:
    for word in text.split()[:10]:
        cases = cases.filter(Q(name__icontains=word) | Q(reference__icontains=word))
    return cases


def _items(cases: Sequence[Case], day: Day) -> list[dict[str, Any]]:
    kept = verdicts_on(day, [case.pk for case in cases])
    digest, titles = digest_in_force(), titles_in_force()
    return [
        {
            "id": case.pk,
            "reference": case.reference,
            "name": case.name,
            "version": case.version,
            "adviser": person(case.adviser),
            "has_account": case.account_id is not None,
            "next_day": case.next_day,
            "changed_at": case.changed_at,
            "closed_at": case.closed_at,
            "is_up_to_date": case.spans_of == digest,
            "verdicts": _quick(kept.get(case.pk, {}), titles),
        }
        for case in cases
    ]


def _quick(
    kept: Mapping[tuple[str, str], Verdict], titles: Sequence[tuple[str, str]]
) -> list[dict[str, str]]:
    return [
        {
            "authority": authority,
            "title": title,
            "verdict": kept.get((authority, title), Verdict.NOT_MET).value,
        }
        for authority, title in titles
    ]
