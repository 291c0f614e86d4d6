"""Inputs that many equations ask for, said once."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.equation import Choice, Quantity

SEX: Final = Choice("sex", ("female", "male"))
WEIGHT: Final = Quantity("weight_kg", "kg", 20, 350)
CHILD_WEIGHT: Final = Quantity("weight_kg", "kg", 0.3, 120)
ANY_WEIGHT: Final = Quantity("weight_kg", "kg", 0.3, 350)
HEIGHT: Final = Quantity("height_cm", "cm", 120, 230)
CHILD_HEIGHT: Final = Quantity("height_cm", "cm", 40, 200)
ADULT_AGE: Final = Quantity("age_y", "y", 18, 110)
ENERGY: Final = Quantity("energy_kcal", "kcal", 0, 10000)
PROTEIN: Final = Quantity("protein_g", "g", 0, 500)
HOURS: Final = Quantity("hours", "h", 0.25, 24)
YES_NO: Final = ("yes", "no")
