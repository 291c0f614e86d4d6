"""The broken files of ``assets/bad`` and how to read each.

For each problem code there is a file ``CODE.yaml`` (or ``CODE-what.yaml`` for a further case) and
beside it ``CODE.txt`` with exactly what is shown. A comment at the beginning of the first line,
``# read as: an applicant file``, names the reader out of `READERS`; without one it is the first.
To add a code, drop the pair of files; to add a way of reading, add a line to `READERS`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Edition
from comity.files.decoding import MAX_BYTES
from comity.files.reading import read
from comity.files.rendering import render
from comity.files.writing import WritingError, write_whole
from comity.files.yaml import read_text, read_tree
from tests.samples import EveryValue, Figure, Needed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from comity.core.problems import Problem

FOLDER: Final = Path(__file__).parent / "assets" / "bad"
SORTS: Final = {"an applicant file": Applicant, "a rulebook": Edition}
_READ_AS: Final = re.compile(rb"# read as: (.+)")


def shown_for(path: Path) -> str:
    """Return what a user sees of a broken file."""
    first_line = path.read_bytes().split(b"\n", 1)[0]
    match = _READ_AS.match(first_line)
    name = match[1].decode("ascii").strip() if match else next(iter(READERS))
    return READERS[name](path)


def _record(record: type, sorts: Mapping[str, type] | None = None) -> Callable[[Path], str]:
    def reader(path: Path) -> str:
        return _shown(path.read_bytes(), path.name, record, sorts=sorts)

    return reader


def _shown(
    source: Path | bytes, file: str, record: type, *, sorts: Mapping[str, type] | None = None
) -> str:
    text, _ = read_text(source, file)
    node, problems = read_tree(source, file)
    found: tuple[Problem, ...] = problems
    if node is not None:
        found += read(node, record, sorts=sorts).problems
    return render(found, {file: text})


def _padded(path: Path) -> str:
    """Read the file as if its last line were very long."""
    data = path.read_bytes()
    return _shown(data + b"x" * (MAX_BYTES - len(data) + 1), path.name, EveryValue)


def _not_there(path: Path) -> str:
    return _shown(path.with_suffix(".missing"), path.name, EveryValue)


def _written_to(path: Path) -> str:
    """Try to write below the file as if it were a folder."""
    target = path / "brief.pdf"
    try:
        write_whole(target, b"")
    except WritingError as error:
        return render((error.problem,), {}).replace(str(target), f"{path.name}/brief.pdf")
    raise AssertionError(target)


READERS: Final[Mapping[str, Callable[[Path], str]]] = {
    "a file of every value": _record(EveryValue),
    "a file of needed values": _record(Needed),
    "a figure": _record(Figure),
    "an applicant file": _record(Applicant, SORTS),
    "a file with very long text": _padded,
    "a file that is not there": _not_there,
    "a folder to write into": _written_to,
}
