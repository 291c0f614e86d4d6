"""Published equations of nutrition and dietetics, each once, with source, version and range.

For teaching and exam practice only; nothing here is for the care of patients.

Examples
--------
>>> EQUATIONS["mifflin_simple"].value(sex="female", weight_kg=62, height_cm=163, age_y=35)
1302.75
"""

from __future__ import annotations

from comity.core.exam.equations.equation import (
    ArgumentError,
    Choice,
    Equation,
    OutsideError,
    Quantity,
    Status,
)
from comity.core.exam.equations.every import EQUATIONS

__all__ = [
    "EQUATIONS",
    "ArgumentError",
    "Choice",
    "Equation",
    "OutsideError",
    "Quantity",
    "Status",
]
