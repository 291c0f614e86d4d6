"""Changes of the store: one at a time, whole or not at all, and refusals said in a sentence."""

from __future__ import annotations

import errno
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

from django.db import DatabaseError, InterfaceError, OperationalError, connection, transaction

from comity.store.errors import UnreachableError

if TYPE_CHECKING:
    from collections.abc import Iterator

_LOCK: Final = 0x636F6D697479
"""The number of our advisory lock: "comity" in ASCII."""
_REASONS: Final = (
    (("disk is full", "no space left", "disk full"), "the disk is full; make room on it"),
    (
        ("readonly", "read-only"),
        "the office's database may only be read; let its user write the file and its folder",
    ),
    (
        ("unable to open",),
        "the office's database cannot be opened; check that its folder is there and may be used",
    ),
    (("is locked", "is busy", "timeout"), "the office's database is busy; try again in a moment"),
    (
        ("disk i/o error",),
        "the disk refuses to write; check that it has room and that it is sound",
    ),
    (
        ("malformed", "not a database"),
        "the office's database is damaged; restore the last backup with comity restore",
    ),
)


@contextmanager
def writing() -> Iterator[None]:
    """Change the store in one transaction; two never run side by side.

    SQLite takes its one lock when the transaction begins, Postgres an advisory lock that goes with
    it. So the audit chain cannot fork, and no two changes wait for each other's rows.

    Raises
    ------
    UnreachableError
        When the database refuses; nothing was changed.
    """
    with told(), transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_LOCK])
        yield


@contextmanager
def told() -> Iterator[None]:
    """Turn a database's refusal into an `UnreachableError` that says what to do."""
    try:
        yield
    except (DatabaseError, InterfaceError) as error:
        sentence = sentence_for(error)
        if sentence is None:
            raise
        msg = f"nothing was saved: {sentence}"
        raise UnreachableError(msg) from error
    except OSError as error:
        if error.errno not in {errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG}:
            raise
        msg = f"nothing was saved: {error.strerror}"
        raise UnreachableError(msg) from error


def sentence_for(error: BaseException) -> str | None:
    """Return what a database's refusal means and what to do; None for what is our own mistake."""
    text = str(error).casefold()
    for signs, sentence in _REASONS:
        if any(sign in text for sign in signs):
            return sentence
    if connection.vendor == "postgresql" and isinstance(error, OperationalError | InterfaceError):
        return "the office's database cannot be reached; check that it runs"
    return None
