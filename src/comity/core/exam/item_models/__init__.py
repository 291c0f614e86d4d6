"""Item models: one description, many items that differ in their numbers, each with its solution.

For education and exam practice only. A model is a declared dataclass (`ItemModel`); `make_ready`
parses its formulas and tells what is wrong, `generate` draws.
"""

from __future__ import annotations

from comity.core.exam.item_models.checking import Flaw, ReadyModel, make_ready
from comity.core.exam.item_models.formula import FormulaError, parse_formula
from comity.core.exam.item_models.generating import NoItemError, generate, item_of_seed
from comity.core.exam.item_models.item import GeneratedItem, GeneratedOption, Refusal
from comity.core.exam.item_models.model import ItemModel
from comity.core.exam.item_models.trying import Trial, try_out

__all__ = [
    "Flaw",
    "FormulaError",
    "GeneratedItem",
    "GeneratedOption",
    "ItemModel",
    "NoItemError",
    "ReadyModel",
    "Refusal",
    "Trial",
    "generate",
    "item_of_seed",
    "make_ready",
    "parse_formula",
    "try_out",
]
