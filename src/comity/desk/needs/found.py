"""What needs a person, found by day and index: no case is read or assessed for it.

Only what was given out is compared with what would be said now, and each comparison is kept until
the case or the rules change again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from time import monotonic
from typing import TYPE_CHECKING, Any, Final

from django.db.models import Exists, F, Max, OuterRef, Q

from comity.core.days.calendar import date_from_day, day_from_date
from comity.desk import clock
from comity.desk.needs.licences import days_near, needs_of
from comity.service.needs import (
    AHEAD_DAYS,
    BEHIND_DAYS,
    MONTH_DAYS,
    NamedTitle,
    Need,
    Whose,
    answer_open,
    named_titles,
    one_a_day,
    stale_editions,
    window_closing,
)
from comity.store.errors import UnreadableError
from comity.store.given import no_longer_holds
from comity.store.models import Action, Case, Given, Mark, Span, StoredEdition
from comity.store.rulebooks import digest_in_force, rulebooks_in_force

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from uuid import UUID

    from django.db.models import QuerySet

    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Rulebook
    from comity.store.models import Account

LAPSE_DAYS: Final = 62
"""Most papers take weeks to get: they are spoken of two months ahead."""
SECONDS_FOR_COMPARING: Final = 1.0
BATCH: Final = 100
MOST_BATCHES: Final = 20
_KEPT: Final = 20_000
_OF_A_TITLE: Final = ("case_id", "authority", "title", "sort")
_OF_A_CASE: Final = ("pk", "name", "reference", "account_id", "adviser__name")
_SORT: Final = Span.Sort

OfCase = Sequence[Any]
"""The columns of `_OF_A_CASE`."""

Compared = tuple[tuple[str, int, str, str, str], ...]
"""For each answer that no longer holds: title, day given, said, now, what has changed."""
_compared: dict[tuple[UUID, int, int, str], Compared] = {}


@dataclass(slots=True)
class Found:
    """The entries, and for how many cases what was said is yet to be compared."""

    needs: list[Need] = field(default_factory=list)
    n_uncompared: int = 0


def found_for(mine: Account | None, *, at_most: int) -> Found:
    """Return what needs a person, at most so many entries of each sort.

    Parameters
    ----------
    mine : Account or None
        Only cases in this person's care; None for all of the office.
    at_most : int
        Of each sort, those that are due first.
    """
    rulebooks = rulebooks_in_force()
    cases = Case.objects.filter(closed_at=None)
    if mine is not None:
        cases = cases.filter(adviser=mine)
    looking = _Looking(cases, rulebooks, clock.today_at(), at_most, mine)
    found = Found()
    found.needs += one_a_day(looking.windows())
    found.needs += looking.licences()
    found.needs += looking.papers()
    found.needs += looking.actions()
    found.needs += looking.open_answers()
    found.needs += stale_editions(rulebooks, today=looking.today)
    found.needs += looking.changed_answers(found)
    return found


@dataclass(slots=True)
class _Looking:
    """One look at some cases on a day."""

    cases: QuerySet[Case]
    rulebooks: Sequence[Rulebook]
    today: Day
    at_most: int
    mine: Account | None
    titles: Mapping[tuple[str, str], NamedTitle] = field(init=False)

    def __post_init__(self) -> None:
        """Name the titles of the rulebooks in force."""
        self.titles = named_titles(self.rulebooks, today=self.today)

    def windows(self) -> Iterator[Need]:
        """Yield open dates that end within a quarter."""
        rows = self._of_these(
            Span.objects.filter(
                sort=_SORT.CERTAIN,
                start__lte=self.today,
                until__gt=self.today,
                until__lte=self.today + AHEAD_DAYS + 1,
            )
        ).order_by("until")
        several = list(_with_case(rows, "authority", "title", "until")[: self.at_most])
        reached = _said(Mark.Sort.REACHED, [row[0] for row in several])
        for *of_case, authority, name, until in several:
            title = self.titles.get((authority, name))
            if title is not None:
                need = window_closing(
                    title, _whose(*of_case), until=until - 1, reached=reached[of_case[0]]
                )
                if need is not None:
                    yield need

    def licences(self) -> Iterator[Need]:
        """Yield what is lost after a licence within a quarter, or just was."""
        rows = self._of_these(days_near(self.today))
        return needs_of(rows, self.titles, at_most=self.at_most)

    def papers(self) -> Iterator[Need]:
        """Yield papers and registrations that lapse within two months, or just did."""
        rows = self._of_these(
            Mark.objects.filter(
                sort=Mark.Sort.LAPSES,
                day__gte=self.today - BEHIND_DAYS,
                day__lte=self.today + LAPSE_DAYS,
            )
        ).order_by("day")
        found = _with_case(rows, "holder", "day", "what", "place")[: self.at_most]
        for *of_case, holder, day, what, place in found:
            section = place.partition("/")[0]
            whose = _whose(*of_case)
            yield Need("paper lapsing", holder, day, whose, what, detail=section, place=place)

    def actions(self) -> Iterator[Need]:
        """Yield what was promised within a month, and what is overdue."""
        rows = self._of_these(
            Action.objects.filter(done_at=None, due__lte=date_from_day(self.today + MONTH_DAYS))
        ).order_by("due")
        found = _with_case(rows, "holder", "due", "text")[: self.at_most]
        for *of_case, holder, due, text in found:
            day = None if due is None else day_from_date(due)
            yield Need("action due", holder, day, _whose(*of_case), text, place="actions")

    def open_answers(self) -> Iterator[Need]:
        """Yield cases on which nothing certain can be said today, the longest untouched first."""
        holding = self._holding().filter(sort=_SORT.POSSIBLE, case=OuterRef("pk"))
        waiting = self.cases.filter(Exists(holding)).order_by("changed_at", "pk")
        n_found = 0
        for first in range(0, MOST_BATCHES * BATCH, BATCH):
            several = list(waiting.values_list(*_OF_A_CASE)[first : first + BATCH])
            for need in self._open_of(several):
                yield need
                n_found += 1
                if n_found == self.at_most:
                    return
            if len(several) < BATCH:
                return

    def _open_of(self, several: Sequence[OfCase]) -> Iterator[Need]:
        """Yield the entries of some cases in whose titles today is possible and not certain."""
        ids = [of_case[0] for of_case in several]
        sorts: dict[UUID, dict[tuple[str, str], set[str]]] = defaultdict(lambda: defaultdict(set))
        rows = self._holding().filter(case__in=ids)
        for case_id, authority, title, sort in rows.values_list(*_OF_A_TITLE):
            sorts[case_id][authority, title].add(sort)
        reviewed = _said(Mark.Sort.REVIEWED, ids)
        for of_case in several:
            titles = [
                self.titles[key]
                for key, held in sorts[of_case[0]].items()
                if key in self.titles and held == {_SORT.POSSIBLE}
            ]
            need = answer_open(titles, _whose(*of_case), reviewed=reviewed[of_case[0]])
            if need is not None:
                yield need

    def _holding(self) -> QuerySet[Span]:
        return Span.objects.filter(start__lte=self.today, until__gt=self.today)

    def changed_answers(self, found: Found) -> Iterator[Need]:
        """Yield what was said and is no longer so; what is yet to be compared is counted."""
        digest = digest_in_force()
        until = monotonic() + SECONDS_FOR_COMPARING
        for of_case, key in self._given_out(digest):
            if key not in _compared:
                if monotonic() > until:
                    found.n_uncompared += 1
                    continue
                _keep(key, self._compare(Case.objects.get(pk=of_case[0])))
            for title, day, before, after, because in _compared[key]:
                yield Need(
                    "answer changed",
                    "adviser",
                    day,
                    _whose(*of_case),
                    title,
                    detail=because,
                    before=before,
                    after=after,
                    place="history",
                )

    def _given_out(self, digest: str) -> Iterator[tuple[OfCase, tuple[UUID, int, int, str]]]:
        """Yield the cases out of which something was given before they or the rules changed."""
        changed = StoredEdition.objects.aggregate(at=Max("changed_at"))["at"]
        older = Q(given_at__lt=F("case__changed_at"))
        if changed is not None:
            older |= Q(given_at__lt=changed)
        rows = self._of_these(Given.objects.filter(older, settled_at=None))
        last = dict(rows.values_list("case").annotate(last=Max("pk")).order_by())
        cases = self.cases.filter(pk__in=last).values_list(*_OF_A_CASE, "version")
        for *of_case, version in cases:
            yield of_case, (of_case[0], version, last[of_case[0]], digest)

    def _compare(self, case: Case) -> Compared:
        try:
            several = no_longer_holds(case, self.rulebooks, clock.today_at)
        except UnreadableError:  # shown on the case's own page
            return ()
        return tuple(
            (
                f"{each.said.title_name}, {each.said.authority_name}",
                day_from_date(each.given.given_at.date()),
                each.said.verdict,
                "" if each.now is None else each.now.verdict,
                " ".join(each.because),
            )
            for each in several
        )

    def _of_these(self, rows: QuerySet[Any]) -> QuerySet[Any]:
        """Return the rows of the cases looked at."""
        rows = rows.filter(case__closed_at=None)
        if self.mine is None:
            return rows
        # A sum has no index: so the database takes the rows in the order of their days and stops
        # early, instead of gathering every case of this person first.
        mine: QuerySet[Any] = rows.alias(adviser=F("case__adviser_id") + 0)
        return mine.filter(adviser=self.mine.pk)


def has_outdated() -> bool:
    """Tell whether some case's dates rest on other editions than are in force."""
    digest = digest_in_force()
    # Two ranges of an index; "is not" would look at every case.
    return Case.objects.filter(Q(spans_of__lt=digest) | Q(spans_of__gt=digest)).exists()


def _keep(key: tuple[UUID, int, int, str], found: Compared) -> None:
    if len(_compared) >= _KEPT:
        _compared.clear()
    _compared[key] = found


def _said(sort: str, cases: Iterable[UUID]) -> Mapping[UUID, list[str]]:
    """Return what the documents of some cases say of a sort."""
    found: dict[UUID, list[str]] = defaultdict(list)
    rows = Mark.objects.filter(sort=sort, case__in=list(cases))
    for case, what in rows.values_list("case", "what"):
        found[case].append(what)
    return found


def _with_case(rows: QuerySet[Any], *columns: str) -> QuerySet[Any, Any]:
    """Return what entries say of their cases, then the columns of the rows themselves.

    Bare values: to make a record of each row would take longer than to find them.
    """
    of_case = (name if name == "pk" else f"case__{name}" for name in _OF_A_CASE)
    return rows.values_list(*(name.replace("pk", "case_id") for name in of_case), *columns)


def _whose(pk: UUID, name: str, reference: str, account: int | None, adviser: str | None) -> Whose:  # noqa: PLR0917 - columns
    return Whose(str(pk), name or reference, has_account=account is not None, adviser=adviser or "")
