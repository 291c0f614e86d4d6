"""Editions as the pages need them: found, read, checked beside the others of their authority."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final
from zoneinfo import available_timezones

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from comity.core.problems import has_errors, sorted_by_place
from comity.desk import clock
from comity.files.rulebooks import load_rulebook_texts
from comity.service.rulebooks import failed_cases
from comity.store.converters import edition_in, file_of_edition, loaded_edition
from comity.store.errors import UnreadableError
from comity.store.models import StoredEdition

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.problems import Problem
    from comity.core.rulebook.model import Edition
    from comity.files.rulebooks import LoadedRulebooks

_UNNAMED: Final = "edition.yaml"


@dataclass(frozen=True, slots=True)
class Shown:
    """A problem with the line it stands in; the line is empty where it is not in this text."""

    problem: Problem
    line: str
    column: int

    @property
    def number(self) -> int:
        """The number of the line, from 1; 0 where it has none here."""
        place = self.problem.place
        return place.line if place is not None and self.column else 0


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found in one edition's text.

    `n_cases` counts the worked cases that were run; None where they were not.
    """

    problems: tuple[Shown, ...]
    edition: Edition | None = None
    n_cases: int | None = None

    @property
    def n_errors(self) -> int:
        """How many things have to be mended before it can be put in force."""
        return sum(each.problem.severity == "error" for each in self.problems)

    @property
    def n_warnings(self) -> int:
        """How many things are worth a look."""
        return len(self.problems) - self.n_errors

    @property
    def is_sound(self) -> bool:
        """Whether it can be put in force."""
        return self.edition is not None and not self.n_errors

    @property
    def says(self) -> str:
        """What was found, in a sentence."""
        if self.n_errors:
            found = ngettext("{n} thing to mend", "{n} things to mend", self.n_errors)
        elif self.n_warnings:
            found = ngettext(
                "Nothing to mend, {n} thing to look at",
                "Nothing to mend, {n} things to look at",
                self.n_warnings,
            )
        else:
            found = _("Nothing to mend")
        said = found.format(n=self.n_errors or self.n_warnings)
        if self.n_cases is None:
            return f"{said}."
        ran = ngettext("{n} worked case was run", "{n} worked cases were run", self.n_cases)
        return f"{said}; {ran.format(n=self.n_cases)}."


def stored(authority: str, edition: str) -> StoredEdition:
    """Return a stored edition.

    Raises
    ------
    Http404
        When there is none.
    """
    return get_object_or_404(
        StoredEdition.objects.select_related("changed_by"), authority=authority, edition=edition
    )


def read(edition: StoredEdition) -> Edition | None:
    """Return what an edition says; None while it cannot be read."""
    found = loaded_edition(edition.text, file_of_edition(edition))
    return found.files[0].edition if found.files else None


def checked(text: str, *, runs_cases: bool) -> Checked:
    """Return what is wrong with an edition's text, beside what is in force of its authority.

    Worked cases are run when asked for, and only once nothing else has to be mended: before that
    their answers would mean nothing.
    """
    try:
        edition, problems = edition_in(text, _UNNAMED)
    except UnreadableError as error:
        return Checked(_shown(error.problems, text, file=_UNNAMED))
    authority = edition.authority.id
    file = f"{authority}/{edition.rulebook}.yaml"
    today = clock.today_at(_zone(edition))
    loaded = load_rulebook_texts({**_in_force(authority), file: text}, today=today)
    problems = loaded.problems
    n_cases = None
    if runs_cases and not has_errors(problems):
        problems = sorted_by_place((*problems, *failed_cases(_only(loaded, file))))
        n_cases = len(edition.cases)
    mine = tuple(each for each in problems if each.place is None or each.place.file == file)
    others = tuple(each for each in problems if each not in mine and each.severity == "error")
    return Checked(_shown((*mine, *others), text, file=file), edition, n_cases)


def _zone(edition: Edition) -> str | None:
    """Return the authority's time zone; none where it is one that nobody knows."""
    zone = edition.authority.time_zone
    return zone if zone in available_timezones() else None


def _in_force(authority: str) -> Mapping[str, str]:
    rows = StoredEdition.objects.filter(
        authority=authority, state=StoredEdition.State.IN_FORCE
    ).order_by("edition")
    return {file_of_edition(row): row.text for row in rows}


def _only(loaded: LoadedRulebooks, file: str) -> LoadedRulebooks:
    return replace(loaded, files=tuple(each for each in loaded.files if each.file == file))


def _shown(problems: tuple[Problem, ...], text: str, *, file: str) -> tuple[Shown, ...]:
    lines = text.splitlines()
    found = []
    for problem in problems:
        place = problem.place
        is_here = place is not None and place.file == file and 0 < place.line <= len(lines)
        line = lines[place.line - 1] if place is not None and is_here else ""
        column = place.column if place is not None and is_here else 0
        found.append(Shown(problem, line.strip(), column))
    return tuple(found)
