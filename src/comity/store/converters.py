"""From rows to the values of the core, and back: a row holds the text, the core its meaning."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from typing import TYPE_CHECKING

from comity.core.problems import Problem, has_errors
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts
from comity.files.yaml import read_text
from comity.store.errors import UnreadableError

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition
    from comity.files.applicants import LoadedApplicant
    from comity.files.rulebooks import LoadedRulebooks
    from comity.store.models import Case, StoredEdition


def applicant_of(case: Case) -> Applicant:
    """Return what is known of a case's applicant.

    Raises
    ------
    UnreadableError
        When this version cannot read what an older one kept.
    """
    return sound_applicant(case.document, file_of(case))


def loaded_of(case: Case) -> LoadedApplicant:
    """Return a case's file as read, with the places of its values and what is wrong with it."""
    return loaded(case.document, file_of(case))


def file_of(case: Case) -> str:
    """Return what a case's file is called in problems."""
    return f"{case.reference}.yaml"


def loaded(text: str, file: str) -> LoadedApplicant:
    """Return a text read as an applicant file; read again, it is the same value."""
    return _loaded(text, file)


@lru_cache(maxsize=256)
def _loaded(text: str, file: str) -> LoadedApplicant:
    return read_applicant(text, file)


def sound_applicant(text: str, file: str) -> Applicant:
    """Return the applicant of a text.

    Raises
    ------
    UnreadableError
        With every problem, when there is one that stops the work.
    """
    found = loaded(checked_text(text, file), file)
    if found.applicant is None or not found.is_sound:
        raise UnreadableError(found.problems, text)
    return found.applicant


def checked_text(text: str, file: str) -> str:
    """Return a text that a file could hold.

    Raises
    ------
    UnreadableError
        For signs that no file may hold.
    """
    clean, problems = read_text(text, file)
    if problems:
        raise UnreadableError(problems, text)
    return clean


def digest_of(text: str) -> str:
    """Return the SHA-256 of a text, in hexadecimal digits."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


# ----------------------------------------------------------------------------------- editions


def edition_file(authority: str, edition: str) -> str:
    """Return what an edition's file is called in problems and in exports."""
    return f"{authority}/{edition}.yaml"


def file_of_edition(stored: StoredEdition) -> str:
    """Return what a stored edition's file is called."""
    return edition_file(stored.authority, stored.edition)


def loaded_edition(text: str, file: str) -> LoadedRulebooks:
    """Return one edition's text as read, with all that is wrong with it."""
    return load_rulebook_texts({file: text})


def edition_in(text: str, file: str = "edition.yaml") -> tuple[Edition, tuple[Problem, ...]]:
    """Return the edition that stands in a text, with what is wrong with it.

    Raises
    ------
    UnreadableError
        When so little can be read that nobody can tell whose edition it is.
    """
    found = loaded_edition(checked_text(text, file), file)
    if not found.files:
        raise UnreadableError(found.problems, text)
    return found.files[0].edition, found.problems


def is_sound(problems: tuple[Problem, ...]) -> bool:
    """Tell whether no problem stops the work; warnings do not."""
    return not has_errors(problems)
