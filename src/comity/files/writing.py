"""Files written whole or not at all, one or several at once."""

from __future__ import annotations

import errno
import os
import stat
import tempfile
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from comity.core.problems import Place, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


class WritingError(OSError):
    """A file cannot be written; nothing was changed. Carries the problem to show."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file so that it holds all of the content, or what it held before.

    A link is followed. What is no ordinary file (a terminal, a pipe) is just written to.

    Parameters
    ----------
    path : Path
        Its folder must exist.
    content : str or bytes
        Text is written in UTF-8 with its line ends as they are.

    Raises
    ------
    WritingError
        When the system refuses; it says why.
    """
    write_all({path: content})


def write_all(contents: Mapping[Path, str | bytes]) -> None:
    """Write several files, or leave every one of them as it was.

    All are first written in full beside their places and then put there by renaming. Should a
    renaming fail, what stood before is put back.

    Parameters
    ----------
    contents : mapping
        From paths, whose folders must exist, to what to write.

    Raises
    ------
    WritingError
        When the system refuses; it says which file and why.
    """
    staged: dict[Path, Path] = {}
    done: dict[Path, bytes | None] = {}
    try:
        for path, content in contents.items():
            data = content.encode("utf-8") if isinstance(content, str) else content
            with _named(path):
                _stage(path, data, staged)
        for temporary, target in staged.items():
            with _named(target):
                before = target.read_bytes() if target.exists() else None
                temporary.replace(target)
            done.setdefault(target, before)
    except BaseException:
        _put_back(done)
        raise
    finally:
        for temporary in staged:
            temporary.unlink(missing_ok=True)


@contextmanager
def _named(path: Path) -> Iterator[None]:
    """Turn the system's refusal into a WritingError that names the file."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = (isinstance(error, OSError) and error.strerror) or str(error)
        problem = Problem(
            "F113",
            "the file cannot be written; nothing was changed",
            place=Place(str(path), 0, 0),
            got=f"from the system: {reason}",
            hint="check that the folder exists and that you may write there",
        )
        raise WritingError(problem) from error


def _stage(path: Path, data: bytes, staged: dict[Path, Path]) -> None:
    """Write the data beside its target, to be renamed later; or at once where none can be."""
    target = Path(os.path.realpath(path))
    if target.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
    if target.exists() and not stat.S_ISREG(target.stat().st_mode):
        target.write_bytes(data)
        return
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.")
    staged[Path(name)] = target
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    Path(name).chmod(_mode_for(target))


def _mode_for(target: Path) -> int:
    """Return the access that the file has, or that a new file of this user gets."""
    if target.exists():
        return stat.S_IMODE(target.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put_back(before: Mapping[Path, bytes | None]) -> None:
    for target, data in before.items():
        # The problem to tell is the first one; what cannot be put back stays as it is.
        with suppress(OSError):
            if data is None:
                target.unlink()
            else:
                target.write_bytes(data)
