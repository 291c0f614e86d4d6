"""What a file holds to show: who confirmed what, which papers there are, what speaks to a matter.

Only what stands in the file is said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

from comity.core.days.partial import PartialDate
from comity.core.eligibility.view import plain_day
from comity.core.facts.model import Applicant, Paper
from comity.core.facts.sections import entries_of
from comity.core.rulebook.phrases import closed, together

_NAMES: Final = ("employer", "title", "test", "institution", "authority", "how", "kind", "note")
_SPOKEN: Final = ("practice", "updating", "education", "qualifications", "papers")
_WITHOUT_EVIDENCE: Final = {"person", "papers", "reviews", "progress", "payments", "declarations"}
_WORD: Final = re.compile(r"[a-z]{5,}")
_SAYS_LITTLE: Final = frozenset(
    {"about", "practice", "practise", "their", "there", "these", "those", "which", "where"}
    | {"other", "anything", "applicant", "years", "months", "under", "within", "after", "before"}
)


def work_now(applicant: Applicant) -> Iterator[str]:
    """Yield a sentence for each post that goes on."""
    for spell in applicant.facts.practice or ():
        if spell.end is None or not spell.end.is_open:
            continue
        parts = [f"I work at {spell.employer}" if spell.employer else "I am in practice"]
        if spell.title:
            parts.append(f"as {spell.title}")
        if spell.hours_a_week is not None:
            parts.append(f"for {spell.hours_a_week / 60:g} hours a week")
        if spell.start is not None:
            parts.append(f"since {day_words(spell.start)}")
        yield f"{' '.join(parts)}, and go on."


def day_words(date: PartialDate) -> str:
    """Return a partly known date as people read it."""
    return plain_day(date.earliest) if date.is_exact else str(date)


def speaking_entries(matter: str, applicant: Applicant) -> tuple[str, ...]:
    """Return the entries of the file whose own words name a matter, each in a few words.

    Only a word of some length that both share counts; what an entry means is not guessed.
    """
    wanted = _words(matter)
    return tuple(
        name_of(entry)
        for section in _SPOKEN
        for entry in entries_of(applicant, section) or ()
        if wanted & _words(_text_of(entry))
    )


def _words(text: str) -> frozenset[str]:
    return frozenset(_WORD.findall(text.casefold())) - _SAYS_LITTLE


def _text_of(entry: Any) -> str:  # noqa: ANN401 - an entry of any section
    fields = ("title", "setting", "how", "category", "kind", "note")
    return " ".join(str(getattr(entry, name, None) or "") for name in fields)


def name_of(entry: Any) -> str:  # noqa: ANN401 - an entry of any section
    """Return an entry in a few words, with its days where it has some."""
    name = next((str(found) for key in _NAMES if (found := getattr(entry, key, None))), entry.id)
    of = getattr(entry, "of", None)
    days = [
        day_words(date)
        for key in ("start", "end", "completed", "issued", "taken", "earned")
        if isinstance(date := getattr(entry, key, None), PartialDate) and not date.is_open
    ]
    whole = f"{of}, {name}" if of else name
    return f"{whole} ({' to '.join(days)})" if days else whole


def how_known(applicant: Applicant, sections: Sequence[str]) -> Iterator[str]:
    """Yield what has been confirmed by its issuer, and what a paper shows."""
    for evidence, opening in (
        ("confirmed", "Confirmed by those who issued it"),
        ("seen", "Shown by papers"),
    ):
        names = [
            name_of(entry)
            for section in sections
            if section not in _WITHOUT_EVIDENCE
            for entry in entries_of(applicant, section) or ()
            if entry.evidence == evidence
        ]
        if names:
            yield f"{opening}: {together(names)}."


def papers_for(applicant: Applicant, sections: Sequence[str]) -> tuple[str, ...]:
    """Return the papers that show the facts of some sections, each with its id."""
    wanted = {
        paper
        for section in sections
        for entry in entries_of(applicant, section) or ()
        for paper in entry.papers
    }
    at_hand = [paper for paper in applicant.papers or () if paper.status != "requested"]
    return tuple(
        paper_words(paper) for paper in at_hand if paper.id in wanted or "papers" in sections
    )


def paper_words(paper: Paper) -> str:
    """Return a paper with its form and its id."""
    parts = [paper.kind]
    if paper.form:
        parts.append(paper.form)
    if paper.issued:
        parts.append(f"issued {day_words(paper.issued)}")
    if paper.translated_into:
        parts.append(f"translated into {together(paper.translated_into)}")
    return f"{', '.join(parts)} [{paper.id}]"


def missing_papers(
    applicant: Applicant, sections: Sequence[str], to_prepare: Sequence[str]
) -> Iterator[str]:
    """Yield what still has to be got: papers asked for, papers wanted, facts no paper shows."""
    requested = [paper.kind for paper in applicant.papers or () if paper.status == "requested"]
    if requested:
        yield f"Asked for and not yet here: {together(requested)}."
    for thing in to_prepare:
        yield f"To be prepared and attached: {closed(thing)}"
    stated = [
        name_of(entry)
        for section in sections
        if section not in _WITHOUT_EVIDENCE
        for entry in entries_of(applicant, section) or ()
        if entry.evidence == "stated" and not entry.papers
    ]
    if stated:
        yield f"No paper on file shows: {together(stated)}. Attach one where you can."
