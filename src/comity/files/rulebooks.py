"""Rulebooks from a path: one edition, an authority's folder, or a folder of folders."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import partial
from typing import TYPE_CHECKING, Final
from zoneinfo import available_timezones

from comity.core.facts.model import Applicant
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.core.rulebook.checks import check_editions
from comity.core.rulebook.editions import ordered
from comity.core.rulebook.kinds.every import KINDS
from comity.core.rulebook.model import Edition, Rulebook
from comity.files.looking_past import problems_past
from comity.files.reading import place_of, read
from comity.files.yaml import read_text, read_tree

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.core.rulebook.findings import Finding
    from comity.files.reading import Reading

SUFFIXES: Final = (".yaml", ".yml")
SORTS: Final = {"a rulebook": Edition, "an applicant file": Applicant}
N_KINDS: Final = len(KINDS)
"""How many kinds the reader knows; counting them here makes sure that all were imported."""

_ZONE_PATH: Final = ("authority", "time_zone")


@dataclass(frozen=True, slots=True)
class EditionFile:
    """An edition with the file it stands in and the place of each of its values."""

    file: str
    edition: Edition
    places: Mapping[tuple[str | int, ...], Place]

    def place_of(self, path: tuple[str | int, ...]) -> Place:
        """Return the place of a value, or of the nearest value that holds it."""
        return place_of(path, self.places) or Place(self.file)


@dataclass(frozen=True, slots=True)
class LoadedRulebooks:
    """What stood in the files.

    Parameters
    ----------
    rulebooks : tuple of Rulebook
        One an authority, in the order of their ids; editions oldest first. With errors among
        the problems they serve for checking only.
    files : tuple of EditionFile
        The editions with their places, in the same order.
    problems : tuple of Problem
        By place.
    texts : mapping
        From files to what stands in them, to show problems.
    """

    rulebooks: tuple[Rulebook, ...]
    files: tuple[EditionFile, ...]
    problems: tuple[Problem, ...]
    texts: Mapping[str, str]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work; warnings do not."""
        return not has_errors(self.problems)


@dataclass(slots=True)
class _Shelf:
    """What has been read so far."""

    files: list[EditionFile] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)


def load_rulebooks(paths: Iterable[Path], *, today: Day | None = None) -> LoadedRulebooks:
    """Return all rulebooks that stand below some paths, checked.

    Parameters
    ----------
    paths : iterable of Path
        Each an edition, an authority's folder, or a folder of them; a file named twice is read
        once.
    today : Day, optional
        The day by which an edition may have become stale; None looks at no staleness.
    """
    shelf = _Shelf()
    for path in _files_below(paths, shelf):
        text, problems = read_text(path, str(path))
        _put(shelf, text, file=str(path), problems=problems)
    return _loaded(shelf, today)


def load_rulebook_texts(texts: Mapping[str, str], *, today: Day | None = None) -> LoadedRulebooks:
    """Return the rulebooks that stand in texts, given by the names of their files."""
    shelf = _Shelf()
    for file, source in texts.items():
        text, problems = read_text(source, file)
        _put(shelf, text, file=file, problems=problems)
    return _loaded(shelf, today)


def _files_below(paths: Iterable[Path], shelf: _Shelf) -> Iterator[Path]:
    """Yield each file once, those of a folder by name; what begins with a point is passed over."""
    seen: set[str] = set()
    for path in paths:
        found = _files_in(path) if path.is_dir() else [path]
        if not found:
            shelf.problems.append(_empty_folder(path))
        for file in found:
            place = os.path.realpath(file)
            if place not in seen:
                seen.add(place)
                yield file


def _files_in(folder: Path) -> list[Path]:
    return sorted(
        path
        for path in folder.rglob("*")
        if path.suffix in SUFFIXES
        and path.is_file()
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    )


def _empty_folder(folder: Path) -> Problem:
    return Problem(
        "R101",
        "no rulebook stands in the folder",
        place=Place(str(folder), 0, 0),
        expected="files that end in .yaml, or folders with such files",
        hint="compare the path with where the rulebooks were put",
    )


def _put(shelf: _Shelf, text: str, *, file: str, problems: tuple[Problem, ...]) -> None:
    """Read one text onto the shelf."""
    shelf.texts[file] = text
    shelf.problems += problems
    if problems:
        return
    node, tree_problems = read_tree(text, file)
    shelf.problems += tree_problems
    if node is None:
        return
    reading = read(node, Edition, sorts=SORTS)
    shelf.problems += reading.problems
    if reading.value is None:
        find = partial(_problems_in, file)
        shelf.problems += problems_past(node, Edition, reading, find=find)
    else:
        shelf.files.append(EditionFile(file, reading.value, reading.places))


def _loaded(shelf: _Shelf, today: Day | None) -> LoadedRulebooks:
    """Return what stands on the shelf, by authority, with what is wrong in and between editions."""
    groups: dict[str, list[EditionFile]] = {}
    for each in shelf.files:
        groups.setdefault(each.edition.authority.id, []).append(each)
    rulebooks: list[Rulebook] = []
    files: list[EditionFile] = []
    for _, group in sorted(groups.items()):
        editions = ordered(each.edition for each in group)
        in_order = sorted(group, key=lambda each: _position(editions, each.edition))
        rulebooks.append(Rulebook(authority=editions[-1].authority, editions=editions))
        files += in_order
        shelf.problems += _problems_of(in_order, today)
    return LoadedRulebooks(
        tuple(rulebooks), tuple(files), sorted_by_place(shelf.problems), shelf.texts
    )


def _position(editions: Sequence[Edition], edition: Edition) -> int:
    return next(index for index, each in enumerate(editions) if each is edition)


def _problems_of(files: Sequence[EditionFile], today: Day | None) -> Iterator[Problem]:
    editions = tuple(each.edition for each in files)
    for finding in check_editions(editions, today=today):
        yield problem_of(finding, files)
    for each in files:
        yield from _zone_problems(each)


def _problems_in(file: str, edition: Edition, reading: Reading[Edition]) -> Iterator[Problem]:
    return _problems_of((EditionFile(file, edition, reading.places),), today=None)


def problem_of(finding: Finding, files: Sequence[EditionFile]) -> Problem:
    """Return a finding of the core as a problem at its place in the files of the editions."""
    return Problem(
        finding.code,
        finding.message,
        place=files[finding.edition].place_of(finding.path),
        severity=finding.severity,
        got=finding.got,
        expected=finding.expected,
        hint=finding.hint,
        related=tuple(
            (files[other.edition].place_of(other.path), other.says) for other in finding.related
        ),
    )


def _zone_problems(file: EditionFile) -> Iterator[Problem]:
    """Yield the problem of a time zone that nobody knows."""
    zone = file.edition.authority.time_zone
    zones = available_timezones()
    if zone is not None and zone not in zones:
        meant = get_close_matches(zone, sorted(zones), n=1)
        yield Problem(
            "R102",
            "the time zone is none of the IANA list",
            place=file.place_of(_ZONE_PATH),
            got=f"'{zone}'",
            expected="a continent and a city, e.g. Europe/Lisbon",
            hint=f"did you mean {meant[0]}?" if meant else "",
        )
