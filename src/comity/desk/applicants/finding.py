"""Cases found by what is asked for: by index and by stored days, never by reading a file."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from django.db.models import F, Q
from django.db.models.functions import Lower

from comity.core.days.calendar import date_from_day
from comity.core.eligibility.assessment import Verdict
from comity.store.any_title import cases_where_any
from comity.store.models import Account, Action, Case
from comity.store.spans import cases_where, verdicts_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date
    from uuid import UUID

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day
    from comity.desk.applicants.asking import Asked
    from comity.service.needs import NamedTitle

    Titles = Mapping[tuple[str, str], NamedTitle]

A_PAGE: Final = 25
COUNTED: Final = 1000
"""Counting further would take longer than anybody wants to know."""
SHOWN_FIRST: Final = (Verdict.MET, Verdict.REFER, Verdict.UNKNOWN, Verdict.NOT_MET)
_SOON: Final = {"two weeks": 14, "month": 31}
_COLUMNS: Final = (
    "pk", "reference", "name", "next_day", "changed_at", "closed_at", "adviser__name",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Answer:
    """What can be said of a case today, over the titles looked at: the best, and where."""

    verdict: Verdict
    title: str
    n_others: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A row of the list."""

    case: Case
    answer: Answer | None
    action: Action | None
    is_overdue: bool


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the list; `n` counts all that was found, up to a bound."""

    rows: tuple[Listed, ...]
    n: int
    is_more: bool
    has_next: bool


def looked_at(asked: Asked, titles: Titles) -> tuple[tuple[str, str], ...]:
    """Return the titles whose answers are asked for."""
    authority, _slash, title = asked.title.partition("/")
    return tuple(key for key in titles if authority in {"", key[0]} and title in {"", key[1]})


def cases_for(
    asked: Asked, words: str, *, account: Account, titles: Titles, day: Day
) -> QuerySet[Case]:
    """Return the cases asked for, in order."""
    cases = Case.objects.all()
    if asked.verdict:
        cases = _with_verdict(asked.verdict, looked_at(asked, titles), day=day)
    if asked.state != "all":
        cases = cases.filter(closed_at__isnull=asked.state == "open")
    cases = _in_care(cases, asked.care, account)
    cases = _next_due(cases, asked.next, date_from_day(day))
    for word in words.split():
        cases = cases.filter(_holds(word))
    return _ordered(cases, asked.sort)


def _with_verdict(verdict: str, keys: Sequence[tuple[str, str]], *, day: Day) -> QuerySet[Case]:
    """Return the cases with a verdict on one of the titles."""
    if len(keys) == 1:
        return cases_where(*keys[0], verdict, day)
    return cases_where_any(keys, verdict, day)


def _in_care(cases: QuerySet[Case], care: str, account: Account) -> QuerySet[Case]:
    if care == "mine":
        return cases.filter(adviser=account)
    if care == "nobody":
        return cases.filter(adviser=None)
    if care.isascii() and care.isdigit():
        return cases.filter(adviser_id=int(care))
    return cases


def _next_due(cases: QuerySet[Case], asked: str, today: date) -> QuerySet[Case]:
    if asked == "none":
        return cases.filter(next_day=None)
    if asked == "overdue":
        return cases.filter(next_day__lt=today)
    if asked in _SOON:
        until = today + timedelta(days=_SOON[asked])
        return cases.filter(next_day__gte=today, next_day__lte=until)
    return cases


def _holds(word: str) -> Q:
    """Return what finds a word in a name or reference, large or small.

    SQLite tells letters beyond ASCII apart by their size, so these are tried both ways.
    """
    found = Q(reference__icontains=word)
    for each in {word, word.lower(), word.upper(), word.capitalize()}:
        found |= Q(name__icontains=each)
        if word.isascii():
            break
    return found


def _ordered(cases: QuerySet[Case], sort: str) -> QuerySet[Case]:
    column = sort.removeprefix("-")
    is_backwards = sort != column
    if column == "name":
        key = Lower("name").desc() if is_backwards else Lower("name").asc()
    elif column == "next":
        day = F("next_day")
        key = day.desc(nulls_last=True) if is_backwards else day.asc(nulls_last=True)
    else:
        by = F("changed_at" if column == "changed" else column)
        key = by.desc() if is_backwards != (column == "changed") else by.asc()
    return cases.order_by(key, "pk")


def page_of(cases: QuerySet[Case], asked: Asked, *, titles: Titles, day: Day) -> Page:
    """Return one page of cases with their answers and next actions, in a handful of queries."""
    first = (asked.n_page - 1) * A_PAGE
    rows = list(cases.select_related("adviser").only(*_COLUMNS)[first : first + A_PAGE + 1])
    shown = rows[:A_PAGE]
    ids = [case.pk for case in shown]
    answers = _answers(ids, looked_at(asked, titles), titles, day=day)
    actions = _next_actions(ids)
    is_whole = first == 0 and len(rows) <= A_PAGE
    n = len(rows) if is_whole else cases.order_by().values("pk")[: COUNTED + 1].count()
    today = date_from_day(day)
    return Page(
        tuple(
            Listed(
                case,
                answers.get(case.pk),
                actions.get(case.pk),
                is_overdue=case.next_day is not None and case.next_day < today,
            )
            for case in shown
        ),
        min(n, COUNTED),
        is_more=n > COUNTED,
        has_next=len(rows) > A_PAGE,
    )


def _answers(
    ids: Sequence[UUID],
    keys: Sequence[tuple[str, str]],
    titles: Titles,
    *,
    day: Day,
) -> Mapping[UUID, Answer]:
    if not keys:
        return {}
    verdicts = verdicts_on(day, ids)
    return {pk: _best(verdicts.get(pk, {}), keys, titles) for pk in ids}


def _best(
    verdicts: Mapping[tuple[str, str], Verdict], keys: Iterable[tuple[str, str]], titles: Titles
) -> Answer:
    by_verdict: dict[Verdict, list[str]] = defaultdict(list)
    for key in keys:
        by_verdict[verdicts.get(key, Verdict.NOT_MET)].append(titles[key].name)
    verdict = next(each for each in SHOWN_FIRST if each in by_verdict)
    names = by_verdict[verdict]
    return Answer(verdict, names[0], len(names) - 1)


def _next_actions(ids: Sequence[UUID]) -> Mapping[UUID, Action]:
    """Return what is due next in each case."""
    found: dict[UUID, Action] = {}
    rows = Action.objects.filter(case__in=ids, done_at=None).exclude(due=None)
    for action in rows.order_by("due", "pk"):
        found.setdefault(action.case_id, action)
    return found
