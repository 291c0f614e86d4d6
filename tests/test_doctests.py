"""The examples in docstrings give what they show."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

SOURCE = Path(__file__).parent.parent / "src"


def module_names() -> list[str]:
    """Return the modules whose source holds an example."""
    paths = [path for path in SOURCE.rglob("*.py") if ">>> " in path.read_text(encoding="utf-8")]
    return sorted(
        ".".join(path.relative_to(SOURCE).with_suffix("").parts).removesuffix(".__init__")
        for path in paths
    )


@pytest.mark.parametrize("name", module_names())
def test_examples_in_docstrings_hold(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.attempted > 0
    assert outcome.failed == 0
