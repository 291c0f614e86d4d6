"""An office put back from a backup's file, after every part of it has been looked at."""

from __future__ import annotations

import os
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, cast

from django.contrib.sessions.models import Session
from django.core import serializers
from django.core.management.color import no_style
from django.core.serializers.base import DeserializationError
from django.db import connection, models

from comity.store import audit
from comity.store.append_only import lifted
from comity.store.archive import Archive, BackupError, fingerprint_of, opened, refusal
from comity.store.backup import KEPT, KEYS, member_of, migrations
from comity.store.erasing import erase_again
from comity.store.home import HomeError, home, secret
from comity.store.keys import SealError, unwrapped_by
from comity.store.models import Account, AuditRecord, Case, CaseKey, Span, Tombstone, UploadedTable
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from django.core.serializers.base import DeserializedObject

_SEALING: Final = "keys/sealing.key"


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back."""

    n_cases: int
    n_records: int
    made_at: str


def restore(path: Path, *, replace: bool = False) -> Restored:
    """Put the office of a backup in the place of what is here: all of it, or nothing.

    Everything is verified first: each member against the manifest, the manifest against the
    sealing key, every row, every case's key and the whole audit chain. Work out the spans anew
    afterwards (`spans.refresh_all`). A case that was erased here since the backup was made is
    erased again, so that nobody comes back.

    Parameters
    ----------
    path : Path
        A file made by `backup`, from either database.
    replace : bool
        Let it take the place of an office that has people in it.

    Raises
    ------
    BackupError
        When the file is not whole, or the office here would be lost.
    """
    if not replace and (Account.objects.exists() or Case.objects.exists()):
        msg = (
            "there is an office here already, which would be lost; "
            "make a backup of it, then restore with --replace, or set COMITY_HOME to a new folder"
        )
        raise BackupError(msg)
    with opened(path) as archive:
        sealing = _sealing_of(archive, path)
        archive.check_sign(sealing)
        _check_version(archive, path)
        try:
            rows = {model: _rows(archive, model) for model in KEPT}
        except (DeserializationError, ValueError) as error:
            raise refusal(path, f"its rows cannot be read: {error}") from error
        _check(rows, archive, path=path, sealing=sealing)
        with writing(), _keys_put_back(archive):
            erased = list(Tombstone.objects.all())
            _replace(rows)
            for tombstone in erased:
                erase_again(tombstone)
            chain = audit.verify(head=archive.manifest["audit"]["head"])
            if not chain.is_sound:
                raise refusal(path, chain.problems[0])
    return Restored(len(rows[Case]), len(rows[AuditRecord]), archive.manifest["made_at"])


# ------------------------------------------------------------------------------------- looking


def _sealing_of(archive: Archive, path: Path) -> bytes:
    """Return the sealing key that belongs to the backup: its own, or the one of this place."""
    wanted = archive.manifest["sealing_key"]
    if _SEALING in archive.members and "COMITY_SEALING_KEY" not in os.environ:
        return bytes.fromhex(archive.content(_SEALING).decode("ascii").strip())
    try:
        here = secret("sealing")
    except HomeError as error:
        raise refusal(path, str(error)) from error
    if fingerprint_of(here) != wanted:
        raise refusal(
            path,
            "it was sealed with another key than the one here; put the sealing key of that office "
            "into COMITY_SEALING_KEY, or into sealing.key of the office's folder",
        )
    return here


def _check_version(archive: Archive, path: Path) -> None:
    unknown = sorted(set(archive.manifest["migrations"]) - set(migrations()))
    if unknown:
        raise refusal(
            path,
            f"it was made by a newer version of Comity ({archive.manifest['made_by']}); install "
            "that one",
        )


def _rows(archive: Archive, model: type[models.Model]) -> list[DeserializedObject]:
    name = member_of(model)
    if name not in archive.members:
        return []  # an older version did not have it
    found = list(serializers.deserialize("jsonl", archive.lines(name)))
    strangers = {type(each.object).__name__ for each in found if type(each.object) is not model}
    if strangers or len(found) != archive.members[name].n_rows:
        msg = f"{name} does not hold the {archive.members[name].n_rows} rows it should"
        raise ValueError(msg)
    return found


def _check(
    rows: Mapping[type[models.Model], list[DeserializedObject]],
    archive: Archive,
    *,
    path: Path,
    sealing: bytes,
) -> None:
    """Look at the chain and at every case's key before anything is replaced."""
    records = (cast("AuditRecord", each.object) for each in rows[AuditRecord])
    chain = audit.verify_records(records, head=archive.manifest["audit"]["head"])
    if not chain.is_sound:
        raise refusal(path, f"its audit trail is broken: {chain.problems[0]}")
    if chain.head != archive.manifest["audit"]["head"]:
        raise refusal(path, "its audit trail does not end where its manifest says")
    for each in rows[CaseKey]:
        row = cast("CaseKey", each.object)
        try:
            unwrapped_by(sealing, row)
        except SealError as error:
            raise refusal(path, f"the key of case {row.pk} cannot be opened") from error


# ----------------------------------------------------------------------------------- replacing


def _replace(rows: Mapping[type[models.Model], Iterable[DeserializedObject]]) -> None:
    Session.objects.all().delete()
    with lifted():
        emptied: tuple[type[models.Model], ...] = (UploadedTable, Span, *reversed(KEPT))
        for model in emptied:
            model._default_manager.all().delete()
        for model in KEPT:
            for each in rows[model]:
                each.save(force_insert=True)
    # Spans and planned days are not in a backup: none of them rests on anything now.
    Case.objects.update(spans_of="", planned_of="")
    _renew_counters()


def _renew_counters() -> None:
    """Let new rows be numbered after those put back; SQLite does so on its own."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(KEPT)):
            cursor.execute(statement)


@contextmanager
def _keys_put_back(archive: Archive) -> Iterator[None]:
    """Put the backup's keys into the office's folder; the old ones back if anything fails."""
    written: dict[Path, bytes | None] = {}
    try:
        for name in KEYS:
            member = f"keys/{name}.key"
            if member in archive.members and f"COMITY_{name.upper()}_KEY" not in os.environ:
                place = home() / f"{name}.key"
                written[place] = place.read_bytes() if place.exists() else None
                _write_key(place, archive.content(member))
        yield
    except BaseException:
        for place, before in written.items():
            if before is None:
                place.unlink(missing_ok=True)
            else:
                _write_key(place, before)
        raise


def _write_key(place: Path, content: bytes) -> None:
    temporary = place.with_suffix(".new")
    descriptor = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    temporary.replace(place)
