"""What is wrong with an applicant file taken as a whole: ids that stand twice or point nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from difflib import get_close_matches

from comity.core.declaring import Complaint
from comity.core.facts.model import Applicant, Entry, Person

Path = tuple[str | int, ...]


def check_applicant(applicant: Applicant) -> Iterator[Complaint]:
    """Yield each id that stands a second time in its list, and each paper that is not listed."""
    known = {paper.id for paper in applicant.papers or ()}
    lists = tuple(_lists(applicant))
    for path, entries in lists:
        yield from _doubles(path, entries)
    if applicant.papers is None:
        return
    yield from _unlisted(applicant.facts.person, ("facts", "person"), known)
    for path, entries in lists:
        for index, entry in enumerate(entries):
            yield from _unlisted(entry, (*path, index), known)


def _lists(applicant: Applicant) -> Iterator[tuple[Path, tuple[Entry, ...]]]:
    """Yield every list of entries with its path."""
    holders: tuple[tuple[Path, object], ...] = (
        ((), applicant),
        (("facts",), applicant.facts),
        (("results",), applicant.results),
    )
    for path, holder in holders:
        for field in fields(holder):  # type: ignore[arg-type]  # (each of them is a dataclass)
            value = getattr(holder, field.name)
            if isinstance(value, tuple) and all(isinstance(each, Entry) for each in value):
                yield (*path, field.name), value


def _doubles(path: Path, entries: tuple[Entry, ...]) -> Iterator[Complaint]:
    first: dict[str, int] = {}
    for index, entry in enumerate(entries):
        if entry.id in first:
            yield Complaint(
                "F311",
                (*path, index, "id"),
                "the id stands twice in the list",
                expected="an id of its own for each entry",
                related=(((*path, first[entry.id], "id"), "the first one"),),
            )
        first.setdefault(entry.id, index)


def _unlisted(holder: Entry | Person, path: Path, known: set[str]) -> Iterator[Complaint]:
    for index, paper in enumerate(holder.papers):
        if paper not in known:
            meant = get_close_matches(paper, sorted(known), n=1)
            yield Complaint(
                "F312",
                (*path, "papers", index),
                "no paper with this id is listed under papers",
                expected="the id of a paper",
                hint=f"did you mean {meant[0]}?" if meant else "list it there with its kind",
            )
