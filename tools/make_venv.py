"""Make or refresh ``.venv`` from a lock file: ``python3 tools/make_venv.py requirements.lock``.

Only the standard library, and syntax that older interpreters can read, so that whoever has the
wrong interpreter reads a sentence rather than a stack trace. A stamp inside the environment holds
a digest of all that decides its contents; while it fits, nothing is done.
"""

from __future__ import annotations

import hashlib
import importlib.util
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
OLDEST = (3, 11)


def main(arguments: list[str]) -> int:
    """Bring ``.venv`` up to the named lock file; say what is done and what is in the way."""
    lock = ROOT / arguments[0]
    stamp = VENV / f"{lock.name}.stamp"
    if stamp.is_file() and stamp.read_text(encoding="ascii") == digest_of(lock):
        return 0
    if not _output_of([str(PYTHON), "-m", "pip", "--version"]):
        obstacle = find_obstacle()
        if obstacle:
            print(obstacle, file=sys.stderr)
            return 1
        print(f"Making the virtual environment {VENV} ...", flush=True)
        subprocess.run([sys.executable, "-m", "venv", "--clear", str(VENV)], check=True)
    print(f"Installing what {lock.name} names (needs the network the first time) ...", flush=True)
    for step in (["--require-hashes", "-r", str(lock)], _PROJECT):
        if subprocess.run([*_PIP, *step], cwd=ROOT, check=False).returncode:
            print(_INSTALL_FAILED.format(lock=lock.name), file=sys.stderr)
            return 1
    stamp.write_text(digest_of(lock), encoding="ascii")
    return 0


def find_obstacle() -> str | None:
    """Return a sentence on what this interpreter lacks, or None."""
    if sys.version_info < OLDEST:
        return (
            "Comity needs Python {}.{} or newer; {} is {}.{}.\n"
            "Name a newer one, for instance: make PYTHON=python3.12 demo"
        ).format(*OLDEST, sys.executable, *sys.version_info[:2])
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        return (
            f"{sys.executable} cannot make a virtual environment: its modules venv and ensurepip"
            " are missing.\nOn Debian and Ubuntu they come with the package python3-venv:"
            " sudo apt-get install python3-venv"
        )
    return None


def digest_of(lock: Path) -> str:
    """Return a digest of the lock file, the project's settings and the environment's Python."""
    version = _output_of([str(PYTHON), "--version"])
    parts = [lock.read_bytes(), (ROOT / "pyproject.toml").read_bytes(), version.encode()]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def _output_of(command: list[str]) -> str:
    """Return what the command prints; nothing if it fails or is not there."""
    try:
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout
    except (OSError, subprocess.CalledProcessError):
        return ""


_PIP = [str(PYTHON), "-m", "pip", "install", "-qq", "--disable-pip-version-check"]
# The build backend comes from the lock file too, hence neither isolation nor dependencies.
_PROJECT = ["--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
_INSTALL_FAILED = (
    "Installing from {lock} failed; what pip says stands above.\n"
    "Without a network, or behind a mirror that lacks a file, this cannot work; once it does,"
    " run the same command again."
)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
