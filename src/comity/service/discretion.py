"""Cases for discretion: drafted from the files, as a PDF or as text."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from comity.core.eligibility.discretion import Case, Letter, case_for_discretion
from comity.core.eligibility.view import plain_day
from comity.service.assessing import Asked, Inputs, TodayAt, assess_all, titles_asked

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

FICTIONAL: Final = "Invented for demonstration: no such authority, rule or person exists."
_WIDTH: Final = 88


def case_of(
    inputs: Inputs, asked: Asked, *, title: tuple[Rulebook, str], today_at: TodayAt
) -> Case:
    """Return the case of the first applicant for one title."""
    applicant = _applicant(inputs)
    rulebook, name = title
    one = replace(asked, title=f"{rulebook.authority.id}/{name}")
    assessment = assess_all(inputs, one, today_at=today_at)[0]
    return case_for_discretion(assessment, applicant=applicant, rulebook=rulebook)


def titles_of(inputs: Inputs, asked: Asked) -> tuple[tuple[Rulebook, str], ...]:
    """Return the titles that were asked for; a letter is about one."""
    return titles_asked(inputs.rulebooks, asked.title)


def _applicant(inputs: Inputs) -> Applicant:
    applicant = inputs.applicants[0].applicant
    if applicant is None:
        msg = "a case needs a file that was read without errors"
        raise ValueError(msg)
    return applicant


def notice_for(rulebook: Rulebook) -> str:
    """Return what must stand at the foot of every page."""
    return FICTIONAL if any(edition.fictional for edition in rulebook.editions) else ""


def letter_text(letter: Letter, *, notice: str = "") -> str:
    """Return a letter as plain text."""
    return "\n".join(line.rstrip() for line in _lines(letter, notice)) + "\n"


def _lines(letter: Letter, notice: str) -> Iterator[str]:
    yield from (*letter.sender, "", *letter.to, "", plain_day(letter.on), "")
    yield from (letter.subject, "=" * len(letter.subject))
    for paragraph in letter.facts:
        yield from ("", *textwrap.wrap(paragraph, _WIDTH))
    yield from _headed("The requirements concerned", _rows(letter))
    yield from _headed("What speaks for discretion", _listed(letter.speaks_for))
    yield from _headed("Papers attached", _listed(letter.papers))
    yield from ("", "", "Date and signature: ______________________")
    yield from ("", "-" * _WIDTH, "Before you send this (not part of the letter)", "")
    yield from _listed(letter.cautions)
    if notice:
        yield from ("", notice)


def _headed(heading: str, lines: Sequence[str]) -> Iterator[str]:
    if lines:
        yield from ("", heading, "-" * len(heading), *lines)


def _rows(letter: Letter) -> list[str]:
    found: list[str] = []
    for row in letter.rows:
        said = [f"asked for: {row.needed}"]
        said += [f"held: {row.has}"] if row.has else []
        said += [f"short by: {row.shortfall}"] if row.shortfall else []
        found += _listed([f"{row.label}; {'; '.join(said)} ({row.source})"])
    return found


def _listed(sentences: Sequence[str]) -> list[str]:
    return [
        line
        for sentence in sentences
        for line in textwrap.wrap(
            sentence, _WIDTH, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False
        )
    ]
