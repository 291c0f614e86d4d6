"""Triggers by which both databases refuse to change or delete records of the audit trail."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

from django.db import connection as default_connection

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.db.backends.base.base import BaseDatabaseWrapper

TABLE: Final = "store_auditrecord"
_SAYS: Final = "the audit trail is only added to"
_SQLITE: Final = tuple(
    f"CREATE TRIGGER {TABLE}_no_{what.lower()} BEFORE {what} ON {TABLE} "
    f"BEGIN SELECT RAISE(ABORT, '{_SAYS}'); END"
    for what in ("UPDATE", "DELETE")
)
_POSTGRES: Final = (
    f"""CREATE OR REPLACE FUNCTION {TABLE}_refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '{_SAYS}'; END $$""",
    f"""CREATE TRIGGER {TABLE}_only_added BEFORE UPDATE OR DELETE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION {TABLE}_refuse()""",
    f"""CREATE TRIGGER {TABLE}_not_emptied BEFORE TRUNCATE ON {TABLE}
    FOR EACH STATEMENT EXECUTE FUNCTION {TABLE}_refuse()""",
)
_LIFT_SQLITE: Final = tuple(
    f"DROP TRIGGER IF EXISTS {TABLE}_no_{what}" for what in ("update", "delete")
)
_LIFT_POSTGRES: Final = tuple(
    f"DROP TRIGGER IF EXISTS {TABLE}_{what} ON {TABLE}" for what in ("only_added", "not_emptied")
)


def forbid_changes(connection: BaseDatabaseWrapper) -> None:
    """Let the database refuse changes of the audit trail from now on."""
    _run(connection, _POSTGRES if connection.vendor == "postgresql" else _SQLITE)


def lift(connection: BaseDatabaseWrapper) -> None:
    """Let the database accept them again."""
    _run(connection, _LIFT_POSTGRES if connection.vendor == "postgresql" else _LIFT_SQLITE)


@contextmanager
def lifted(connection: BaseDatabaseWrapper | None = None) -> Iterator[None]:
    """Let everything be replaced for a while: a restored backup, a test's own database."""
    connection = connection or default_connection
    lift(connection)
    try:
        yield
    finally:
        forbid_changes(connection)


def _run(connection: BaseDatabaseWrapper, statements: tuple[str, ...]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
