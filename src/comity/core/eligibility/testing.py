"""Days of the kinds about language tests, examinations, certificates and papers."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache, partial
from operator import eq, ge, le
from typing import Final

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    days_of,
    folded,
    is_none_of,
    is_one_of,
    leaf_days,
    remembered,
)
from comity.core.eligibility.practising import registrations_in_scope
from comity.core.eligibility.reading import EVENTS
from comity.core.eligibility.triple import Days, every
from comity.core.facts.columns import Table
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageProved,
    LanguageTest,
    PaperHeld,
    Photo,
)

STATUS_RANK: Final = {"requested": 0, "received": 1, "accepted": 2}
NEVER: Final = -1


@lru_cache(maxsize=4096)
def is_at_least(result: str, needed: str, scale: tuple[str, ...] | None) -> bool:
    """Tell whether a result is as good as needed, by the scale or as numbers.

    A result that is not on the scale, or no number where numbers are asked, is not.
    """
    if scale is not None:
        grades = [folded(grade) for grade in scale]
        got, least = folded(result), folded(needed)
        return got in grades and grades.index(got) >= grades.index(least)
    try:
        return Fraction(result.strip()) >= Fraction(needed.strip())
    except ValueError:
        return False


@leaf_days.register
def _language(requirement: LanguageProved, context: Context) -> Days:
    yes = DaySet.empty(context.n_rows)
    for test in requirement.tests:
        sittings = Sittings.of(test, context)
        yes = yes | sittings.single(requirement) | sittings.combined(requirement)
    return Days.of(context.known("language", yes))


class Sittings:
    """The sittings of one accepted test, with what each proves."""

    def __init__(self, test: LanguageTest, table: Table, context: Context) -> None:
        """Take the sittings of the test; see `of`."""
        names = {folded(test.test)}
        self.test = test
        self.table = table
        self.n_rows = context.n_rows
        self.kept = all_masks(
            table,
            table.where("test", lambda name: folded(name) in names),
            is_none_of(table, "place", test.excluded_places),
        )
        self.since = table.since("taken")
        self.until = table.until("taken")

    @classmethod
    def of(cls, test: LanguageTest, context: Context) -> Sittings:
        """Return the sittings of a test among all applicants' language results."""
        return cls(test, context.columns.table("language"), context)

    def part(self, name: str, needed: str) -> Bools:
        """Return which sittings have a part as good as needed."""
        wanted = folded(name)

        def passes(parts: Mapping[str, str]) -> bool:
            given = {folded(key): value for key, value in parts.items()}
            return wanted in given and is_at_least(given[wanted], needed, self.test.scale)

        return self.table.where("parts", passes)

    def overall(self, needed: str | None) -> Bools:
        """Return which sittings are as good as needed overall."""
        if needed is None:
            return self.table.rows >= 0
        return self.table.where(
            "overall", lambda result: is_at_least(result, needed, self.test.scale)
        )

    def single(self, requirement: LanguageProved) -> DaySet:
        """Return the days on which one sitting proves everything."""
        parts = [self.part(name, needed) for name, needed in (self.test.parts or {}).items()]
        passing = all_masks(self.table, self.kept, self.overall(self.test.overall), *parts)
        return self._valid(np.flatnonzero(passing), np.flatnonzero(passing), requirement)

    def combined(self, requirement: LanguageProved) -> DaySet:
        """Return the days on which the better parts of two sittings prove everything."""
        combining = self.test.combining
        if combining is None or not self.test.parts:
            return DaySet.empty(self.n_rows)
        allowed = all_masks(
            self.table,
            self.kept,
            self.overall(combining.least_overall),
            *(self.part(name, needed) for name, needed in (combining.floor or {}).items()),
        )
        first, second = _pairs(self.table.rows, np.flatnonzero(allowed))
        near = combining.within.after(self.until[first]) >= self.since[second]
        fits = near & (self.until[second] >= self.since[first])
        passes_overall = self.overall(self.test.overall)
        fits = fits & (passes_overall[first] | passes_overall[second])
        for name, needed in self.test.parts.items():
            passes = self.part(name, needed)
            fits = fits & (passes[first] | passes[second])
        return self._valid(first[fits], second[fits], requirement)

    def _valid(self, older: Ints, newer: Ints, requirement: LanguageProved) -> DaySet:
        """Return the days from the newer sitting until the older one is too old."""
        ends = np.full(older.size, FOREVER, np.int64)
        if requirement.greatest_age is not None:
            ends = requirement.greatest_age.after(self.until[older]) + 1
        return DaySet.from_runs(
            self.n_rows, self.table.rows[newer], starts=self.since[newer], ends=ends
        )


def _pairs(rows: Ints, kept: Ints) -> tuple[Ints, Ints]:
    """Return all ordered pairs of different entries of one row, as two arrays of indices."""
    own = rows[kept]
    starts, stops = np.searchsorted(own, own, "left"), np.searchsorted(own, own, "right")
    counts = stops - starts
    first = np.repeat(np.arange(kept.size), counts)
    offset = np.arange(first.size) - np.repeat(counts.cumsum() - counts, counts)
    second = np.repeat(starts, counts) + offset
    differ = first != second
    return kept[first[differ]], kept[second[differ]]


class Attempts:
    """The attempts at one examination or stage, in order, and which of them count."""

    def __init__(
        self, requirement: ExaminationPassed, context: Context, *, stage: str | None = None
    ) -> None:
        """Take the attempts at the examination, or at one stage of it."""
        self.requirement = requirement
        self.table = context.columns.whole_table("examinations")
        self.n_rows = context.n_rows
        name = requirement.examination
        mine = self.table.where("examination", lambda value: value == name)
        if stage is not None:
            mine = mine & self.table.where("stage", lambda value: value == stage)
        if requirement.after is not None:
            since = self.table.since("taken")
            mine = mine & (since > latest_event(requirement, context)[self.table.rows])
        self.mine = mine
        self.since = self.table.since("taken")
        sat = np.flatnonzero(mine & ~self.table.surely("outcome", "booked".__eq__))
        self.order, self.number = self._ordered(sat)
        booked = mine & self._is("booked") & self.table.counts
        self.booked = self._booked_within_attempts(booked)

    def _is(self, outcome: str) -> Bools:
        return self.table.where("outcome", lambda value: value == outcome)

    def _ordered(self, sat: Ints) -> tuple[Ints, Ints]:
        """Return the attempts by row and day, and each one's number, counted from 1.

        An attempt stands before another if its day is earlier: in a certain row already if it may
        be (it counts against), in a possible row only if it surely is. On one day the file decides.
        """
        order = sat[np.lexsort([self.since[sat], self.table.rows[sat]])]
        until = self.table.until("taken")
        first, second = _pairs(self.table.rows, sat)
        earlier = until[first] < self.since[second]
        earlier |= (until[first] == self.since[second]) & (first < second)
        earlier &= self.table.against[first]
        if self.requirement.attempts_count == "application":
            earlier &= self._of_one_application(first, second)
        self.before, self.behind = first[earlier], second[earlier]
        number = np.ones(self.table.rows.size, np.int64)
        np.add.at(number, self.behind, 1)
        return order, number[order]

    def _of_one_application(self, first: Ints, second: Ints) -> Bools:
        """Return which pairs are of one application; in a certain row those that may be, too."""
        codes = self.table.codes("application")[0]
        may_be = ((codes[first] < 0) | (codes[second] < 0)) & ~self.table.is_possible[first]
        of_one: Bools = (codes[first] == codes[second]) | may_be
        return of_one

    def _booked_within_attempts(self, booked: Bools) -> Bools:
        """Return the places booked which the attempts allowed leave room for."""
        allowed = self.requirement.attempts
        if allowed is None or self.requirement.attempts_count == "application":
            return booked
        sat = self.order[self.table.against[self.order]]
        n_sat = np.bincount(self.table.rows[sat], minlength=self.n_rows)
        room = n_sat[self.table.rows] < allowed
        if self.requirement.bar is not None:
            last = np.zeros(self.n_rows, np.int64)
            np.maximum.at(last, self.table.rows[sat], self.since[sat])
            reopened = self.requirement.bar.after(last)[self.table.rows]
            is_full = n_sat[self.table.rows] % allowed == 0
            room = room | ~is_full | (self.since >= reopened)
        return booked & room

    def counting(self) -> Ints:
        """Return the attempts that count: those within the number allowed, and no bar running."""
        counts = self.table.counts[self.order]
        allowed = self.requirement.attempts
        if allowed is None:
            return self.order[counts]
        within = self.number <= allowed
        bar = self.requirement.bar
        if bar is not None and self.order.size:
            if self.requirement.attempts_count == "application":
                within &= ~self._is_barred(bar, allowed)
            else:
                within |= self._is_reopened(bar, allowed)
        return self.order[counts & within]

    def _is_reopened(self, bar: Period, allowed: int) -> Bools:
        """Return the attempts of a later block that lie after the bar on the block before."""
        number = np.zeros(self.table.rows.size, np.int64)
        number[self.order] = self.number
        in_earlier_block = number[self.before] <= (number[self.behind] - 1) // allowed * allowed
        last = np.zeros(number.size, np.int64)
        np.maximum.at(
            last, self.behind[in_earlier_block], self.since[self.before[in_earlier_block]]
        )
        reopened = bar.after(last[self.order])
        after_bar: Bools = (self.number > allowed) & (self.since[self.order] >= reopened)
        return after_bar

    def _is_barred(self, bar: Period, allowed: int) -> Bools:
        """Return the attempts that lie within the bar after another application's last one."""
        ends = (self.number == allowed) & ~self._is("passed")[self.order]
        ends_block = self.order[ends & self.table.against[self.order]]
        barred = DaySet.from_runs(
            self.n_rows,
            self.table.rows[ends_block],
            starts=self.table.until("taken")[ends_block] + 1,
            ends=bar.after(self.since[ends_block]),
        )
        return barred.take(self.table.rows[self.order]).contains(self.since[self.order])

    def passes(self, least_score: Fraction | None) -> Ints:
        """Return the counting attempts that pass."""
        counting = self.counting()
        return counting[self.passed(least_score)[counting]]

    def passed(self, least_score: Fraction | None) -> Bools:
        """Return which entries pass, by score where one is asked and known, else by outcome."""
        by_outcome = self._is("passed")
        if least_score is None:
            return by_outcome
        codes, _scores = self.table.codes("score")
        by_score = self.table.where("score", lambda score: score >= least_score)
        return np.where(codes >= 0, by_score, by_outcome)

    def failures(self, least_score: Fraction | None) -> Ints:
        """Return the failures in order; unknown results are failures in possible rows."""
        return self._failures(least_score, unknown_where=self.table.is_possible)

    def failed_days(self, least_score: Fraction | None) -> tuple[Ints, Ints]:
        """Return rows and days of the failures in order, as they count against the applicant.

        In a certain row an unknown result is a failure, on the earliest day that it can be.
        """
        against = self._failures(least_score, unknown_where=~self.table.is_possible)
        against = against[self.table.against[against]]
        rows, days = self.table.rows[against], self.table.until("taken")[against]
        in_order = np.lexsort([days, rows])
        return rows[in_order], days[in_order]

    def _failures(self, least_score: Fraction | None, *, unknown_where: Bools) -> Ints:
        unknown = (self.table.codes("outcome")[0] < 0) & unknown_where
        failed = self.table.surely("outcome", "failed".__eq__) | unknown
        if least_score is not None:
            known = self.table.codes("score")[0] >= 0
            below = self.table.surely("score", lambda score: score < least_score)
            failed = np.where(known, below, failed)
        return self.order[failed[self.order]]

    def awaiting(self) -> Ints:
        """Return the counting attempts whose result is awaited."""
        counting = self.counting()
        return counting[self._is("awaiting")[counting]]


def latest_event(requirement: ExaminationPassed, context: Context) -> Ints:
    """Return for every row the latest day of the event asked; FOREVER where it has not come.

    In a certain row the day is the latest it can be, in a possible one the earliest. What is
    still held has not ended.
    """
    section, name = EVENTS[requirement.after or "qualification"]
    table = context.columns.table(section)
    kept = table.rows >= 0
    if section == "registrations":
        still_held = table.where(name, lambda end: end.is_open)
        kept = registrations_in_scope(table, requirement.registrations) & ~still_held
    latest = np.full(context.n_rows, -1, np.int64)
    np.maximum.at(latest, table.rows[kept], table.since(name)[kept])
    latest[context.columns.absent(section)] = 0
    return np.where(latest < 0, FOREVER, latest)


@remembered
def attempts_at(requirement: ExaminationPassed, context: Context) -> Attempts:
    """Return the attempts at the whole examination."""
    return Attempts(requirement, context)


@leaf_days.register
def _examination(requirement: ExaminationPassed, context: Context) -> Days:
    yes = passed_days(requirement, context) | _other_outcome_days(requirement, context)
    yes = context.known("examinations", yes)
    days = Days.of(yes)
    if requirement.remedial is None:
        return days
    return every([days, _remedial_days(requirement.remedial, requirement, context)], context.n_rows)


def _other_outcome_days(requirement: ExaminationPassed, context: Context) -> DaySet:
    """Return the days on which an attempt is booked, awaits its result or has failed, as asked."""
    whole = attempts_at(requirement, context)
    taken, last = whole.table.since("taken"), whole.table.until("taken")
    yes = DaySet.empty(context.n_rows)
    if "awaiting" in requirement.outcomes:
        waits = whole.awaiting()
        yes = yes | _from_then_on(context.n_rows, whole.table.rows[waits], taken[waits])
    if "failed" in requirement.outcomes:
        failed = whole.failures(requirement.least_score)
        yes = yes | _from_then_on(context.n_rows, whole.table.rows[failed], taken[failed])
    if "booked" in requirement.outcomes:
        rows = whole.table.rows[whole.booked]
        starts, ends = np.zeros(rows.size, np.int64), last[whole.booked] + 1
        yes = yes | DaySet.from_runs(context.n_rows, rows, starts=starts, ends=ends)
    return yes


def _from_then_on(n_rows: int, rows: Ints, starts: Ints) -> DaySet:
    ends = np.full(rows.size, FOREVER, np.int64)
    return DaySet.from_runs(n_rows, rows, starts=starts, ends=ends)


def passed_days(requirement: ExaminationPassed, context: Context) -> DaySet:
    """Return the days on which the examination is passed, remedial work left aside."""
    if "passed" not in requirement.outcomes:
        return DaySet.empty(context.n_rows)
    if not requirement.stages:
        attempts = attempts_at(requirement, context)
        return _valid_passes(attempts, requirement, attempts.passes(requirement.least_score))
    stages: list[DaySet] = []
    near: list[DaySet] = []
    firsts: list[Ints] = []
    for stage in requirement.stages:
        attempts = Attempts(requirement, context, stage=stage.id)
        passed = attempts.passes(stage.least_score)
        if requirement.stages_in_order and firsts:
            passed = passed[attempts.since[passed] >= firsts[-1][attempts.table.rows[passed]]]
        stages.append(_valid_passes(attempts, requirement, passed))
        near.append(_passed_within(attempts, requirement.stages_within, passed))
        firsts.append(stages[-1].next_day(0))
    yes = every([Days.of(days) for days in stages], context.n_rows).yes
    if requirement.stages_within is not None:
        together = every([Days.of(days) for days in near], context.n_rows).yes
        yes = yes & DaySet.between(together.next_day(0), FOREVER)
    return yes


def _passed_within(attempts: Attempts, time: Period | None, passes: Ints) -> DaySet:
    """Return the days on which a pass is not longer ago than a time."""
    if time is None:
        return DaySet.full(attempts.n_rows)
    return DaySet.from_runs(
        attempts.n_rows,
        attempts.table.rows[passes],
        starts=attempts.since[passes],
        ends=time.after(attempts.table.until("taken")[passes]) + 1,
    )


def _valid_passes(attempts: Attempts, requirement: ExaminationPassed, passes: Ints) -> DaySet:
    starts = attempts.table.since("taken")[passes]
    ends = np.full(passes.size, FOREVER, np.int64)
    if requirement.validity is not None:
        ends = requirement.validity.after(attempts.table.until("taken")[passes]) + 1
    return DaySet.from_runs(attempts.n_rows, attempts.table.rows[passes], starts=starts, ends=ends)


def _remedial_days(remedial: Requirement, requirement: ExaminationPassed, context: Context) -> Days:
    """Return the days on which no remedial work is owed, or it is done."""
    attempts = attempts_at(requirement, context)
    rows, taken = attempts.failed_days(requirement.least_score)
    nth = np.searchsorted(rows, rows, "left") + (requirement.remedial_after or 1) - 1
    index = np.arange(rows.size)
    starts = np.full(context.n_rows, FOREVER, np.int64)
    starts[rows[index == nth]] = taken[index == nth]
    done = days_of(remedial, context)
    before = DaySet.between(0, starts)
    return Days(done.yes | before, done.ok | before)


@leaf_days.register
def _certificate(requirement: CertificateHeld, context: Context) -> Days:
    table = context.columns.table("certificates")
    kept = certificates_passing(requirement, context)
    lasts = table.last_days("expires")
    if requirement.greatest_age is not None:
        lasts = np.minimum(lasts, requirement.greatest_age.after(table.until("issued")))
    yes = DaySet.from_runs(
        context.n_rows,
        table.rows[kept],
        starts=table.since("issued")[kept],
        ends=lasts[kept] + 1,
    )
    return Days.of(context.known("certificates", yes))


@remembered
def certificates_passing(requirement: CertificateHeld, context: Context) -> Bools:
    """Return the certificates that speak of the right thing, from the right issuer."""
    table = context.columns.table("certificates")
    sent = None
    if requirement.sent is not None:
        sent = table.where("sent", lambda value: value == requirement.sent)
    return all_masks(
        table,
        table.where("of", lambda value: value == requirement.of),
        is_one_of(table, "authority", requirement.authorities),
        is_one_of(table, "country", requirement.countries),
        sent,
        bound(table, context, "country", "authority"),
    )


@leaf_days.register
def _paper(requirement: PaperHeld, context: Context) -> Days:
    table = context.columns.table("papers")
    kept = all_masks(table, *papers_passing(requirement, context).values())
    codes, _values = table.codes("issued")
    starts = np.where(codes < 0, 0, table.since("issued"))
    lasts = table.last_days("expires")
    if requirement.greatest_age is not None:
        lasts = np.minimum(lasts, requirement.greatest_age.after(table.until("issued")))
    if requirement.remaining_validity is not None:
        limit = requirement.remaining_validity.last_start(table.until("expires"))
        lasts = np.minimum(lasts, limit)
    yes = DaySet.from_runs(
        context.n_rows, table.rows[kept], starts=starts[kept], ends=lasts[kept] + 1
    )
    return Days.of(context.known("papers", yes))


@remembered
def papers_passing(requirement: PaperHeld, context: Context) -> dict[str, Bools]:
    """Return for each parameter which papers pass it."""
    table = context.columns.table("papers")
    rank = STATUS_RANK[requirement.status]
    kind = folded(requirement.paper)
    filters: dict[str, Bools | None] = {
        "kind": table.where("kind", lambda value: folded(value) == kind),
        "status": table.where("status", lambda value: STATUS_RANK[value] >= rank),
        "form": is_one_of(table, "form", requirement.forms),
        "certified_by": _certified(table, requirement.certified_by),
        "issuer": is_one_of(table, "issuer", requirement.issuers),
        "country": is_one_of(table, "country", requirement.countries),
        "language": _readable(table, requirement),
        "legalised": is_one_of(table, "legalised", requirement.legalised),
        "each": _bound_paper(table, context),
    }
    if requirement.photo is not None:
        filters |= _photo(table, requirement.photo)
    return {name: passes for name, passes in filters.items() if passes is not None}


def _bound_paper(table: Table, context: Context) -> Bools | None:
    """Return the papers of the country, or of the issuer, which a `for each` has come to."""
    each = context.each
    if each is None:
        return None
    return is_one_of(table, "country" if each.field == "country" else "issuer", (each.value,))


def _certified(table: Table, certifiers: tuple[str, ...] | None) -> Bools | None:
    if certifiers is None:
        return None
    texts = {folded(text) for text in certifiers}
    by = table.where("certified_by", lambda value: folded(value) in texts)
    return by | table.where("form", lambda form: form != "certified copy")


def _readable(table: Table, requirement: PaperHeld) -> Bools | None:
    """Return the papers in an accepted language, or translated into one as asked."""
    if requirement.languages is None:
        return None
    accepted = {folded(language) for language in requirement.languages}
    native = table.where("language", lambda value: folded(value) in accepted)
    into = table.where(
        "translated_into", lambda values: any(folded(value) in accepted for value in values)
    )
    by = is_one_of(table, "translated_by", requirement.translated_by)
    return native | (into if by is None else into & by)


def _photo(table: Table, photo: Photo) -> dict[str, Bools]:
    checks = {
        "width": (photo.width_mm, "width_mm", eq),
        "height": (photo.height_mm, "height_mm", eq),
        "least face": (photo.least_face, "face_share", le),
        "greatest face": (photo.greatest_face, "face_share", ge),
    }
    return {
        name: table.where(field, partial(holds, asked))
        for name, (asked, field, holds) in checks.items()
        if asked is not None
    }
