"""The invented rulebooks and applicants, as they come with the package."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Final

from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from importlib.resources.abc import Traversable

    from comity.core.days.calendar import Day
    from comity.files.applicants import LoadedApplicant
    from comity.files.rulebooks import LoadedRulebooks

APPLICANTS: Final = "applicants"
RULEBOOKS: Final = "rulebooks"


def demo_files() -> Mapping[str, str]:
    """Return the text of every file of the demo, by its path below the demo's folder.

    Paths are written with slashes, as ``rulebooks/XA/2025.yaml``, in the order of the alphabet.
    """
    found = {}
    for folder in (APPLICANTS, RULEBOOKS):
        for path, file in _files_below(files("comity.demo") / folder, folder):
            found[path] = file.read_text(encoding="utf-8")
    return dict(sorted(found.items()))


def _files_below(folder: Traversable, path: str) -> Iterator[tuple[str, Traversable]]:
    for entry in folder.iterdir():
        here = f"{path}/{entry.name}"
        if entry.is_dir():
            yield from _files_below(entry, here)
        elif entry.name.endswith(".yaml"):
            yield here, entry


def demo_rulebooks(*, today: Day | None = None) -> LoadedRulebooks:
    """Return the demo's rulebooks; `today` tells which editions have become stale."""
    return load_rulebook_texts(_below(RULEBOOKS), today=today)


def demo_applicants() -> tuple[LoadedApplicant, ...]:
    """Return the demo's applicants in the order of their files' names."""
    return tuple(read_applicant(text, path) for path, text in _below(APPLICANTS).items())


def _below(folder: str) -> dict[str, str]:
    return {path: text for path, text in demo_files().items() if path.startswith(f"{folder}/")}
