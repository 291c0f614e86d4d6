"""The import contracts of pyproject.toml bite: each kind of breach is found on a small copy."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

PYPROJECT = Path(__file__).parent.parent / "pyproject.toml"
SETTINGS = PYPROJECT.read_text(encoding="utf-8")
CONTRACTS = tomllib.loads(SETTINGS)["tool"]["importlinter"]["contracts"]

MODULES = (
    *("cli", "desk", "store", "service", "brief", "demo", "bank", "charts", "files", "core"),
    *("core/exam", "core/evidence", "core/plan", "core/eligibility"),
    *("core/rulebook", "core/facts", "core/days", "core/declaring"),
)

BREACHES = {
    "a lower layer imports a higher one": ("files", "import comity.service", "layers"),
    "the command line is imported from below": ("service", "import comity.cli", "layers"),
    "the brief imports the demo": ("brief", "import comity.demo", "layers"),
    "the charts import the files": ("charts", "import comity.files", "layers"),
    "the core imports a reader": ("core/facts", "import comity.files", "layers"),
    "day-sets import declarations": ("core/days", "import comity.core.declaring", "core-layers"),
    "day-sets import the rulebook": ("core/days", "import comity.core.rulebook", "core-layers"),
    "the exam imports the plan": ("core/exam", "import comity.core.plan", "core-layers"),
    "problems import day-sets": ("core/problems.py", "import comity.core.days", "core-layers"),
    "a module has found no layer": ("extra", "", "layers"),
    "a core module has found no layer": ("core/extra", "", "core-layers"),
    "the core opens files": ("core/days", "from pathlib import Path", "pure-core"),
    "the core reads the clock": ("core/days", "import time", "pure-core"),
    "the core reads YAML": ("core/rulebook", "import yaml", "pure-core"),
    "the core asks the system": ("core/facts", "from os.path import join", "pure-core"),
    "use cases know Django": ("service", "import django.db", "no-django-below-the-store"),
}


def lay_out_project(folder: Path, *, module: str = "core/days", line: str = "") -> None:
    """Write a package with our layers and nothing inside, but for one line in one module."""
    for name in (*MODULES, "."):
        _write(folder / "src/comity" / name / "__init__.py")
    for name in ("problems.py", "problem_codes.py"):
        _write(folder / "src/comity/core" / name)
    (folder / "pyproject.toml").write_text(SETTINGS, encoding="utf-8")
    path = folder / "src/comity" / module
    _write(path if path.suffix else path / "__init__.py", line)


def _write(path: Path, line: str = "") -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"{line}\n", encoding="utf-8")


def lint_imports(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Run import-linter on the project laid out in the folder."""
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache", *options]
    environment = {**os.environ, "PYTHONPATH": str(folder / "src")}
    return subprocess.run(
        command, cwd=folder, env=environment, check=False, capture_output=True, text=True
    )


def test_a_tree_without_breach_keeps_every_contract(tmp_path: Path) -> None:
    lay_out_project(tmp_path, module="cli", line="import pathlib, comity.service, comity.core.days")
    done = lint_imports(tmp_path)
    assert done.returncode == 0, done.stdout
    assert f"Contracts: {len(CONTRACTS)} kept, 0 broken." in done.stdout


@pytest.mark.parametrize(("module", "line", "contract"), BREACHES.values(), ids=BREACHES)
def test_a_breach_breaks_its_contract_and_no_other(
    tmp_path: Path, module: str, line: str, contract: str
) -> None:
    lay_out_project(tmp_path, module=module, line=line)
    done = lint_imports(tmp_path)
    broken = [kind["name"] for kind in CONTRACTS if f"{kind['name']} BROKEN" in done.stdout]
    assert done.returncode == 1, done.stdout
    assert broken == [kind["name"] for kind in CONTRACTS if kind["id"] == contract]
