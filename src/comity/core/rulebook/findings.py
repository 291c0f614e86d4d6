"""What a check of editions finds, and where: an edition's index and a path inside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import NamedTuple

from comity.core.problems import Severity
from comity.core.rulebook.editions import Listed, everything_in
from comity.core.rulebook.model import Edition, Title

Path = tuple[str | int, ...]


class Related(NamedTuple):
    """The other place of a conflict, with a word on what stands there."""

    edition: int
    path: Path
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to mend; `edition` is the index of the edition in which it stands."""

    code: str
    path: Path
    message: str
    edition: int = 0
    severity: Severity = "error"
    got: str = ""
    expected: str = ""
    hint: str = ""
    related: tuple[Related, ...] = ()


class Placed(NamedTuple):
    """A title of an edition with its path."""

    title: Title
    path: Path


def titles_of(edition: Edition) -> Iterator[Placed]:
    """Yield the titles of an edition, each with its path."""
    for index, title in enumerate(edition.titles):
        yield Placed(title, ("titles", index))


def all_listed(edition: Edition) -> Iterator[tuple[Placed, Listed, Path]]:
    """Yield every requirement of an edition with its title and its path from the edition."""
    for placed in titles_of(edition):
        for listed in everything_in(placed.title):
            yield placed, listed, (*placed.path, *listed.path)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return a hint that names the known word nearest to one that is not known."""
    names = sorted(set(known))
    close = get_close_matches(word, names, n=1)
    if close:
        return f"did you mean {close[0]}?"
    return f"known here: {', '.join(names)}" if names else ""
