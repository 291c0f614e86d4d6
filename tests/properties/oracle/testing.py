"""Language tests, examinations, certificates and papers by hand."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations
from typing import TYPE_CHECKING

from tests.properties.oracle.months import after, exactly
from tests.properties.oracle.world import World, excluded, known, listed, plain, same, shares_one

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

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


def examination_holds(requirement: ExaminationPassed, world: World, day: date) -> bool:
    """Whether the examination is passed, or booked or awaiting where that is enough."""
    stages: list[tuple[str | None, Fraction | None]] = [
        (stage.id, stage.least_score) for stage in requirement.stages
    ] or [(None, requirement.least_score)]
    if not all(
        _stage_holds(requirement, world, day, stage=stage, least=least) for stage, least in stages
    ):
        return False
    if requirement.stages_within is None or len(stages) < 2:
        return True
    firsts = [
        min(_passes(requirement, world, stage=stage, least=least), default=None)
        for stage, least in stages
    ]
    passed = [first for first in firsts if first is not None]
    return len(passed) == len(firsts) and max(passed) <= after(
        min(passed), requirement.stages_within
    )


def _stage_holds(
    requirement: ExaminationPassed,
    world: World,
    day: date,
    *,
    stage: str | None,
    least: Fraction | None,
) -> bool:
    validity = requirement.validity
    if "passed" in requirement.outcomes and any(
        taken <= day and (validity is None or day <= after(taken, validity))
        for taken in _passes(requirement, world, stage=stage, least=least)
    ):
        return True
    attempts = attempts_at(requirement, world, stage=stage, least=least)
    if "failed" in requirement.outcomes and any(
        not each.is_passed and not each.is_awaiting and each.taken <= day for each in attempts
    ):
        return True
    entries = _entries(requirement, world, stage)
    if "booked" in requirement.outcomes and any(
        each.outcome == "booked" and day <= exactly(each.taken) for each in entries
    ):
        return True
    return "awaiting" in requirement.outcomes and any(
        each.is_awaiting
        and each.taken <= day
        and (requirement.attempts is None or each.number <= requirement.attempts)
        for each in attempts
    )


def _entries(
    requirement: ExaminationPassed, world: World, stage: str | None
) -> list[ExaminationResult]:
    return [
        each
        for each in known(world.applicant.results.examinations)
        if each.examination == requirement.examination and (stage is None or each.stage == stage)
    ]


def _passes(
    requirement: ExaminationPassed, world: World, *, stage: str | None, least: Fraction | None
) -> list[date]:
    return [
        each.taken
        for each in attempts_at(requirement, world, stage=stage, least=least)
        if each.is_passed and each.may_count
    ]


def attempts_at(
    requirement: ExaminationPassed, world: World, *, stage: str | None, least: Fraction | None
) -> list[Attempt]:
    """Return the attempts at one stage in order, numbered within their scope."""
    sat = [each for each in _entries(requirement, world, stage) if known(each.outcome) != "booked"]
    by_scope: dict[str | None, list[ExaminationResult]] = {}
    for each in sorted(sat, key=lambda entry: exactly(entry.taken)):
        is_by_application = requirement.attempts_count == "application"
        scope = known(each.application) if is_by_application else None
        by_scope.setdefault(scope, []).append(each)
    return [
        attempt
        for entries in by_scope.values()
        for attempt in _numbered(requirement, entries, least=least)
    ]


def _numbered(
    requirement: ExaminationPassed, entries: list[ExaminationResult], *, least: Fraction | None
) -> list[Attempt]:
    allowed, bar = requirement.attempts, requirement.bar
    numbered: list[Attempt] = []
    for number, entry in enumerate(entries, start=1):
        taken, may_count = exactly(entry.taken), True
        if allowed is not None and number > allowed:
            last_of_block = entries[(number - 1) // allowed * allowed - 1]
            may_count = bar is not None and taken >= after(exactly(last_of_block.taken), bar)
        is_passed = entry.outcome == "passed"
        if least is not None and entry.score is not None:
            is_passed = entry.score >= least
        is_awaiting = entry.outcome == "awaiting"
        numbered.append(Attempt(taken, number, may_count, is_awaiting, is_passed))
    return numbered


def remedial_owed_from(requirement: ExaminationPassed, world: World) -> date | None:
    """Return the day of the failure from which on remedial work is owed."""
    failures = sorted(
        each.taken
        for each in attempts_at(requirement, world, stage=None, least=requirement.least_score)
        if not each.is_passed and not each.is_awaiting
    )
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
