"""A program of the tests that works in an office: fills it, or writes until it is killed.

``python -m tests.store.writer fill`` makes a small office. ``python -m tests.store.writer write N``
appends comment lines to the one case, one change after the other, and prints the number of each
change once it has been acknowledged.
"""

from __future__ import annotations

import os
import sys
from itertools import count
from typing import cast

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django

django.setup()

from django.core.management import call_command  # noqa: E402 - after the set-up

from comity.demo.caseload import demo_files  # noqa: E402
from comity.store.cases import StaleError, add_case, add_note, change_document  # noqa: E402
from comity.store.models import Account, Case, Role  # noqa: E402


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
        print(number, flush=True)  # noqa: T201 - this is the acknowledgement
        if number == most:
            return


if __name__ == "__main__":
    if sys.argv[1] == "fill":
        fill()
    else:
        write(int(sys.argv[2]), sys.argv[3])
