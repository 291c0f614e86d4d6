"""A program of the tests that works in an office: fills it, writes until it is killed, looks at it.

``python -m tests.store.writer fill`` makes a small office. ``write N NAME THREADS`` appends comment
lines to the one case, N in each thread (0: without end), and prints the name and number of each
change once it has been acknowledged. ``full`` writes until the disk lets no file grow. ``look``
prints what stands there as JSON.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
from itertools import count
from pathlib import Path
from threading import Thread
from typing import cast

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django

django.setup()

from django.core.management import call_command  # noqa: E402 - after the set-up
from django.db import connection  # noqa: E402

from comity.demo.caseload import demo_files  # noqa: E402
from comity.store import audit  # noqa: E402
from comity.store.cases import StaleError, add_case, add_note, change_document  # noqa: E402
from comity.store.errors import UnreachableError  # noqa: E402
from comity.store.models import Account, AuditRecord, Case, Role  # noqa: E402

ROOM = 300_000
"""How much the database may grow before its disk is full."""


def fill() -> None:
    """Make an office with one person and one case."""
    call_command("migrate", verbosity=0, interactive=False)
    owner = Account.objects.create_account(
        "owner@office.example", "a long enough password", name="Oona", role=Role.OWNER
    )
    case = add_case(demo_files()["applicants/hana.yaml"], actor=owner)
    add_note(case, "begun", actor=owner)


def write(most: int, name: str) -> None:
    """Change the case again and again, as many people would: from what stands there now."""
    owner = Account.objects.get()
    case = Case.objects.get()
    for number in count(1):
        while True:
            text = f"{case.document}# {name} {number}\n"
            try:
                case = change_document(case, text, base_version=case.version, actor=owner)
            except StaleError as error:
                case = cast("Case", error.current)
            else:
                break
        sys.stdout.write(f"{name} {number}\n")  # this is the acknowledgement
        sys.stdout.flush()
        if number == most:
            connection.close()
            return


def write_side_by_side(most: int, name: str, n_threads: int) -> None:
    """Write in several threads, each with a connection of its own."""
    threads = [Thread(target=write, args=(most, f"{name}.{place}")) for place in range(n_threads)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def write_until_full() -> None:
    """Write until no file may grow further; print the refusal, then write once more with room."""
    database = Path(connection.settings_dict["NAME"])
    sizes = [path.stat().st_size for path in database.parent.glob(f"{database.name}*")]
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    _soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (max(sizes) + ROOM, hard))
    case, owner = Case.objects.get(), Account.objects.get()
    refused = ""
    for number in count(1):
        try:
            add_note(case, f"{number} " + "x" * 20_000, actor=owner)
        except UnreachableError as error:
            refused = str(error)
            break
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    add_note(case, "there is room again", actor=owner)
    sys.stdout.write(json.dumps({"refused": refused, "n_notes": number - 1}))


def look() -> None:
    """Print what stands in the office."""
    case = Case.objects.get()
    chain = audit.verify()
    details = [
        audit.detail_of(each) or {}
        for each in AuditRecord.objects.filter(action="case/facts changed").order_by("sequence")
    ]
    found = {
        "problems": chain.problems,
        "n_records": chain.n_records,
        "version": case.version,
        "versions": [each["version"] for each in details],
        "lines": [line[2:] for line in case.document.splitlines() if line.startswith("# w")],
        "recorded": [line[3:] for each in details for line in each["lines"] if line[0] == "+"],
        "n_notes": case.notes.count(),
    }
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["fill"]:
            fill()
        case ["write", most, name, n_threads]:
            write_side_by_side(int(most), name, int(n_threads))
        case ["full"]:
            write_until_full()
        case ["look"]:
            look()
        case other:
            sys.exit(f"{other!r} is nothing this program does")
