from __future__ import annotations

import re
from pathlib import Path

from comity.files.item_models import load_item_models
from tools import make_item_model_reference

HOW_TO = Path(__file__).parents[3] / "docs" / "how-to" / "write-an-item-model.md"


def test_the_reference_of_item_models_is_current() -> None:
    written = make_item_model_reference.PAGE.read_text(encoding="utf-8")
    assert written == make_item_model_reference.reference(), (
        "run: .venv/bin/python -m tools.make_item_model_reference"
    )


def test_the_model_of_the_how_to_page_is_sound() -> None:
    found = re.search(r"```yaml\n(.*?)```", HOW_TO.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    loaded = load_item_models({"fat.yaml": found[1]})
    assert loaded.problems == ()
    assert len(loaded.models) == 1
