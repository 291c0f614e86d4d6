"""The case for discretion as a letter to the authority."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from comity.brief.typeface import cleaned, has_unshowable
from comity.brief.typesetting import typeset
from comity.brief.wording import wording_of

if TYPE_CHECKING:
    from comity.brief.wording import Wording
    from comity.core.eligibility.discretion import Letter


def letter_pdf(letter: Letter, *, language: str = "en", notice: str = "") -> bytes:
    """Return the letter as a tagged PDF; the same letter gives the same bytes.

    Parameters
    ----------
    letter : Letter
        What is set.
    language : str
        Language of the headings: one of `comity.brief.document.LANGUAGES`.
    notice : str
        A sentence for the foot of every page, for instance that all is fictional.

    Raises
    ------
    ValueError
        In a language that has no wording.
    """
    wording = wording_of(language)
    texts: dict[str, Any] = cleaned(asdict(letter))
    data = {
        **texts,
        "title": texts["subject"] or wording.letter.draft,
        "author": [],
        "language": wording.language,
        "direction": wording.direction,
        "words_language": wording.language,
        "words_direction": wording.direction,
        "day": wording.day(letter.on),
        "notice": cleaned(notice),
        "replaced": wording.replaced if has_unshowable(texts) else "",
        "words": _words(wording),
    }
    return typeset("letter.typ", data=data, on=letter.on)


def _words(wording: Wording) -> dict[str, Any]:
    """Return the fixed words which the template sets."""
    return {**asdict(wording.letter), "page": wording.page, "caution": wording.plain.caution}
