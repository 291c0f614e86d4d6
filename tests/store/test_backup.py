from __future__ import annotations

import json
import stat
import zipfile
from datetime import UTC, date, datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest
from django.apps import apps
from django.db import models

from comity.store import audit, spans
from comity.store.archive import BackupError, sign_of
from comity.store.backup import KEPT, backup
from comity.store.cases import add_action, add_case, add_note
from comity.store.given import content_of, give
from comity.store.home import HomeError
from comity.store.invitations import invite
from comity.store.models import (
    Account,
    AuditRecord,
    Case,
    Given,
    Mark,
    Office,
    PlannedDay,
    Role,
    Span,
    UploadedTable,
)
from comity.store.restoring import restore
from comity.store.tokens import issue
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from pathlib import Path

    from comity.store.models import StoredEdition

pytestmark = pytest.mark.django_db(transaction=True)

NOW = datetime(2026, 11, 25, 9, 30, 15, 123456, tzinfo=UTC)


@pytest.fixture
def office(editions: list[StoredEdition], owner: Account, tmp_path: Path) -> Path:
    """Fill an office with a row of everything; return the file of its backup."""
    assert editions
    Office.objects.create(pk=1, name="Fair Winds")
    case = add_case(file_of("hana"), actor=owner)
    add_note(case, "Wrote in Ελληνικά and with a \N{SNOWMAN}", actor=owner)
    add_action(case, "ask the school", actor=owner, due=date(2026, 12, 1))
    give(
        case,
        sort="letter",
        content=bytes(range(256)),
        media_type="application/pdf",
        recipient="Hana",
        assessments=(),
        actor=owner,
    )
    invite("k@example.org", name="K", role=Role.ADVISER, actor=owner, now=NOW)
    issue(owner, label="x", scopes=("read",), days=9, now=NOW)
    path = tmp_path / "office.zip"
    backup(path)
    return path


def everything() -> dict[str, list[dict[str, Any]]]:
    """Return every row that a backup keeps; what is worked out anew left out."""
    return {model.__name__: [_plain(row) for row in _rows(model)] for model in KEPT}


def _rows(model: type[models.Model]) -> list[dict[str, Any]]:
    return list(model._default_manager.order_by("pk").values())


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    row.pop("spans_of", None)
    return {k: bytes(v) if isinstance(v, memoryview) else v for k, v in row.items()}


def rewrite(path: Path, changes: dict[str, bytes | None], *, is_thorough: bool = False) -> None:
    """Change members of an archive; a thorough forger mends the manifest's hashes, too."""
    with zipfile.ZipFile(path) as file:
        members = {name: file.read(name) for name in file.namelist()}
    for name, content in changes.items():
        if content is None:
            del members[name]
        else:
            members[name] = content
    if is_thorough:
        manifest = json.loads(members["manifest.json"])
        for name in changes:
            manifest["members"][name]["sha256"] = sha256(members[name]).hexdigest()
            manifest["members"][name]["bytes"] = len(members[name])
        members["manifest.json"] = json.dumps(manifest).encode()
    with zipfile.ZipFile(path, "w") as file:
        for name, content in members.items():
            file.writestr(name, content)


def member(path: Path, name: str) -> bytes:
    with zipfile.ZipFile(path) as file:
        return file.read(name)


def test_everything_comes_back_as_it_was(office: Path, owner: Account) -> None:
    before = everything()
    assert all(before[name] for name in ("Case", "Note", "Given", "ApiToken", "AuditRecord"))
    add_case(file_of("kofi"), actor=owner)
    Case.objects.update(document="spoilt")
    done = restore(office, replace=True)
    assert everything() == before
    assert (done.n_cases, done.n_records) == (1, len(before["AuditRecord"]))
    assert audit.verify().is_sound
    assert content_of(Given.objects.get()) == bytes(range(256))


def test_spans_are_worked_out_anew(office: Path) -> None:
    before = set(Span.objects.values_list("title", "sort", "start", "until"))
    restore(office, replace=True)
    assert not Span.objects.exists()
    spans.refresh_all()
    assert set(Span.objects.values_list("title", "sort", "start", "until")) == before


def test_work_goes_on_after_a_restore(office: Path) -> None:
    restore(office, replace=True)
    case = Case.objects.get()
    owner = Account.objects.get()
    add_note(case, "after the restore", actor=owner)
    assert audit.verify().is_sound


def test_an_office_with_people_is_not_replaced_unasked(office: Path) -> None:
    before = everything()
    with pytest.raises(BackupError, match="there is an office here already, which would be lost"):
        restore(office)
    assert everything() == before


def test_the_file_is_for_its_owners_eyes(office: Path) -> None:
    assert stat.S_IMODE(office.stat().st_mode) == 0o600


def test_a_file_that_is_there_is_never_written_over(office: Path) -> None:
    before = office.read_bytes()
    with pytest.raises(BackupError, match="is there already and was left as it is"):
        backup(office)
    assert office.read_bytes() == before


@pytest.mark.usefixtures("owner")
def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BackupError, match="cannot be written: No such file or directory"):
        backup(tmp_path / "nowhere" / "office.zip")


@pytest.mark.parametrize("share", [0.0, 0.01, 0.3, 0.6, 0.9, 0.99, 0.9999])
def test_a_truncated_file_is_refused_whole(office: Path, share: float) -> None:
    before = everything()
    content = office.read_bytes()
    office.write_bytes(content[: int(len(content) * share)])
    with pytest.raises(BackupError, match="is not restored, and nothing was changed: "):
        restore(office, replace=True)
    assert everything() == before


@pytest.mark.parametrize("place", [100, 5_000, 20_000, -3_000, -200])
def test_a_changed_byte_is_found(office: Path, place: int) -> None:
    before = everything()
    content = bytearray(office.read_bytes())
    content[place] ^= 0x41
    office.write_bytes(bytes(content))
    try:
        restore(office, replace=True)
    except BackupError:
        assert everything() == before
    else:
        # A few bytes of a zip (dates, attributes) mean nothing: then nothing is changed either.
        assert everything() == before


def test_a_changed_row_is_refused(office: Path) -> None:
    before = everything()
    rows = member(office, "rows/note.jsonl").replace(b"Wrote", b"Never")
    rewrite(office, {"rows/note.jsonl": rows})
    with pytest.raises(BackupError, match=r"rows/note\.jsonl was changed after it was made"):
        restore(office, replace=True)
    assert everything() == before


def test_a_changed_row_with_a_mended_manifest_is_refused(office: Path) -> None:
    rows = member(office, "rows/note.jsonl").replace(b"Wrote", b"Never")
    rewrite(office, {"rows/note.jsonl": rows}, is_thorough=True)
    with pytest.raises(BackupError, match="its manifest was changed after it was made"):
        restore(office, replace=True)


def test_who_has_the_key_still_cannot_change_the_trail(office: Path) -> None:
    """The keys lie in the file, so a forger can sign; the chain then tells."""
    name = "rows/auditrecord.jsonl"
    rows = member(office, name).replace(b"case/note added", b"case/note sadly", 1)
    rewrite(office, {name: rows}, is_thorough=True)
    sealing = bytes.fromhex(member(office, "keys/sealing.key").decode())
    sign = sign_of(member(office, "manifest.json"), sealing)
    with zipfile.ZipFile(office) as file:
        members = {each: file.read(each) for each in file.namelist()}
    with zipfile.ZipFile(office, "w") as file:
        for each, content in {**members, "manifest.hmac": sign}.items():
            file.writestr(each, content)
    before = everything()
    with pytest.raises(BackupError, match="its audit trail is broken: record"):
        restore(office, replace=True)
    assert everything() == before


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"rows/case.jsonl": None}, "rows/case.jsonl is missing"),
        ({"rows/extra.jsonl": b"{}"}, "rows/extra.jsonl does not belong to it"),
        ({"../evil.txt": b"x"}, "../evil.txt does not belong to it"),
        ({"manifest.json": b"{"}, "its manifest cannot be read"),
        ({"manifest.json": None}, "manifest.json is missing"),
        ({"manifest.json": b'{"format": "another", "members": {}}'}, "manifest cannot be read"),
    ],
)
def test_a_file_with_other_members_is_refused(
    office: Path, changes: dict[str, bytes | None], reason: str
) -> None:
    rewrite(office, changes)
    with pytest.raises(BackupError) as refused:
        restore(office, replace=True)
    assert str(refused.value).endswith(reason)


def test_what_is_no_backup_is_refused(owner: Account, tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("buy bread\n", encoding="utf-8")
    with pytest.raises(BackupError, match="it is no backup, or part of it is missing"):
        restore(path, replace=True)
    with pytest.raises(BackupError, match="No such file or directory"):
        restore(tmp_path / "gone.zip", replace=True)
    assert Account.objects.get() == owner


def test_a_newer_versions_backup_is_refused(office: Path) -> None:
    manifest = json.loads(member(office, "manifest.json"))
    manifest["migrations"].append("9999_from_the_future")
    text = json.dumps(manifest).encode()
    sealing = bytes.fromhex(member(office, "keys/sealing.key").decode())
    rewrite(office, {"manifest.json": text, "manifest.hmac": sign_of(text, sealing)})
    with pytest.raises(BackupError, match="made by a newer version of Comity"):
        restore(office, replace=True)


def test_without_keys_the_right_sealing_key_has_to_be_here(
    office: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert office.exists()
    path = tmp_path / "bare.zip"
    backup(path, with_keys=False)
    with zipfile.ZipFile(path) as file:
        assert not [name for name in file.namelist() if name.startswith("keys/")]
    restore(path, replace=True)
    monkeypatch.setenv("COMITY_SEALING_KEY", "77" * 32)
    with pytest.raises(BackupError, match="it was sealed with another key than the one here"):
        restore(path, replace=True)


def test_keys_come_back_into_the_folder_and_the_old_ones_when_it_fails(
    office: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "new-home"
    monkeypatch.setenv("COMITY_HOME", str(home))
    monkeypatch.delenv("COMITY_SEALING_KEY")
    home.mkdir()
    (home / "sealing.key").write_text("11" * 32 + "\n", encoding="ascii")
    with monkeypatch.context() as broken:
        broken.setattr("comity.store.restoring._replace", _fail)
        with pytest.raises(HomeError):
            restore(office, replace=True)
    assert (home / "sealing.key").read_text(encoding="ascii") == "11" * 32 + "\n"
    restore(office, replace=True)
    assert (home / "sealing.key").read_text(encoding="ascii") == "a5" * 32 + "\n"
    assert stat.S_IMODE((home / "sealing.key").stat().st_mode) == 0o600
    assert content_of(Given.objects.get()) == bytes(range(256))


def _fail(_rows: object) -> None:
    msg = "for the test"
    raise HomeError(msg)


def test_a_broken_trail_is_not_backed_up(office: Path, tmp_path: Path) -> None:
    assert office.exists()
    from comity.store.append_only import lifted  # noqa: PLC0415 - to tamper

    with lifted():
        AuditRecord.objects.filter(sequence=2).update(actor="account/99")
    with pytest.raises(BackupError, match=r"broken \(record 2 was changed after it was written\)"):
        backup(tmp_path / "other.zip")
    assert not (tmp_path / "other.zip").exists()


def test_nothing_that_the_office_keeps_is_left_out() -> None:
    worked_out_or_passing = {Span, Mark, PlannedDay, UploadedTable}
    assert set(apps.get_app_config("store").get_models()) == {*KEPT, *worked_out_or_passing}
