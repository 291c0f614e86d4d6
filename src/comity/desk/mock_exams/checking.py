"""What is wrong with a text of items or of a model, as the editor shows it while one writes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from comity.core.exam.item_models import NoItemError, item_of_seed
from comity.core.problems import sorted_by_place
from comity.files.item_bank import read_bank, warnings_of
from comity.files.item_models import load_item_models

if TYPE_CHECKING:
    from comity.core.exam.item_models import GeneratedItem
    from comity.core.problems import Problem


@dataclass(frozen=True, slots=True)
class Found:
    """A problem with the line it stands in; `number` and `column` are 0 where it has none."""

    problem: Problem
    line: str
    number: int
    column: int


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found in a text.

    `n_items` counts the items that could be read; `sample` is one that the model draws.
    """

    problems: tuple[Found, ...]
    n_items: int | None = None
    sample: GeneratedItem | None = None

    @property
    def n_errors(self) -> int:
        """How many things have to be mended before it can be saved."""
        return sum(each.problem.severity == "error" for each in self.problems)

    @property
    def says(self) -> str:
        """What was found, in a sentence."""
        n_warnings = len(self.problems) - self.n_errors
        if self.n_errors:
            said = ngettext("{n} thing to mend.", "{n} things to mend.", self.n_errors)
            return said.format(n=self.n_errors)
        if n_warnings:
            said = ngettext(
                "Nothing to mend, {n} thing to look at.",
                "Nothing to mend, {n} things to look at.",
                n_warnings,
            )
            return said.format(n=n_warnings)
        return _("Nothing to mend.")


def checked_bank(text: str) -> Checked:
    """Return what is wrong with a bank's text, and what about its writing is worth a look."""
    loaded = read_bank(text, "bank.yaml")
    problems = sorted_by_place((*loaded.problems, *warnings_of(loaded)))
    n_items = None if loaded.value is None else len(loaded.value.items)
    return Checked(_found(problems, text), n_items)


def checked_model(text: str) -> Checked:
    """Return what is wrong with a model's text, and an item that it draws."""
    loaded = load_item_models({"model.yaml": text})
    sample = None
    if loaded.models:
        try:
            sample = item_of_seed(loaded.models[0], 1)
        except NoItemError:
            sample = None
    return Checked(_found(loaded.problems, text), sample=sample)


def _found(problems: tuple[Problem, ...], text: str) -> tuple[Found, ...]:
    lines = text.splitlines()
    found = []
    for problem in problems:
        place = problem.place
        if place is None or not 0 < place.line <= len(lines):
            found.append(Found(problem, "", 0, 0))
        else:
            found.append(Found(problem, lines[place.line - 1].strip(), place.line, place.column))
    return tuple(found)
