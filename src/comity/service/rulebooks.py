"""Rulebooks checked, shown and compared: what command line and desk do with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from comity.core.days.calendar import iso
from comity.core.eligibility.assess import assess
from comity.core.facts.model import Applicant
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.core.rulebook.diff import changes
from comity.core.rulebook.editions import title_of
from comity.core.rulebook.model import Edition, Rulebook
from comity.core.rulebook.prose_editions import sections
from comity.files.rulebooks import EditionFile, LoadedRulebooks, load_rulebooks
from comity.files.schema import json_schema

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment, RequirementResult
    from comity.core.rulebook.diff import Change
    from comity.core.rulebook.model import Case


@dataclass(frozen=True, slots=True)
class CheckedRulebooks:
    """What a check found, and how much it looked at."""

    loaded: LoadedRulebooks
    problems: tuple[Problem, ...]

    @property
    def is_sound(self) -> bool:
        """Whether nothing has to be mended."""
        return not has_errors(self.problems)

    @property
    def n_cases(self) -> int:
        """How many worked cases stand in the files."""
        return sum(len(each.edition.cases) for each in self.loaded.files)


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed between two editions, or why they cannot be compared."""

    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]
    texts: Mapping[str, str]
    editions: tuple[Edition, Edition] | None = None


# ------------------------------------------------------------------------------------- check


def check(paths: Iterable[Path], *, today: Day) -> CheckedRulebooks:
    """Return what is wrong with the rulebooks below some paths; worked cases are run.

    With errors in the files themselves no case is run: its answer would mean nothing.
    """
    loaded = load_rulebooks(paths, today=today)
    failed = tuple(failed_cases(loaded)) if loaded.is_sound else ()
    return CheckedRulebooks(loaded, sorted_by_place((*loaded.problems, *failed)))


def failed_cases(loaded: LoadedRulebooks) -> Iterator[Problem]:
    """Yield a problem for each verdict of a worked case that is not the one expected."""
    rulebooks = {each.authority.id: each for each in loaded.rulebooks}
    for file in loaded.files:
        rulebook = rulebooks[file.edition.authority.id]
        for index, case in enumerate(file.edition.cases):
            if title_of(file.edition, case.title) is not None:
                place = _CasePlace(file, index)
                if case.expect is not None or case.requirements:
                    yield from _failures(_answer(case, rulebook), case, place)
                yield from _planned_otherwise(case, rulebook, place)


@dataclass(frozen=True, slots=True)
class _CasePlace:
    """Where a case stands."""

    file: EditionFile
    index: int

    def of(self, *steps: str) -> Place:
        """Return the place of a value of the case."""
        return self.file.place_of(("cases", self.index, *steps))


def _answer(case: Case, rulebook: Rulebook) -> Assessment:
    today = case.on if case.today is None else case.today
    return assess(case.applicant, rulebook, title=case.title, on=case.on, today=today)


def _failures(answer: Assessment, case: Case, place: _CasePlace) -> Iterator[Problem]:
    if case.expect is not None and answer.verdict != case.expect:
        yield _failure(case, place.of("expect"), got=_whole(answer), expected=case.expect)
    verdicts = dict(_verdicts(answer.requirements))
    for name, expected in case.requirements.items():
        found = verdicts.get(name)
        if found is None:
            got = "not asked of this applicant"
            yield _failure(case, place.of("requirements", name), got=got, expected=expected)
        elif found.verdict != expected:
            got = f"{found.verdict}{_because(found)}"
            yield _failure(case, place.of("requirements", name), got=got, expected=expected)


def _planned_otherwise(case: Case, rulebook: Rulebook, place: _CasePlace) -> Iterator[Problem]:
    if not case.plan:
        return
    from comity.service.planned_cases import wrong_days  # noqa: PLC0415 - planning loads slowly

    for milestone, got, expected in wrong_days(case, rulebook):
        yield Problem(
            "P114",
            f"the worked case {case.id} is planned for another day",
            place=place.of("plan", milestone),
            got=got,
            expected=expected,
            hint="count the steps' times, waits and sittings again; one of them is wrong",
        )


def _failure(case: Case, place: Place, *, got: str, expected: str) -> Problem:
    return Problem(
        "R150",
        f"the worked case {case.id} gives another answer on {iso(case.on)}",
        place=place,
        got=got,
        expected=expected,
        hint="compare the case and the requirement with the authority's text; one of them is wrong",
    )


def _whole(answer: Assessment) -> str:
    if not answer.requirements:
        return str(answer.verdict)
    deciding = answer.requirements[0]
    return f"{answer.verdict}, decided by {deciding.id.rsplit('/', 1)[-1]}{_because(deciding)}"


def _because(result: RequirementResult) -> str:
    return f" ({result.reason.rstrip('.')})" if result.reason else ""


def _verdicts(results: Iterable[RequirementResult]) -> Iterator[tuple[str, RequirementResult]]:
    """Yield the results by the requirement's own id, those of parts included."""
    for result in results:
        yield result.id.rsplit("/", 1)[-1], result
        yield from _verdicts(result.children)


# -------------------------------------------------------------------------------------- show


def shown(edition: Edition) -> dict[str, Any]:
    """Return an edition in sentences, as plain data."""
    return {
        "authority": edition.authority.id,
        "edition": edition.rulebook,
        "wholly_read": edition.wholly_read,
        "fictional": edition.fictional,
        "sections": [
            {
                "heading": section.heading,
                "title": section.title or None,
                "lines": [
                    {
                        "number": line.number or None,
                        "depth": line.depth,
                        "id": line.id or None,
                        "text": line.text,
                    }
                    for line in section.lines
                ],
            }
            for section in sections(edition)
        ],
    }


# -------------------------------------------------------------------------------------- diff


def compare(old: Path, new: Path) -> Comparison:
    """Return what changed from one edition to another, each in its own file."""
    loaded = [load_rulebooks((path,)) for path in (old, new)]
    texts = {**loaded[0].texts, **loaded[1].texts}
    problems = [problem for each in loaded for problem in each.problems]
    for path, each in zip((old, new), loaded, strict=True):
        if len(each.files) > 1:
            problems.append(_several(path, each))
    problems = list(dict.fromkeys(problems))
    if has_errors(problems):
        return Comparison((), sorted_by_place(problems), texts)
    before, after = (each.files[0] for each in loaded)
    if before.edition.authority.id != after.edition.authority.id:
        problems.append(_strangers(before, after))
        return Comparison((), sorted_by_place(problems), texts)
    editions = before.edition, after.edition
    return Comparison(changes(*editions), sorted_by_place(problems), texts, editions)


def _several(path: Path, loaded: LoadedRulebooks) -> Problem:
    return Problem(
        "R109",
        "one edition is compared with one other",
        place=Place(str(path), 0, 0),
        got=f"{len(loaded.files)} editions",
        expected="the file of one edition",
        hint=f"e.g. {loaded.files[0].file}",
    )


def _strangers(before: EditionFile, after: EditionFile) -> Problem:
    path = ("authority", "id")
    return Problem(
        "R110",
        "the two editions are of different authorities",
        place=after.place_of(path),
        got=f"'{after.edition.authority.id}'",
        expected=f"'{before.edition.authority.id}'",
        hint="compare editions of one authority; across authorities, assess an applicant instead",
        related=((before.place_of(path), "the other edition"),),
    )


def change_as_json(change: Change) -> dict[str, Any]:
    """Return a change as plain data."""
    return {
        "sort": change.sort,
        "title": change.title or None,
        "requirement": change.requirement or None,
        "path": list(change.path),
        "sentence": change.sentence,
    }


# ------------------------------------------------------------------------------------ schema


def rulebook_schema() -> dict[str, Any]:
    """Return the JSON Schema of rulebook files."""
    return json_schema(Edition, title="Rulebook file")


def applicant_schema() -> dict[str, Any]:
    """Return the JSON Schema of applicant files."""
    return json_schema(Applicant, title="Applicant file")
