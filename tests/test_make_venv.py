"""The environment maker says in a sentence what an unfit interpreter lacks."""

from __future__ import annotations

import importlib.util
import sys

import pytest

from tools import make_venv


def test_this_interpreter_has_no_obstacle() -> None:
    assert make_venv.find_obstacle() is None


def test_an_old_interpreter_is_named_with_a_way_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    monkeypatch.setattr(sys, "executable", "/usr/bin/python3")
    assert make_venv.find_obstacle() == (
        "Comity needs Python 3.11 or newer; /usr/bin/python3 is 3.9.\n"
        "Name a newer one, for instance: make PYTHON=python3.12 demo"
    )


def test_a_missing_ensurepip_names_the_debian_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    obstacle = make_venv.find_obstacle()
    assert obstacle is not None
    assert "sudo apt-get install python3-venv" in obstacle
