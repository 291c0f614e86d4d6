"""The cases' runs of days kept as rows, so that lists and filters answer for any day at once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.db.models import Q

from comity.core.eligibility.assessment import Verdict
from comity.service.spans import spans_of
from comity.store.converters import applicant_of
from comity.store.errors import UnreadableError
from comity.store.models import Case, PlannedDay, Span
from comity.store.planned import keep_licences, rows_after
from comity.store.rulebooks import digest_in_force, in_force_key, rulebooks_of
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from uuid import UUID

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.service.spans import TitleSpans
    from comity.store.rulebooks import Key

_AT_ONCE: Final = 500
Sort = Span.Sort
Title = tuple[str, str]
"""Ids of an authority and of one of its titles."""


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """The spans of one applicant, and the digest of the editions they rest on."""

    spans: tuple[TitleSpans, ...]
    rests_on: str


def work_out(applicant: Applicant) -> WorkedOut:
    """Return an applicant's spans under what is in force; nothing is kept."""
    key = in_force_key()
    return WorkedOut(spans_of([applicant], rulebooks_of(key))[0], digest_in_force(key))


def keep(case: Case, found: WorkedOut) -> None:
    """Put spans in the place of a case's old ones; inside the transaction of what made them."""
    case.spans_of = found.rests_on
    case.spans.all().delete()
    Span.objects.bulk_create(_rows(case.pk, found.spans))


def refresh(case: Case) -> Case:
    """Work a case's spans out anew; nothing happens if its document has moved on meanwhile."""
    found = work_out(applicant_of(case))
    with writing():
        current = Case.objects.select_for_update().get(pk=case.pk)
        if current.version == case.version:
            keep(current, found)
            keep_licences(current)
            Case.objects.filter(pk=current.pk).update(spans_of=found.rests_on)
    return current


def out_of_date() -> QuerySet[Case]:
    """Return the cases whose spans rest on other editions than are in force now."""
    return Case.objects.exclude(spans_of=digest_in_force())


def refresh_all(progress: Callable[[int, int], None] | None = None) -> int:
    """Work out the spans of every case that is out of date; return how many.

    It may be stopped and called again at any time, and beside other work: a case that was changed
    meanwhile has spans of its own already.

    Parameters
    ----------
    progress : callable, optional
        Told how many are done, and of how many.
    """
    key = in_force_key()
    rests_on = digest_in_force(key)
    ids = list(out_of_date().order_by("pk").values_list("pk", flat=True))
    for first in range(0, len(ids), _AT_ONCE):
        _refresh_some(ids[first : first + _AT_ONCE], key, rests_on=rests_on)
        if progress is not None:
            progress(min(first + _AT_ONCE, len(ids)), len(ids))
    return len(ids)


def _refresh_some(ids: Sequence[UUID], key: Key, *, rests_on: str) -> None:
    cases, applicants = [], []
    for case in Case.objects.filter(pk__in=ids):
        # What an older version kept and this one cannot read is shown on its own page.
        try:
            applicants.append(applicant_of(case))
        except UnreadableError:
            continue
        cases.append(case)
    rulebooks = rulebooks_of(key)
    found = spans_of(applicants, rulebooks)
    days_after = [
        list(rows_after(*each, rulebooks)) for each in zip(cases, applicants, strict=True)
    ]
    with writing():
        current = dict(Case.objects.filter(pk__in=ids).values_list("pk", "version"))
        kept = [
            (case, spans)
            for case, spans in zip(cases, found, strict=True)
            if current.get(case.pk) == case.version
        ]
        done = {case.pk for case, _spans in kept}
        Span.objects.filter(case__in=done).delete()
        Span.objects.bulk_create(
            (row for case, spans in kept for row in _rows(case.pk, spans)), batch_size=2000
        )
        PlannedDay.objects.filter(case__in=done, is_after_licence=True).delete()
        PlannedDay.objects.bulk_create(
            row for days in days_after for row in days if row.case_id in done
        )
        Case.objects.filter(pk__in=done).update(spans_of=rests_on)


def _rows(case_id: UUID, spans: Iterable[TitleSpans]) -> Iterator[Span]:
    for each in spans:
        for sort in Sort:
            for start, until in getattr(each, sort.value):
                yield Span(
                    case_id=case_id,
                    authority=each.authority,
                    title=each.title,
                    sort=sort,
                    start=start,
                    until=until,
                )


# ---------------------------------------------------------------------------------- questions


def cases_where(  # noqa: PLR0917 - a sentence: authority, title, verdict, day
    authority: str, title: str, verdict: str, day: Day
) -> QuerySet[Case]:
    """Return the cases with a verdict on submitting for a title on a day.

    Parameters
    ----------
    authority, title : str
        Ids.
    verdict : str
        ``met``, ``unknown``, ``refer`` or ``not met``.
    day : Day
        Of submission.
    """
    held = Span.objects.filter(
        authority=authority, title=title, start__lte=day, until__gt=day
    ).values("case")
    # A set made once by its index: asked case by case, SQLite would go through all spans each time.
    certain, possible, referred = (Q(pk__in=held.filter(sort=sort)) for sort in Sort)
    cases = Case.objects.all()
    match Verdict(verdict):
        case Verdict.MET:
            return cases.filter(certain)
        case Verdict.REFER:
            return cases.filter(referred)
        case Verdict.UNKNOWN:
            return cases.filter(possible & ~certain)
        case Verdict.NOT_MET:
            return cases.exclude(pk__in=held)
    return cases.none()


def verdicts_on(day: Day, cases: Iterable[UUID]) -> Mapping[UUID, Mapping[Title, Verdict]]:
    """Return the verdicts of some cases on a day; a title not named is *not met*."""
    rows = Span.objects.filter(case__in=list(cases), start__lte=day, until__gt=day)
    found: dict[UUID, dict[Title, Verdict]] = defaultdict(dict)
    for row in rows.order_by("sort").values_list("case_id", "authority", "title", "sort"):
        case_id, authority, title, sort = row
        verdict = _SAYS[Sort(sort)]
        found[case_id].setdefault((authority, title), verdict)
    return found


_SAYS: Final = {
    Sort.CERTAIN: Verdict.MET,
    Sort.REFERRED: Verdict.REFER,
    Sort.POSSIBLE: Verdict.UNKNOWN,
}
"""What a day in a set says; "certain" stands before "possible" in the alphabet, too."""
