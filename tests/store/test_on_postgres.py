"""The store's tests once more, on PostgreSQL: in a process of their own, whose database it is."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.store.postgres import environment_for

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
# These start databases and processes of their own, for both.
OTHERS = ("test_on_postgres.py", "test_faults.py", "test_backup_across.py", "test_settings.py")


def test_all_that_is_said_of_the_store_holds_on_postgres(postgres: str, tmp_path: Path) -> None:
    files = [str(path) for path in sorted(HERE.glob("test_*.py")) if path.name not in OTHERS]
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *files],
        cwd=ROOT,
        env=environment_for(postgres, tmp_path),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert " passed" in run.stdout
