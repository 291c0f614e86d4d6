"""What happens to an office when processes die, disks fill up, and everybody writes at once."""

from __future__ import annotations

import json
import os
from contextlib import contextmanager
from random import Random  # noqa: TID251 - the moments of the kills, from a fixed seed
from typing import TYPE_CHECKING, Any

import psycopg
import pytest
from django.db import OperationalError, connection

from comity.store.cases import add_note
from comity.store.errors import UnreachableError
from comity.store.models import Note
from comity.store.writing import sentence_for
from tests.store.offices import TestOffice, on_postgres, on_sqlite

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from comity.store.models import Account, Case

DATABASES = ("sqlite", "postgres")


@contextmanager
def office_on(database: str, folder: Path, request: pytest.FixtureRequest) -> Iterator[TestOffice]:
    """Return a filled office on one of the databases."""
    if database == "sqlite":
        yield on_sqlite(folder).filled()
    else:
        with on_postgres(folder, request.getfixturevalue("postgres")) as office:
            yield office.filled()


def look(office: TestOffice) -> dict[str, Any]:
    """Return what stands in the office."""
    done = office.run("tests.store.writer", "look")
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def check_history(found: dict[str, Any]) -> None:
    """Check that the chain verifies and that no change is lost, doubled or unrecorded."""
    assert found["problems"] == []
    assert found["versions"] == list(range(2, found["version"] + 1))
    assert found["recorded"] == found["lines"]
    assert len(set(found["lines"])) == len(found["lines"])
    assert found["n_records"] == found["version"] + 1


def kill_during_bursts(office: TestOffice, n_kills: int, chance: Random) -> int:
    """Kill writers again and again; return how many changes were acknowledged."""
    acknowledged: list[str] = []
    for kill in range(n_kills):
        writer = office.start("tests.store.writer", "write", "0", f"w{kill}", "3")
        assert writer.stdout is not None
        said = [writer.stdout.readline() for _ in range(chance.randint(1, 12))]
        writer.kill()
        rest, errors = writer.communicate()
        assert all(said), errors
        # A line cut off by the kill was not acknowledged.
        acknowledged += [line for line in "".join([*said, rest]).split("\n")[:-1] if line]
    found = look(office)
    check_history(found)
    assert set(acknowledged) <= set(found["lines"])
    # At most the change under way in each thread was kept without anybody being told.
    assert len(found["lines"]) <= len(acknowledged) + 3 * n_kills
    return len(acknowledged)


@pytest.mark.parametrize("database", DATABASES)
def test_a_killed_process_loses_nothing_acknowledged(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    with office_on(database, tmp_path, request) as office:
        assert kill_during_bursts(office, 4, Random(1)) > 4  # noqa: S311 - no secret


@pytest.mark.soak
@pytest.mark.parametrize("database", DATABASES)
def test_hundreds_of_killed_processes_lose_nothing_acknowledged(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    seed = int.from_bytes(os.urandom(4))
    with office_on(database, tmp_path, request) as office:
        assert kill_during_bursts(office, 200, Random(seed)) > 200, seed  # noqa: S311 - no secret


@pytest.mark.parametrize("database", DATABASES)
def test_two_hundred_edits_side_by_side_end_in_one_history(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    with office_on(database, tmp_path, request) as office:
        writers = [
            office.start("tests.store.writer", "write", "20", f"w{each}", "5") for each in range(2)
        ]
        for writer in writers:
            _printed, errors = writer.communicate()
            assert writer.returncode == 0, errors
            assert errors == ""
        found = look(office)
    check_history(found)
    assert found["version"] == 201
    assert sorted(found["lines"]) == sorted(
        f"w{writer}.{thread} {number}"
        for writer in range(2)
        for thread in range(5)
        for number in range(1, 21)
    )


def test_a_full_disk_is_told_and_loses_nothing(tmp_path: Path) -> None:
    office = on_sqlite(tmp_path).filled()
    done = office.run("tests.store.writer", "full")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["refused"].startswith("nothing was saved: the disk ")
    assert told["n_notes"] > 0
    found = look(office)
    assert found["problems"] == []
    # The first note of the office, those before the disk was full, and the one after.
    assert found["n_notes"] == 1 + told["n_notes"] + 1
    assert found["n_records"] == found["n_notes"] + 1


@pytest.mark.django_db(transaction=True)
def test_a_database_that_may_only_be_read_is_told(case: Case, owner: Account) -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        try:
            with pytest.raises(UnreachableError) as refused:
                add_note(case, "a note", actor=owner)
        finally:
            cursor.execute("PRAGMA query_only = OFF")
    assert str(refused.value) == (
        "nothing was saved: the office's database may only be read; "
        "let its user write the file and its folder"
    )
    assert not Note.objects.exists()


def test_a_postgres_that_may_only_be_read_is_told(tmp_path: Path, postgres: str) -> None:
    with on_postgres(tmp_path, postgres) as office:
        office.filled()
        with psycopg.connect(office.settings["COMITY_DATABASE_URL"], autocommit=True) as server:
            name = server.info.dbname
            server.execute(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
        done = office.run("tests.store.writer", "write", "1", "w", "1")
        assert "UnreachableError: nothing was saved: the office's database may only" in done.stderr
        assert look(office)["lines"] == []


def test_a_database_that_is_away_is_told(tmp_path: Path) -> None:
    address = "postgresql://nobody@127.0.0.1:1/office"
    office = TestOffice(tmp_path / "home", {"COMITY_DATABASE_URL": address})
    done = office.comity("audit", "verify")
    assert done.returncode == 1
    assert done.stderr == "error: the office's database cannot be reached; check that it runs\n"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("database or disk is full", "the disk is full; make room on it"),
        ("could not extend file: No space left on device", "the disk is full; make room on it"),
        ("disk I/O error", "the disk refuses to write; check that it has room and that it is"),
        ("database is locked", "the office's database is busy; try again in a moment"),
        ("unable to open database file", "the office's database cannot be opened; check that its"),
        ("file is not a database", "the office's database is damaged; restore the last backup"),
    ],
)
def test_refusals_of_databases_are_said_in_a_sentence(text: str, sentence: str) -> None:
    found = sentence_for(OperationalError(text))
    assert found is not None
    assert found.startswith(sentence)


def test_our_own_mistakes_are_not_dressed_up() -> None:
    assert sentence_for(OperationalError("no such table: store_case")) is None
