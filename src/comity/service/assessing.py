"""Applicants assessed against rulebooks: what command line and desk do with them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assess import assess
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.files.applicants import LoadedApplicant, doubts_about, load_applicant
from comity.files.rulebooks import LoadedRulebooks, load_rulebooks

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment, Assumption
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

TodayAt = Callable[[str | None], Day]
"""The day it is, at the seat of an authority in a time zone."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """The files of a question, read."""

    applicants: tuple[LoadedApplicant, ...]
    loaded: LoadedRulebooks
    problems: tuple[Problem, ...]

    @property
    def texts(self) -> dict[str, str]:
        """What stood in the files, by their names."""
        return {**self.loaded.texts, **{each.file: each.text for each in self.applicants}}

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)

    @property
    def rulebooks(self) -> tuple[Rulebook, ...]:
        """The rulebooks, one an authority."""
        return self.loaded.rulebooks


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of the files.

    Parameters
    ----------
    on : Day or None
        The day of submission; None for today at the authority's seat.
    title : str or None
        Id of a title, or authority/title; None for all.
    assumption : str
        ``continues`` or ``stops``.
    confirmed_only : bool
        Count only confirmed facts.
    """

    on: Day | None = None
    title: str | None = None
    assumption: Assumption = "continues"
    confirmed_only: bool = False


def read_inputs(
    applicants: Iterable[Path], rulebooks: Iterable[Path], *, today: Day, title: str | None = None
) -> Inputs:
    """Return the files read, with everything that is wrong in any of them.

    Of applicants what can hardly be meant is told, too, as warnings.
    """
    files = tuple(load_applicant(path) for path in applicants)
    loaded = read_rulebooks(rulebooks, today=today, title=title)
    problems = [problem for each in files for problem in each.problems]
    problems += repeated_applicants(files)
    problems += [doubt for each in files for doubt in doubts_about(each, today=today)]
    return Inputs(files, loaded, sorted_by_place((*problems, *loaded.problems)))


def read_rulebooks(
    rulebooks: Iterable[Path], *, today: Day, title: str | None = None
) -> LoadedRulebooks:
    """Return rulebooks read, with what is wrong in them; a title none of them has is wrong, too.

    Warnings are for those who write rulebooks and are left out.
    """
    loaded = load_rulebooks(rulebooks, today=today)
    problems = [problem for problem in loaded.problems if problem.severity == "error"]
    if title is not None and loaded.is_sound:
        problems += _unknown_title(title, loaded.rulebooks)
    return replace(loaded, problems=tuple(problems))


def repeated_applicants(files: Sequence[LoadedApplicant]) -> list[Problem]:
    """Return a problem for each file whose applicant has been read from another one."""
    seen: dict[str, LoadedApplicant] = {}
    problems = []
    for each in files:
        if each.applicant is None:
            continue
        first = seen.setdefault(each.applicant.applicant, each)
        if first is not each and Path(first.file).resolve() != Path(each.file).resolve():
            problems.append(
                Problem(
                    "E101",
                    "two files have the same applicant id",
                    place=each.places.get(("applicant",), Place(each.file)),
                    got=repr(each.applicant.applicant),
                    expected="an id of its own for every applicant",
                    hint="give one of the two another id, or name the file once",
                    related=((first.places.get(("applicant",), Place(first.file)), "the first"),),
                )
            )
    return problems


def _unknown_title(title: str, rulebooks: Sequence[Rulebook]) -> list[Problem]:
    known = [name for rulebook in rulebooks for name in _names(rulebook)]
    if any(title in names for names in known):
        return []
    all_names = sorted({name for names in known for name in names})
    close = get_close_matches(title, all_names, n=1)
    return [
        Problem(
            "E102",
            "no rulebook has this title",
            got=repr(title),
            expected=f"one of {', '.join(sorted({names[0] for names in known}))}",
            hint=f"did you mean {close[0]!r}?" if close else "leave --title out to see all titles",
        )
    ]


def _names(rulebook: Rulebook) -> list[tuple[str, str]]:
    return [(title, f"{rulebook.authority.id}/{title}") for title in rulebook.titles()]


def assess_all(inputs: Inputs, asked: Asked, *, today_at: TodayAt) -> tuple[Assessment, ...]:
    """Return the assessments of all applicants against all titles asked for, in file order."""
    return tuple(
        _assessed(each.applicant, rulebook, title, asked=asked, today_at=today_at)
        for each in inputs.applicants
        if each.applicant is not None
        for rulebook, title in titles_asked(inputs.rulebooks, asked.title)
    )


def titles_asked(
    rulebooks: Iterable[Rulebook], title: str | None
) -> tuple[tuple[Rulebook, str], ...]:
    """Return the titles asked for, each with its rulebook."""
    return tuple(
        (rulebook, names[0])
        for rulebook in rulebooks
        for names in _names(rulebook)
        if title is None or title in names
    )


def _assessed(
    applicant: Applicant, rulebook: Rulebook, title: str, *, asked: Asked, today_at: TodayAt
) -> Assessment:
    today = today_at(rulebook.authority.time_zone)
    return assess(
        applicant,
        rulebook,
        title=title,
        on=today if asked.on is None else asked.on,
        today=today,
        assumption=asked.assumption,
        confirmed_only=asked.confirmed_only,
    )


def day_or_null(day: Day | None) -> str | None:
    """Return a day as ISO 8601, None where it is open."""
    return None if day is None else iso(day)
