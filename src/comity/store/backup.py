"""An office copied into one file while it is served, and put back from there."""

from __future__ import annotations

import os
import tempfile
import zipfile
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from io import BufferedWriter, TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from django.core import serializers
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, models
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from comity.store import audit
from comity.store.archive import BackupError, Writer, fingerprint_of
from comity.store.home import secret
from comity.store.models import (
    Account,
    Action,
    ApiToken,
    AuditRecord,
    BankVersion,
    CalendarFeed,
    Case,
    CaseKey,
    Cohort,
    CohortPlace,
    Consent,
    ExamForm,
    Given,
    GivenAnswer,
    Invitation,
    ItemBank,
    Note,
    Office,
    Sitting,
    StoredEdition,
    StoredItemModel,
    Tombstone,
)
from comity.store.writing import told

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import TextIO

KEPT: Final[tuple[type[models.Model], ...]] = (
    Office,
    Account,
    StoredEdition,
    CaseKey,
    Case,
    Note,
    Action,
    Given,
    Consent,
    Invitation,
    ApiToken,
    CalendarFeed,
    ItemBank,
    BankVersion,
    StoredItemModel,
    ExamForm,
    Cohort,
    CohortPlace,
    Sitting,
    GivenAnswer,
    Tombstone,
    AuditRecord,
)
"""In an order in which rows can be put back. Spans and planned days are worked out anew; tables on
their way in and sessions are not kept."""
KEYS: Final = ("signing", "sealing")
_AT_ONCE: Final = 500


@dataclass(frozen=True, slots=True)
class Backup:
    """What went into a backup."""

    path: Path
    n_cases: int
    n_records: int
    head: str
    has_keys: bool


def backup(path: Path, *, with_keys: bool = True) -> Backup:
    """Copy the office into a new file: all of it as it is at one moment, or nothing.

    The desk may go on serving meanwhile: rows are read from one snapshot.

    Parameters
    ----------
    path : Path
        A file that is not there yet; it will be for its owner's eyes only.
    with_keys : bool
        Put the office's keys in, so that the file alone restores everything. Without them the
        sealing key has to be kept elsewhere, or what was given out cannot be read again.

    Raises
    ------
    BackupError
        When the file cannot be written, or the audit trail is broken.
    """
    if path.exists():
        msg = f"{path} is there already and was left as it is; name a new file"
        raise BackupError(msg)
    try:
        with told(), _beside(path) as temporary:
            done = _write(temporary, path, with_keys=with_keys)
    except OSError as error:
        msg = f"{path} cannot be written: {error.strerror or error}"
        raise BackupError(msg) from error
    return done


def _write(temporary: Path, path: Path, *, with_keys: bool) -> Backup:
    with zipfile.ZipFile(temporary, "w", zipfile.ZIP_DEFLATED) as file, snapshot():
        writer = Writer(file)
        chain = audit.verify()
        if not chain.is_sound:
            msg = f"the audit trail is broken ({chain.problems[0]}); look at comity audit verify"
            raise BackupError(msg)
        for model in KEPT:
            _write_rows(writer, model)
        if with_keys:
            for name in KEYS:
                with writer.member(f"keys/{name}.key") as member:
                    member.write(secret(name).hex().encode("ascii") + b"\n")
        facts = {
            "made_at": timezone.now().isoformat(timespec="seconds"),
            "made_by": version("comity"),
            "database": connection.vendor,
            "migrations": migrations(),
            "audit": {"records": chain.n_records, "head": chain.head},
            "sealing_key": fingerprint_of(secret("sealing")),
        }
        writer.close(facts, secret("sealing"))
    n_cases = writer.members[member_of(Case)].n_rows
    return Backup(path, n_cases, chain.n_records, chain.head, with_keys)


def member_of(model: type[models.Model]) -> str:
    """Return the name of the member that holds a model's rows."""
    return f"rows/{model._meta.model_name}.jsonl"


def migrations() -> list[str]:
    """Return the store's migrations that the database has seen, oldest first."""
    seen = MigrationRecorder(connection).applied_migrations()
    return sorted(name for app, name in seen if app == "store")


def _write_rows(writer: Writer, model: type[models.Model]) -> None:
    rows = model._default_manager.order_by("pk")
    with writer.member(member_of(model)) as member:
        buffered = BufferedWriter(member)
        text = TextIOWrapper(buffered, encoding="utf-8", newline="\n")
        _serialize(rows.iterator(chunk_size=_AT_ONCE), text)
        text.flush()
        member.n_rows = rows.count()


def _serialize(rows: Iterator[models.Model], text: TextIO) -> None:
    serializers.serialize("jsonl", rows, stream=text, cls=_Exact, ensure_ascii=False)


class _Exact(DjangoJSONEncoder):
    """Keeps the microseconds of a moment, which the audit trail's hashes cover."""

    def default(self, o: Any) -> Any:  # noqa: ANN401 - as json has it
        return o.isoformat() if isinstance(o, datetime) else super().default(o)


@contextmanager
def snapshot() -> Iterator[None]:
    """Read everything as it is at one moment, and keep nobody from writing.

    SQLite's write-ahead log and Postgres's repeatable read both give a reader its own moment.
    """
    if connection.in_atomic_block:
        yield
        return
    begin = (
        "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
        if connection.vendor == "postgresql"
        else "BEGIN DEFERRED"
    )
    connection.ensure_connection()
    with connection.cursor() as cursor:
        cursor.execute(begin)
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")


@contextmanager
def _beside(path: Path) -> Iterator[Path]:
    """Write a file beside its place and put it there when it is whole and on the disk."""
    handle, name = tempfile.mkstemp(dir=path.resolve().parent, prefix=f".{path.name[:40]}.")
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        with temporary.open("rb") as stream:
            os.fsync(stream.fileno())
        os.link(temporary, path)  # unlike a renaming, it never takes another file's place
    finally:
        temporary.unlink(missing_ok=True)
