"""Every core package says what it offers: ``__all__`` equals what can be imported from it."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import types
from pathlib import Path

import pytest

import comity.core

SOURCE = Path(__file__).parent.parent / "src" / "comity"
CORE_PACKAGES = [
    "comity.core",
    *(
        found.name
        for found in pkgutil.walk_packages(comity.core.__path__, "comity.core.")
        if found.ispkg
    ),
]


def offered_names(package: types.ModuleType) -> set[str]:
    """Return the public names which are not just modules or future statements."""
    return {
        name
        for name, value in vars(package).items()
        if not name.startswith("_")
        and not isinstance(value, types.ModuleType)
        and getattr(value, "__module__", None) != "__future__"
    }


@pytest.mark.parametrize("name", CORE_PACKAGES)
def test_all_equals_what_is_importable(name: str) -> None:
    package = importlib.import_module(name)
    assert sorted(package.__all__) == sorted(offered_names(package))


@pytest.mark.parametrize("name", CORE_PACKAGES)
def test_what_a_package_offers_is_documented(name: str) -> None:
    package = importlib.import_module(name)
    offered = {each: getattr(package, each) for each in package.__all__}
    silent = [
        name
        for name, value in offered.items()
        if (inspect.isclass(value) or inspect.isroutine(value)) and not inspect.getdoc(value)
    ]
    assert silent == []


def test_every_folder_with_code_is_a_package() -> None:
    folders = {path.parent for path in SOURCE.rglob("*.py")}
    lost = [
        str(path.relative_to(SOURCE)) for path in folders if not (path / "__init__.py").exists()
    ]
    assert lost == []


def test_adapters_offer_nothing_by_themselves() -> None:
    inits = set(SOURCE.rglob("__init__.py")) - set((SOURCE / "core").rglob("__init__.py"))
    filled = [str(path.relative_to(SOURCE)) for path in inits if path.read_text().strip()]
    # Django looks for an application's models in its package `models` itself.
    assert filled == ["store/models/__init__.py"]
