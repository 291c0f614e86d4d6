"""The words of the rulebooks that forms offer for facts."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.rulebook.model import Edition
    from comity.service.casework import Casework


def offers_of(casework: Casework) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return the words to offer on forms, by section and field."""
    vocabulary = casework.vocabulary
    found = {
        fact: tuple((word, vocabulary.named(word)) for word in words)
        for fact, words in vocabulary.words.items()
    }
    found["declarations"] = tuple(vocabulary.declarations.items())
    editions = [edition for rulebook in casework.rulebooks for edition in rulebook.editions]
    found["progress/milestone"] = tuple(dict.fromkeys(_milestones(editions)))
    return found


def _milestones(editions: Sequence[Edition]) -> Iterator[tuple[str, str]]:
    for edition in editions:
        for title in edition.titles:
            for each in title.milestones:
                path = f"{edition.authority.id}/{title.id}/{each.id}"
                yield path, f"{each.label} ({title.name}, {edition.authority.name})"
