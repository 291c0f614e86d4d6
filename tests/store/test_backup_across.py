"""Backups as their user makes them: by the command, while people write, across databases."""

from __future__ import annotations

import re
import zipfile
from typing import TYPE_CHECKING

from tests.store.offices import TestOffice, on_postgres, on_sqlite

if TYPE_CHECKING:
    from pathlib import Path

HASH = re.compile(r"The trail ends with ([0-9a-f]{64})")


def said(office: TestOffice, *arguments: str, status: int = 0) -> str:
    """Return what a command prints that ends as expected."""
    done = office.comity(*arguments)
    assert done.returncode == status, done.stdout + done.stderr
    return done.stderr if status else done.stdout


def rows_in(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as file:
        return {name: file.read(name) for name in file.namelist() if name.startswith("rows/")}


def test_an_office_moves_to_postgres_and_back_without_loss(tmp_path: Path, postgres: str) -> None:
    first = on_sqlite(tmp_path).filled()
    one, two = tmp_path / "one.zip", tmp_path / "two.zip"
    head = HASH.search(said(first, "backup", str(one)))
    assert head is not None
    with on_postgres(tmp_path, postgres) as second:
        assert "1 case is back" in said(second, "restore", str(one))
        assert head[1] in said(second, "audit", "verify", "--head", head[1])
        said(second, "backup", str(two))
    third = on_sqlite(tmp_path)
    said(third, "restore", str(two))
    assert "2 records" in said(third, "audit", "verify", "--head", head[1])
    three = tmp_path / "three.zip"
    said(third, "backup", str(three))
    assert rows_in(one).keys() == rows_in(three).keys()
    for name, rows in rows_in(one).items():
        if name != "rows/case.jsonl":  # its spans are worked out anew
            assert rows == rows_in(two)[name] == rows_in(three)[name], name


def check_while_writing(office: TestOffice, tmp_path: Path) -> None:
    """Back the office up while somebody writes; what is restored is whole, and of one moment."""
    writer = office.start("tests.store.writer", "write", "0", "w", "1")
    assert writer.stdout is not None
    try:
        for _ in range(3):
            writer.stdout.readline()
        path = tmp_path / "busy.zip"
        printed = said(office, "backup", str(path))
    finally:
        writer.kill()
        writer.communicate()
    n_records = int(re.findall(r"and ([0-9]+) records", printed)[0])
    other = on_sqlite(tmp_path)
    said(other, "restore", str(path))
    with zipfile.ZipFile(path) as file:
        case = file.read("rows/case.jsonl").decode()
    # The case was added, a note was written, and each record after that is one change.
    assert f'"version": {n_records - 1}' in case
    assert n_records > 4
    assert f"{n_records} records" in said(other, "audit", "verify")


def test_a_backup_made_while_people_write_is_of_one_moment(tmp_path: Path) -> None:
    check_while_writing(on_sqlite(tmp_path).filled(), tmp_path)


def test_the_same_on_postgres(tmp_path: Path, postgres: str) -> None:
    with on_postgres(tmp_path, postgres) as office:
        check_while_writing(office.filled(), tmp_path)


def test_commands_say_what_is_wrong_and_end_with_one(tmp_path: Path) -> None:
    nobody = on_sqlite(tmp_path)
    assert said(nobody, "audit", "verify", status=1) == (
        f"error: there is no office in {nobody.home}; set COMITY_HOME to the folder of yours, or "
        "start one with comity serve\n"
    )
    office = on_sqlite(tmp_path).filled()
    path = tmp_path / "office.zip"
    said(office, "backup", str(path))
    assert "is there already" in said(office, "backup", str(path), status=1)
    assert "there is an office here already" in said(office, "restore", str(path), status=1)
    path.write_bytes(path.read_bytes()[:-50])
    assert "and nothing was changed" in said(office, "restore", "--replace", str(path), status=1)
    missing = said(office, "audit", "verify", "--head", "ab" * 32, status=1)
    assert missing == f"error: the record with the hash {'ab' * 32} is no longer there\n"


def test_commands_typed_wrongly_end_with_two(tmp_path: Path) -> None:
    for arguments in (("backup",), ("restore", "a", "b"), ("audit", "verify", "--what")):
        said(on_sqlite(tmp_path), *arguments, status=2)
