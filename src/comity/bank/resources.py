"""The files of the starter bank, as they are shipped."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

from comity.files.item_bank import read_bank
from comity.files.item_models import LoadedModels, load_item_models

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.items import Bank
    from comity.files.item_bank import Loaded


def texts_in(folder: str) -> Mapping[str, str]:
    """Return the YAML files of a folder of the bank by name, in order."""
    found = (files("comity.bank") / folder).iterdir()
    shipped = sorted((each for each in found if each.name.endswith(".yaml")), key=lambda e: e.name)
    return {each.name: each.read_text(encoding="utf-8") for each in shipped}


def load_models() -> LoadedModels:
    """Return the item models of the bank."""
    return load_item_models(texts_in("models"))


def starter_bank() -> tuple[Loaded[Bank], ...]:
    """Return the files of written items, in the order of their names, with their problems."""
    return tuple(read_bank(text, name) for name, text in texts_in("items").items())
