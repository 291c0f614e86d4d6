"""Offices of their own for tests that kill, fill up or copy: each in a folder, on one database."""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final
from uuid import uuid4

import psycopg

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT: Final = Path(__file__).parent.parent.parent
_OWN: Final = ("COMITY_DATABASE_URL", "COMITY_SIGNING_KEY", "COMITY_SEALING_KEY", "COMITY_DEMO")


@dataclass(frozen=True, slots=True)
class TestOffice:
    """An office that processes of their own work in."""

    __test__ = False

    home: Path
    settings: dict[str, str] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        """What its processes are started with."""
        inherited = {name: value for name, value in os.environ.items() if name not in _OWN}
        return {**inherited, "COMITY_HOME": str(self.home), "COMITY_LOCAL": "1", **self.settings}

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run a module of ours to its end."""
        return subprocess.run(
            [sys.executable, "-m", *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
        )

    def start(self, *arguments: str) -> subprocess.Popen[str]:
        """Start a module of ours and go on."""
        return subprocess.Popen(
            [sys.executable, "-m", *arguments],
            cwd=ROOT,
            env=self.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def comity(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run the command line."""
        return self.run("comity", *arguments)

    def filled(self) -> TestOffice:
        """Fill it with one person and one case."""
        done = self.run("tests.store.writer", "fill")
        assert done.returncode == 0, done.stderr
        return self


def on_sqlite(folder: Path) -> TestOffice:
    """Return an office in a file below a folder."""
    return TestOffice(folder / f"home-{uuid4().hex[:8]}")


@contextmanager
def on_postgres(folder: Path, address: str) -> Iterator[TestOffice]:
    """Return an office in a database of its own on a server."""
    name = f"office_{uuid4().hex[:8]}"
    with psycopg.connect(address, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
        own = address.replace("/postgres?", f"/{name}?")
        try:
            yield TestOffice(folder / f"home-{name}", {"COMITY_DATABASE_URL": own})
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
