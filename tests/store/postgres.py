"""A real PostgreSQL for the tests: PyPI's pgserver brings one and needs no root."""

from __future__ import annotations

import os
import shutil
import tempfile
import warnings
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def postgres_server() -> Iterator[str]:
    """Run a server for a while; yield the address of its database.

    A server that cannot run fails the tests that need it, and says why: nothing is skipped.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # without a runtime folder it falls back on /tmp
        from pgserver.postgres_server import get_server  # noqa: PLC0415 - looks for a folder

    # Run by root, the server belongs to a user of its own, who cannot look into pytest's folders.
    folder = Path(tempfile.mkdtemp(prefix="comity-postgres-"))
    try:
        server = get_server(folder / "data", cleanup_mode="delete")
    except Exception as error:
        msg = f"PostgreSQL does not start; the tests that need it cannot pass: {error}"
        raise RuntimeError(msg) from error
    try:
        yield server.get_uri()
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


def environment_for(address: str, home: Path) -> dict[str, str]:
    """Return the environment of a process that keeps its office in that database."""
    return {
        **os.environ,
        "COMITY_DATABASE_URL": address,
        "COMITY_HOME": str(home),
    }
