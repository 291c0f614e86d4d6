"""Group L: pregnancy, lactation, ketogenic feeding.

The requirement of pregnancy of the DRI 2023 is left out until its text has been read.
"""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ENERGY
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

# Total and weekly gain in kg, each least and most.
_GAIN: Final = {
    "underweight": (12.5, 18.0, 0.44, 0.58),
    "normal": (11.5, 16.0, 0.35, 0.50),
    "overweight": (7.0, 11.5, 0.23, 0.33),
    "obese": (5.0, 9.0, 0.17, 0.27),
}
_CLASS: Final = Choice("bmi_class", tuple(_GAIN))
_END: Final = Choice("end", ("least", "most"))
_ADDED: Final = {"first": 0.0, "second": 340.0, "third": 452.0}


def _gain_so_far(*, bmi_class: str, end: str, week: float, first_trimester_kg: float) -> float:
    weekly = _GAIN[bmi_class][2 if end == "least" else 3]
    return first_trimester_kg + weekly * (week - 13)


def _unit_energy(ratio: float) -> float:
    return 9 * ratio + 4


EQUATIONS: Final = (
    Equation(
        id="gestational_gain_total",
        group="L1",
        title="Gain of weight in pregnancy, one child",
        version="IOM 2009",
        states="underweight 12.5 to 18, normal 11.5 to 16, overweight 7 to 11.5, obese 5 to 9 kg",
        inputs=(_CLASS, _END),
        unit="kg",
        source="Institute of Medicine, Weight Gain During Pregnancy",
        year=2009,
        status=Status.CONFIRMED,
        compute=lambda bmi_class, end: _GAIN[bmi_class][0 if end == "least" else 1],
    ),
    Equation(
        id="gestational_gain_so_far",
        group="L1",
        title="Gain of weight expected by a week of pregnancy, one child",
        version="IOM 2009; first trimester ends with week 13",
        states="gain of the first trimester (0.5 to 2 kg) + weekly gain × (week − 13); weekly:"
        " underweight 0.44 to 0.58, normal 0.35 to 0.50, overweight 0.23 to 0.33,"
        " obese 0.17 to 0.27 kg",
        inputs=(
            _CLASS,
            _END,
            Quantity("week", "wk", 14, 41),
            Quantity("first_trimester_kg", "kg", 0, 3),
        ),
        unit="kg",
        source="Institute of Medicine, Weight Gain During Pregnancy",
        year=2009,
        status=Status.CONFIRMED,
        compute=_gain_so_far,
    ),
    Equation(
        id="pregnancy_energy_2005",
        group="L2",
        title="Energy of pregnancy",
        version="IOM 2005",
        states="requirement before pregnancy + 0, 340, 452 kcal in the trimesters",
        inputs=(
            Quantity("before_kcal", "kcal/d", 1000, 5000),
            Choice("trimester", tuple(_ADDED)),
        ),
        unit="kcal/d",
        source="Institute of Medicine, Dietary Reference Intakes for Energy",
        year=2005,
        status=Status.CONFIRMED,
        compute=lambda before_kcal, trimester: before_kcal + _ADDED[trimester],
        note="other authorities add other amounts",
    ),
    Equation(
        id="lactation_energy_2023",
        group="L3",
        title="Energy of lactation",
        version="DRI 2023",
        states="requirement + 540 − 140 kcal in months 0 to 6; + 380 kcal in months 7 to 12",
        inputs=(
            Quantity("before_kcal", "kcal/d", 1000, 5000),
            Choice("months", ("0 to 6", "7 to 12")),
        ),
        unit="kcal/d",
        source="National Academies, Dietary Reference Intakes for Energy",
        year=2023,
        status=Status.FROM_MEMORY,
        compute=lambda before_kcal, months: before_kcal + (400 if months == "0 to 6" else 380),
    ),
    Equation(
        id="lactation_energy_2005",
        group="L3",
        title="Energy of lactation",
        version="IOM 2005",
        states="requirement + 330 kcal in months 0 to 6; + 400 kcal in months 7 to 12",
        inputs=(
            Quantity("before_kcal", "kcal/d", 1000, 5000),
            Choice("months", ("0 to 6", "7 to 12")),
        ),
        unit="kcal/d",
        source="Institute of Medicine, Dietary Reference Intakes for Energy",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=lambda before_kcal, months: before_kcal + (330 if months == "0 to 6" else 400),
    ),
    Equation(
        id="ketogenic_fat",
        group="L4",
        title="Fat of a ketogenic diet",
        version="ratio by weight",
        states="unit = 9 × ratio + 4 kcal; fat = ratio × energy ÷ unit",
        inputs=(Quantity("ratio", "", 1, 5), ENERGY),
        unit="g",
        source="definition of the ketogenic ratio",
        year=1972,
        status=Status.DEFINITION,
        compute=lambda ratio, energy_kcal: ratio * energy_kcal / _unit_energy(ratio),
    ),
    Equation(
        id="ketogenic_rest",
        group="L4",
        title="Protein and carbohydrate of a ketogenic diet",
        version="ratio by weight",
        states="unit = 9 × ratio + 4 kcal; protein and carbohydrate together = energy ÷ unit",
        inputs=(Quantity("ratio", "", 1, 5), ENERGY),
        unit="g",
        source="definition of the ketogenic ratio",
        year=1972,
        status=Status.DEFINITION,
        compute=lambda ratio, energy_kcal: energy_kcal / _unit_energy(ratio),
    ),
)
