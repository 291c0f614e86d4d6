"""Language tests, examinations, certificates and papers by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import permutations
from typing import TYPE_CHECKING

from tests.properties.oracle.months import after, exactly
from tests.properties.oracle.practising import registrations_in
from tests.properties.oracle.world import World, excluded, known, listed, plain, same, shares_one

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from comity.core.days.period import Period
    from comity.core.facts.model import ExaminationResult, LanguageResult, Paper
    from comity.core.rulebook.kinds.testing import (
        CertificateHeld,
        ExaminationPassed,
        LanguageProved,
        LanguageTest,
        PaperHeld,
    )

RANKS = ("requested", "received", "accepted")


def language_holds(requirement: LanguageProved, world: World, day: date) -> bool:
    """Whether one sitting, or two put together, prove the language."""
    return any(_is_proved(test, requirement, world=world, day=day) for test in requirement.tests)


def _is_proved(test: LanguageTest, requirement: LanguageProved, *, world: World, day: date) -> bool:
    sittings = [
        each
        for each in known(world.applicant.results.language)
        if same(each.test, test.test)
        and not (test.excluded_places and excluded(each.place, test.excluded_places))
    ]
    oldest_ends = [
        (exactly(each.taken), exactly(each.taken))
        for each in sittings
        if _is_enough(each, each, test=test)
    ]
    if test.combining is not None:
        for first, second in permutations(sittings, 2):
            one, two = exactly(first.taken), exactly(second.taken)
            if one <= two <= after(one, test.combining.within) and _may_be_combined(
                first, second, test=test
            ):
                oldest_ends.append((two, one))
    age = requirement.greatest_age
    return any(
        begins <= day and (age is None or day <= after(oldest, age))
        for begins, oldest in oldest_ends
    )


def _may_be_combined(first: LanguageResult, second: LanguageResult, *, test: LanguageTest) -> bool:
    combining = known(test.combining)
    floors = all(
        _reaches(_part(sitting, part), least, scale=test.scale)
        for part, least in (combining.floor or {}).items()
        for sitting in (first, second)
    )
    overalls = combining.least_overall is None or all(
        _reaches(sitting.overall, combining.least_overall, scale=test.scale)
        for sitting in (first, second)
    )
    return floors and overalls and _is_enough(first, second, test=test)


def _is_enough(first: LanguageResult, second: LanguageResult, *, test: LanguageTest) -> bool:
    """Whether the better of two sittings passes, overall and in every part."""
    if test.overall is not None and not any(
        _reaches(known(sitting.overall), test.overall, scale=test.scale)
        for sitting in (first, second)
    ):
        return False
    return all(
        any(_reaches(_part(sitting, part), least, scale=test.scale) for sitting in (first, second))
        for part, least in (test.parts or {}).items()
    )


def _part(sitting: LanguageResult, part: str) -> str | None:
    """Return the result of a part; one missing from the list is not proved."""
    results: Mapping[str, str] = known(sitting.parts)
    by_name = {plain(name): result for name, result in results.items()}
    return by_name.get(plain(part))


def _reaches(result: str | None, least: str, *, scale: tuple[str, ...] | None) -> bool:
    if result is None:
        return False
    if scale is None:
        try:
            return Fraction(result.strip()) >= Fraction(least.strip())
        except ValueError:
            return False
    grades = [plain(grade) for grade in scale]
    return plain(result) in grades and grades.index(plain(result)) >= grades.index(plain(least))


@dataclass(frozen=True)
class Attempt:
    """An attempt with its number, whether a pass would count, and how it went."""

    taken: date
    number: int
    may_count: bool
    is_awaiting: bool
    is_passed: bool

    @property
    def is_failed(self) -> bool:
        """Whether its result is known and no pass."""
        return not self.is_passed and not self.is_awaiting


@dataclass(frozen=True)
class Part:
    """One stage of an examination, or the whole of one without stages."""

    asked: ExaminationPassed
    world: World
    stage: str | None
    least: Fraction | None

    def entries(self) -> list[ExaminationResult]:
        """Return the entries of the examination and stage, those after the event asked."""
        found = [
            each
            for each in known(self.world.applicant.results.examinations)
            if each.examination == self.asked.examination and self.stage in {None, each.stage}
        ]
        if self.asked.after is None:
            return found
        event = _latest_event(self.asked, self.world)
        return [each for each in found if event is not None and exactly(each.taken) > event]

    def attempts(self) -> list[Attempt]:
        """Return the attempts in order, numbered within their scope."""
        is_by_application = self.asked.attempts_count == "application"
        by_scope: dict[str | None, list[ExaminationResult]] = {}
        for each in sorted(self.entries(), key=lambda entry: exactly(entry.taken)):
            if known(each.outcome) != "booked":
                scope = known(each.application) if is_by_application else None
                by_scope.setdefault(scope, []).append(each)
        numbered = {scope: self._numbered(entries) for scope, entries in by_scope.items()}
        if is_by_application:
            numbered = {scope: self._barred(own, numbered) for scope, own in numbered.items()}
        return [attempt for own in numbered.values() for attempt in own]

    def _numbered(self, entries: list[ExaminationResult]) -> list[Attempt]:
        allowed, bar = self.asked.attempts, self.asked.bar
        numbered: list[Attempt] = []
        for number, entry in enumerate(entries, start=1):
            taken, may_count = exactly(entry.taken), True
            if allowed is not None and number > allowed:
                last_of_block = entries[(number - 1) // allowed * allowed - 1]
                may_count = (
                    self.asked.attempts_count == "lifetime"
                    and bar is not None
                    and taken >= after(exactly(last_of_block.taken), bar)
                )
            is_passed = entry.outcome == "passed"
            if self.least is not None and entry.score is not None:
                is_passed = entry.score >= self.least
            is_awaiting = entry.outcome == "awaiting"
            numbered.append(Attempt(taken, number, may_count, is_awaiting, is_passed))
        return numbered

    def _barred(
        self, own: list[Attempt], by_scope: Mapping[str | None, list[Attempt]]
    ) -> list[Attempt]:
        """Take from attempts those inside the bar after another application's last failure."""
        bar = self.asked.bar
        if bar is None or self.asked.attempts is None:
            return own
        ends = [
            attempt.taken
            for others in by_scope.values()
            if others is not own
            for attempt in others
            if attempt.number == self.asked.attempts and attempt.is_failed
        ]
        return [
            replace(each, may_count=False)
            if any(end < each.taken < after(end, bar) for end in ends)
            else each
            for each in own
        ]

    def passes(self) -> list[date]:
        """Return the days of the passes that count, in order."""
        return sorted(each.taken for each in self.attempts() if each.is_passed and each.may_count)

    def booked(self) -> list[date]:
        """Return the days of places booked for which the attempts allowed leave room."""
        booked = [exactly(each.taken) for each in self.entries() if each.outcome == "booked"]
        allowed = self.asked.attempts
        if allowed is None or self.asked.attempts_count == "application":
            return booked
        sat = self.attempts()
        if len(sat) < allowed:
            return booked
        if self.asked.bar is None:
            return []
        again = after(max(each.taken for each in sat), self.asked.bar)
        return [each for each in booked if len(sat) % allowed or each >= again]


def _latest_event(asked: ExaminationPassed, world: World) -> date | None:
    """Return the latest day of the event after which attempts count; None before it comes."""
    if asked.after == "qualification":
        return max((exactly(e.completed) for e in known(world.facts.qualifications)), default=None)
    if asked.after == "last practice":
        return max((exactly(e.end) for e in known(world.facts.practice)), default=None)
    held = registrations_in(world, asked.registrations)
    ended = [exactly(each.end) for each in held if each.end and not each.end.is_open]
    return max(ended, default=None)


def _parts(asked: ExaminationPassed, world: World) -> list[Part]:
    if not asked.stages:
        return [Part(asked, world, None, asked.least_score)]
    return [Part(asked, world, stage.id, stage.least_score) for stage in asked.stages]


def examination_holds(requirement: ExaminationPassed, world: World, day: date) -> bool:
    """Whether the examination is passed, or booked, awaiting or failed where that is enough."""
    parts = _parts(requirement, world)
    passes = [part.passes() for part in parts]
    if requirement.stages_in_order:
        for i in range(1, len(passes)):
            first = min(passes[i - 1], default=None)
            passes[i] = [each for each in passes[i] if first is not None and each >= first]
    if not all(
        _part_holds(part, own, validity=requirement.validity, day=day)
        for part, own in zip(parts, passes, strict=True)
    ):
        return False
    together = requirement.stages_within
    if together is None or len(parts) < 2:
        return True
    return any(
        first <= day
        and all(any(each <= first <= after(each, together) for each in own) for own in passes)
        for first in {each for own in passes for each in own}
    )


def _part_holds(part: Part, passes: list[date], *, validity: Period | None, day: date) -> bool:
    outcomes = part.asked.outcomes
    return (
        (
            "passed" in outcomes
            and any(
                each <= day and (validity is None or day <= after(each, validity))
                for each in passes
            )
        )
        or ("booked" in outcomes and any(day <= each for each in part.booked()))
        or (
            "awaiting" in outcomes
            and any(
                each.is_awaiting and each.may_count and each.taken <= day
                for each in part.attempts()
            )
        )
        or (
            "failed" in outcomes
            and any(each.is_failed and each.taken <= day for each in part.attempts())
        )
    )


def remedial_owed_from(requirement: ExaminationPassed, world: World) -> date | None:
    """Return the day of the failure from which on remedial work is owed."""
    (whole,) = _parts(requirement, world)
    failures = sorted(each.taken for each in whole.attempts() if each.is_failed)
    n_failures = known(requirement.remedial_after)
    return failures[n_failures - 1] if len(failures) >= n_failures else None


def certificate_holds(requirement: CertificateHeld, world: World, day: date) -> bool:
    """Whether a certificate is at hand that is not too old and has not expired."""
    return any(
        exactly(each.issued) <= day
        and (each.expires is None or day <= exactly(each.expires))
        and (
            requirement.greatest_age is None
            or day <= after(exactly(each.issued), requirement.greatest_age)
        )
        for each in known(world.facts.certificates)
        if each.of == requirement.of
        and (requirement.authorities is None or listed(each.authority, requirement.authorities))
        and (requirement.countries is None or listed(each.country, requirement.countries))
        and (requirement.sent is None or known(each.sent) == requirement.sent)
        and (world.country is None or same(each.country, world.country))
        and (world.authority is None or same(each.authority, world.authority))
    )


def paper_holds(requirement: PaperHeld, world: World, day: date) -> bool:
    """Whether a paper is at hand in the form asked for, not too old, and valid long enough."""
    return any(
        _is_the_paper(each, requirement)
        and (world.country is None or same(each.country, world.country))
        and (world.authority is None or same(each.issuer, world.authority))
        and _is_in_time(each, requirement, day)
        for each in known(world.applicant.papers)
        if same(each.kind, requirement.paper)
        and RANKS.index(each.status) >= RANKS.index(requirement.status)
    )


def _is_in_time(paper: Paper, asked: PaperHeld, day: date) -> bool:
    if paper.issued is not None and day < exactly(paper.issued):
        return False
    if asked.greatest_age is not None and day > after(exactly(paper.issued), asked.greatest_age):
        return False
    if paper.expires is not None and day > exactly(paper.expires):
        return False
    remaining = asked.remaining_validity
    return remaining is None or after(day, remaining) <= exactly(paper.expires)


def _is_the_paper(paper: Paper, asked: PaperHeld) -> bool:
    return (
        (asked.forms is None or known(paper.form) in asked.forms)
        and (
            asked.certified_by is None
            or known(paper.form) != "certified copy"
            or listed(paper.certified_by, asked.certified_by)
        )
        and (asked.issuers is None or listed(paper.issuer, asked.issuers))
        and (asked.countries is None or listed(paper.country, asked.countries))
        and (asked.legalised is None or known(paper.legalised) in asked.legalised)
        and _is_readable(paper, asked)
        and _is_the_photo(paper, asked)
    )


def _is_readable(paper: Paper, asked: PaperHeld) -> bool:
    if asked.languages is None or listed(paper.language, asked.languages):
        return True
    return shares_one(paper.translated_into, asked.languages) and (
        asked.translated_by is None or listed(paper.translated_by, asked.translated_by)
    )


def _is_the_photo(paper: Paper, asked: PaperHeld) -> bool:
    photo = asked.photo
    if photo is None:
        return True
    return (
        (photo.width_mm is None or known(paper.width_mm) == photo.width_mm)
        and (photo.height_mm is None or known(paper.height_mm) == photo.height_mm)
        and (photo.least_face is None or known(paper.face_share) >= photo.least_face)
        and (photo.greatest_face is None or known(paper.face_share) <= photo.greatest_face)
    )
