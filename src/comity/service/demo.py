"""The demo's files laid out in a folder of the user's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.problems import Place, Problem
from comity.demo.caseload import APPLICANTS, RULEBOOKS, demo_files
from comity.demo.exam_class import examination_files
from comity.files.writing import WritingError, write_all

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class LaidOut:
    """What was laid out; nothing where there is a problem."""

    folder: Path
    paths: tuple[Path, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def n_applicants(self) -> int:
        """How many applicants stand in the folder."""
        return self._count(APPLICANTS)

    @property
    def n_editions(self) -> int:
        """How many editions of rulebooks stand in the folder."""
        return self._count(RULEBOOKS)

    @property
    def applicants(self) -> Path:
        """The folder of the applicants."""
        return self.folder / APPLICANTS

    @property
    def rulebooks(self) -> Path:
        """The folder of the rulebooks."""
        return self.folder / RULEBOOKS

    def _count(self, name: str) -> int:
        return sum(path.relative_to(self.folder).parts[0] == name for path in self.paths)


def lay_out(folder: Path) -> LaidOut:
    """Write the demo's applicants, rulebooks and examination into a folder, all or none.

    The folder may be new, empty, or hold files of the demo as they come with this version; a file
    that the user has changed, or that is no file of the demo, is never touched.
    """
    texts = {**demo_files(), **examination_files()}
    contents = {folder / path: text for path, text in texts.items()}
    try:
        in_the_way = _first_in_the_way(folder, contents)
    except OSError as error:
        return LaidOut(folder, problems=(_refused(folder, error),))
    if in_the_way is not None:
        return LaidOut(folder, problems=(in_the_way,))
    made: list[Path] = []
    try:
        _make_folders(contents, made)
        write_all(contents)
    except WritingError as error:
        _remove(made)
        return LaidOut(folder, problems=(error.problem,))
    except OSError as error:
        _remove(made)
        return LaidOut(folder, problems=(_refused(folder, error),))
    return LaidOut(folder, tuple(contents))


def _first_in_the_way(folder: Path, contents: Mapping[Path, str]) -> Problem | None:
    """Return the problem of the first thing that is not as the demo would leave it."""
    if folder.exists() and not folder.is_dir():
        return _problem(folder, got="a file", expected="a folder, new or empty")
    for path in _files_in(folder):
        name = path.relative_to(folder)
        if path not in contents:
            return _problem(folder, got=f"{name}, no file of the demo")
        if path.read_bytes() != contents[path].encode("utf-8"):
            return _problem(folder, got=f"{name}, changed since the demo was laid out")
    return None


def _files_in(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if not path.is_dir())


def _make_folders(contents: Mapping[Path, str], made: list[Path]) -> None:
    """Make the folders that are needed, and note each new one."""
    for path in contents:
        missing = [parent for parent in path.parents if not parent.exists()]
        for parent in reversed(missing):
            parent.mkdir()
            made.append(parent)


def _remove(made: list[Path]) -> None:
    for folder in reversed(made):
        folder.rmdir()


def _problem(
    folder: Path, *, got: str, expected: str = "a new or an empty folder", hint: str = ""
) -> Problem:
    return Problem(
        "F113",
        "the demo cannot be laid out here; nothing was changed",
        place=Place(str(folder), 0, 0),
        got=got,
        expected=expected,
        hint=hint or "name another folder, or delete this one if nothing in it is needed",
    )


def _refused(folder: Path, error: OSError) -> Problem:
    return _problem(
        folder,
        got=f"from the system: {error.strerror or error}",
        hint="check that you may write there",
    )
