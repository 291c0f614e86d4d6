"""One applicant's case, seen from one day: what findings and remedies are drawn from."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import singledispatch
from typing import Any, Final

import numpy as np

from comity.core.days.calendar import Day, add_months_clamp, date_from_day
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import Context, Each, Memo, days_of
from comity.core.facts.columns import ASSUMPTIONS, Columns, columns_of
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS, entries_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Edition, Title

Change = Callable[[Applicant], Applicant]
"""From a file of facts to the same file with something added."""


@dataclass(frozen=True, slots=True)
class View:
    """One applicant, one title of one edition, one day, one assumption.

    `row` is the certain row of the assumption in the context's columns. `reads` holds, by the
    identity of a requirement, the sections that can change its days; None where others can.
    `across` tells on which day a listed requirement first holds for other facts, over all editions;
    None where there is one edition.
    """

    applicant: Applicant
    edition: Edition
    title: Title
    context: Context
    on: Day
    today: Day
    assumption: str
    confirmed_only: bool
    recontext: Callable[[Columns], Context]
    across: Callable[[Requirement, Applicant, Day], Day | None] | None
    reads: Mapping[int, frozenset[str] | None]

    @property
    def row(self) -> int:
        """The certain row of the assumption."""
        return ASSUMPTIONS.index(self.assumption)

    @property
    def twin(self) -> int:
        """The possible row of the assumption."""
        return self.row + self.context.n_rows // 2

    def verdict(self, requirement: Requirement) -> Verdict:
        """Return the verdict on a requirement on the day."""
        return days_of(requirement, self.context).verdict(self.row, self.on)

    def name_of(self, code: str) -> str:
        """Return the name people read for an authority's id or a country's code."""
        return self.edition.names.get(code, code)

    def bound_to(self, each: Each) -> View:
        """Return the view inside a `for each`."""
        return replace(self, context=replace(self.context, each=each))

    def with_applicant(self, applicant: Applicant) -> View:
        """Return the same view of another file of facts, as if these were the facts."""
        columns = columns_of(
            [applicant],
            today=self.today,
            assumptions=ASSUMPTIONS,
            confirmed_only=self.confirmed_only,
            margin=self.edition.margin,
        )
        changed = self.changed_by(applicant)
        columns.share(self.context.columns, [name for name in SECTIONS if name not in changed])
        context = replace(self.recontext(columns), each=self.context.each)
        context.memo.update(self.standing(changed))
        return replace(self, applicant=applicant, context=context)

    def changed_by(self, applicant: Applicant) -> frozenset[str]:
        """Return the sections in which another file of facts differs from this one."""
        return frozenset(
            name
            for name in SECTIONS
            if name != "person"
            and entries_of(self.applicant, name) is not entries_of(applicant, name)
        )

    def standing(self, changed: frozenset[str]) -> Memo:
        """Return the days already found which a change of some sections leaves as they are."""
        return {
            key: days
            for key, days in self.context.memo.items()
            if (sections := self.reads.get(key[0])) is not None and not sections & changed
        }

    def first_day_with(
        self, requirement: Requirement, applicant: Applicant, since: Day
    ) -> Day | None:
        """Return the first day from one on which a listed requirement holds, on other facts."""
        if self.across is not None:
            return self.across(requirement, applicant, since)
        return self.with_applicant(applicant).first_day(requirement, since)

    def first_day(self, requirement: Requirement, since: Day) -> Day | None:
        """Return the first day from one on which the requirement holds for certain."""
        return days_of(requirement, self.context).first_day(self.row, since)


@dataclass(frozen=True, slots=True)
class Finding:
    """What stands behind a verdict: amounts in the rulebook's unit, and a sentence.

    `amount` and `needed` are None where nothing is measured. `shortfall` is never negative.
    `amount_said` and `shortfall_said` tell times of the calendar in months and days, so that no
    reader has to turn a decimal back into days; empty where the number says it.
    """

    reason: str = ""
    amount: float | None = None
    needed: float | None = None
    unit: str | None = None
    shortfall: float | None = None
    amount_said: str = ""
    shortfall_said: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A way to meet a requirement: facts that would be added, and how to say so.

    ``{day}`` in the texts stands for the first day on which the requirement then holds. Without
    `change` the applicant only waits; without `is_sure` nobody can say when it will be so.
    `is_own_pace` tells that only the applicant's speed counts (a paper asked for, a test sat), so
    that the day is the earliest thinkable; `is_case` marks what is put to the authority.
    """

    what: str
    detail: str = ""
    plain: str = ""
    change: Change | None = None
    since: Day = 0
    is_sure: bool = True
    is_own_pace: bool = False
    is_case: bool = False


PROPOSED: Final = "proposed"
"""Id of an entry that a remedy adds."""
_ROUND_FROM: Final = 1000
_TENTHS_FROM: Final = 10
_MONTHS_IN_WORDS: Final = 36
"""From three years on, people count in years."""


@singledispatch
def finding(_requirement: Requirement, _view: View) -> Finding:
    """Return what stands behind the verdict on a requirement."""
    return Finding()


@singledispatch
def proposals(_requirement: Requirement, _view: View) -> tuple[Proposal, ...]:
    """Return ways to meet a requirement that is not met; waiting is tried anyway."""
    return ()


def measured(
    amount: float, needed: float, unit: str, *, reason: str, lower_is_better: bool = False
) -> Finding:
    """Return a finding with its shortfall, amounts cut (not rounded) to hundredths."""
    over = amount - needed if lower_is_better else needed - amount
    return Finding(
        reason=reason,
        amount=hundredths(amount),
        needed=hundredths(needed),
        unit=unit,
        shortfall=max(0.0, -hundredths(-over)),
    )


def hundredths(value: float) -> float:
    """Return a number cut down to hundredths, so that 23.999 never reads as 24."""
    return float(np.floor(round(float(value) * 100, 6)) / 100)


def figure(value: float) -> str:
    """Return a number for a sentence, without needless decimals."""
    decimals = 0 if value >= _ROUND_FROM else 1 if value >= _TENTHS_FROM else 2
    cut = np.floor(round(value * 10**decimals, 6)) / 10**decimals
    text = f"{cut:.2f}".rstrip("0").rstrip(".")
    return text or "0"


def months_between(first: Day, last: Day) -> float:
    """Return the calendar months after a day up to another, parts of a month as a fraction."""
    if last <= first:
        return 0.0
    begin, end = date_from_day(first), date_from_day(last)
    months = (end.year - begin.year) * 12 + end.month - begin.month
    if int(add_months_clamp(first, months)) > last:
        months -= 1
    reached = int(add_months_clamp(first, months))
    length = int(add_months_clamp(first, months + 1)) - reached
    return months + (last - reached) / length if length > 0 else float(months)


def span_words(first: Day, last: Day) -> str:
    """Return the time after a day up to another as "29 months and 11 days"."""
    months = int(months_between(first, last))
    days = last - int(add_months_clamp(first, months))
    years, rest = divmod(months, 12) if months >= _MONTHS_IN_WORDS else (0, months)
    parts = [(years, "year"), (rest, "month"), (days, "day")]
    said = [f"{n} {unit}{'' if n == 1 else 's'}" for n, unit in parts if n]
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said) or "no day"


def spanned(found: Finding, first: Day, last: Day, *, limit: Day) -> Finding:
    """Return a finding in months with its time told as "29 months and 11 days".

    `limit` is the last day allowed, or the first that is enough.
    """
    if found.unit != "months":
        return found
    short = span_words(min(last, limit), max(last, limit)) if found.shortfall else ""
    return replace(found, amount_said=span_words(first, last), shortfall_said=short)


def in_turn(changes: Sequence[Change]) -> Change:
    """Return the change that makes several changes one after the other."""

    def change(applicant: Applicant) -> Applicant:
        for each in changes:
            applicant = each(applicant)
        return applicant

    return change


def with_entry(section: str, entry: object) -> Change:
    """Return the change which adds an entry to a section."""

    def change(applicant: Applicant) -> Applicant:
        if section == "papers":
            papers: Any = (*(applicant.papers or ()), entry)
            return replace(applicant, papers=papers)
        if section in {"language", "examinations"}:
            held = getattr(applicant.results, section) or ()
            return replace(
                applicant, results=replace(applicant.results, **{section: (*held, entry)})
            )
        held = getattr(applicant.facts, section) or ()
        changed: dict[str, Any] = {section: (*held, entry)}
        return replace(applicant, facts=replace(applicant.facts, **changed))

    return change


def plain_day(day: Day) -> str:
    """Return a day as people say it: 14 March 2027."""
    value = date_from_day(day)
    return f"{value.day} {value:%B} {value.year}"
