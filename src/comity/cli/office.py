"""The office's database, opened for the commands that need it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import NoReturn

import typer

STATUS: int = 1


@contextmanager
def office(*, is_new_allowed: bool = False) -> Iterator[None]:
    """Open the office for a command; what the store refuses ends it with status 1.

    Parameters
    ----------
    is_new_allowed : bool
        Make the database when there is none; else a missing office is refused.
    """
    if find_spec("django") is None:
        refuse_office(
            "the office's parts are not installed; install them: pip install 'comity[desk]'"
        )
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "comity.desk.settings")
    os.environ.setdefault("COMITY_LOCAL", "1")
    from comity.store.home import HomeError  # noqa: PLC0415 - the desk may not be installed

    try:
        _set_up(is_new_allowed=is_new_allowed)
        from comity.store.errors import StoreError  # noqa: PLC0415 - models need the settings
        from comity.store.writing import told  # noqa: PLC0415

        try:
            with told():
                yield
        except StoreError as error:
            refuse_office(str(error))
    except HomeError as error:
        refuse_office(str(error))


def refuse_office(sentence: str) -> NoReturn:
    """Say why nothing was done and end the command with status 1."""
    typer.echo(f"error: {sentence}", err=True)
    raise typer.Exit(STATUS)


def _set_up(*, is_new_allowed: bool) -> None:
    import django  # noqa: PLC0415 - the desk may not be installed
    from django.core.management import call_command  # noqa: PLC0415
    from django.db import DatabaseError, connection  # noqa: PLC0415

    django.setup()
    from comity.store.home import home  # noqa: PLC0415 - see above
    from comity.store.writing import sentence_for  # noqa: PLC0415

    if not is_new_allowed and connection.vendor == "sqlite" and not _is_there():
        refuse_office(
            f"there is no office in {home()}; set COMITY_HOME to the folder of yours, or start "
            "one with comity serve"
        )
    try:
        call_command("migrate", verbosity=0, interactive=False)
    except DatabaseError as error:
        refuse_office(sentence_for(error) or f"the office's database cannot be used: {error}")


def _is_there() -> bool:
    from django.db import connection  # noqa: PLC0415 - see above

    return os.path.exists(connection.settings_dict["NAME"])  # noqa: PTH110 - may be a memory's name
