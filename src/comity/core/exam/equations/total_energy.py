"""Group B: energy in all, expenditure measured or rated, and the split of macronutrients."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ENERGY, SEX, WEIGHT
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_LEVELS: Final = ("inactive", "low active", "active", "very active")
_LEVEL: Final = Choice("activity", _LEVELS)
_HEIGHT: Final = Quantity("height_cm", "cm", 80, 230)
_VO2: Final = Quantity("vo2_ml_min", "mL/min", 50, 1000)
_VCO2: Final = Quantity("vco2_ml_min", "mL/min", 40, 1000)
_TBSA: Final = Quantity("tbsa_percent", "%", 0, 100)
# Constant, per year, per cm, per kg.
_ADULT: Final = {
    "male": (
        (753.07, -10.83, 6.50, 14.10),
        (581.47, -10.83, 8.30, 14.94),
        (1004.82, -10.83, 6.52, 15.91),
        (-517.88, -10.83, 15.61, 19.11),
    ),
    "female": (
        (584.90, -7.01, 5.72, 11.71),
        (575.77, -7.01, 6.60, 12.14),
        (710.25, -7.01, 6.54, 12.34),
        (511.83, -7.01, 9.07, 12.56),
    ),
}
_CHILD: Final = {
    "male": (
        (-447.51, 3.68, 13.01, 13.15),
        (19.12, 3.68, 8.62, 20.28),
        (-388.19, 3.68, 12.66, 20.46),
        (-671.75, 3.68, 15.38, 23.25),
    ),
    "female": (
        (55.59, -22.25, 8.43, 17.07),
        (-297.54, -22.25, 12.77, 14.73),
        (-189.55, -22.25, 11.74, 18.34),
        (-709.59, -22.25, 18.22, 14.25),
    ),
}
_PA_2005: Final = {"male": (1.00, 1.11, 1.25, 1.48), "female": (1.00, 1.12, 1.27, 1.45)}


def _eer_adult(
    *, sex: str, activity: str, age_y: float, height_cm: float, weight_kg: float
) -> float:
    constant, per_y, per_cm, per_kg = _ADULT[sex][_LEVELS.index(activity)]
    return constant + per_y * age_y + per_cm * height_cm + per_kg * weight_kg


def _eer_child(
    *, sex: str, activity: str, age_y: float, height_cm: float, weight_kg: float, growth_kcal: float
) -> float:
    constant, per_y, per_cm, per_kg = _CHILD[sex][_LEVELS.index(activity)]
    return constant + per_y * age_y + per_cm * height_cm + per_kg * weight_kg + growth_kcal


def _eer_2005(
    *, sex: str, activity: str, age_y: float, height_cm: float, weight_kg: float
) -> float:
    factor, metres = _PA_2005[sex][_LEVELS.index(activity)], height_cm / 100
    if sex == "male":
        return 661.8 - 9.53 * age_y + factor * (15.91 * weight_kg + 539.6 * metres)
    return 354.1 - 6.91 * age_y + factor * (9.36 * weight_kg + 726 * metres)


def _toronto(
    *, tbsa_percent: float, intake_kcal: float, harris_kcal: float, tmax_c: float, days: float
) -> float:
    moving = 10.5 * tbsa_percent + 0.23 * intake_kcal + 0.84 * harris_kcal
    return -4343 + moving + 114 * tmax_c - 4.5 * days


EQUATIONS: Final = (
    Equation(
        id="weir_1949",
        group="B9",
        title="Weir, without urinary nitrogen",
        version="1949, abbreviated",
        states="(3.941 × VO2 + 1.106 × VCO2) × 1.44, both in mL/min",
        inputs=(_VO2, _VCO2),
        unit="kcal/d",
        source="Weir, J Physiol 109:1",
        year=1949,
        status=Status.FROM_MEMORY,
        compute=lambda vo2_ml_min, vco2_ml_min: (3.941 * vo2_ml_min + 1.106 * vco2_ml_min) * 1.44,
    ),
    Equation(
        id="weir_nitrogen_1949",
        group="B9",
        title="Weir, with urinary nitrogen",
        version="1949",
        states="(3.941 × VO2 + 1.106 × VCO2) × 1.44 − 2.17 × urinary nitrogen in g/d",
        inputs=(_VO2, _VCO2, Quantity("nitrogen_g", "g/d", 0, 60)),
        unit="kcal/d",
        source="Weir, J Physiol 109:1",
        year=1949,
        status=Status.FROM_MEMORY,
        compute=lambda vo2_ml_min, vco2_ml_min, nitrogen_g: (
            (3.941 * vo2_ml_min + 1.106 * vco2_ml_min) * 1.44 - 2.17 * nitrogen_g
        ),
    ),
    Equation(
        id="respiratory_quotient",
        group="B9",
        title="Respiratory quotient",
        version="definition",
        states="VCO2 ÷ VO2",
        inputs=(_VO2, _VCO2),
        unit="",
        source="definition of indirect calorimetry",
        year=1949,
        status=Status.DEFINITION,
        compute=lambda vo2_ml_min, vco2_ml_min: vco2_ml_min / vo2_ml_min,
    ),
    Equation(
        id="total_energy_long",
        group="B10",
        title="Energy from resting energy and factors",
        version="1979, factors as stated",
        states="resting energy × activity factor × stress factor",
        inputs=(
            Quantity("resting_kcal", "kcal/d", 300, 5000),
            Quantity("activity", "", 1, 2.5),
            Quantity("stress", "", 0.8, 2.2),
        ),
        unit="kcal/d",
        source="Long et al., JPEN 3:452",
        year=1979,
        status=Status.DEFINITION,
        compute=lambda resting_kcal, activity, stress: resting_kcal * activity * stress,
    ),
    Equation(
        id="eer_2023",
        group="B11",
        title="Estimated energy requirement, 19 years and over",
        version="DRI 2023",
        states="by sex and activity; inactive men 753.07 − 10.83 × years + 6.50 × cm + 14.10 × kg;"
        " inactive women 584.90 − 7.01 × years + 5.72 × cm + 11.71 × kg",
        inputs=(SEX, _LEVEL, Quantity("age_y", "y", 19, 110), _HEIGHT, WEIGHT),
        unit="kcal/d",
        source="National Academies, Dietary Reference Intakes for Energy",
        year=2023,
        status=Status.CONFIRMED,
        compute=_eer_adult,
    ),
    Equation(
        id="eer_child_2023",
        group="B11",
        title="Estimated energy requirement, 3 up to 19 years",
        version="DRI 2023",
        states="by sex and activity, and the energy of growth given in the stem",
        inputs=(
            SEX,
            _LEVEL,
            Quantity("age_y", "y", 3, 18.99),
            _HEIGHT,
            Quantity("weight_kg", "kg", 8, 150),
            Quantity("growth_kcal", "kcal/d", 0, 40),
        ),
        unit="kcal/d",
        source="National Academies, Dietary Reference Intakes for Energy",
        year=2023,
        status=Status.CONFIRMED,
        compute=_eer_child,
        note="the growth energy of boys was written from memory; it is an input",
    ),
    Equation(
        id="eer_2005",
        group="B12",
        title="Estimated energy requirement, 19 years and over",
        version="DRI 2002/2005",
        states="men 661.8 − 9.53 × years + PA × (15.91 × kg + 539.6 × m), PA 1.00, 1.11, 1.25,"
        " 1.48; women 354.1 − 6.91 × years + PA × (9.36 × kg + 726 × m), PA 1.00, 1.12, 1.27,"
        " 1.45",
        inputs=(SEX, _LEVEL, Quantity("age_y", "y", 19, 110), _HEIGHT, WEIGHT),
        unit="kcal/d",
        source="Institute of Medicine, Dietary Reference Intakes for Energy",
        year=2005,
        status=Status.CONFIRMED,
        compute=_eer_2005,
        note="replaced by the edition of 2023",
    ),
    Equation(
        id="energy_by_weight",
        group="B13",
        title="Energy or substance by weight",
        version="amount per kg as stated",
        states="amount per kg × weight",
        inputs=(Quantity("per_kg", "per kg", 0.01, 200), Quantity("weight_kg", "kg", 0.3, 350)),
        unit="",
        source="common practice",
        year=2016,
        status=Status.DEFINITION,
        compute=lambda per_kg, weight_kg: per_kg * weight_kg,
    ),
    Equation(
        id="energy_deficit_1958",
        group="B14",
        title="Daily deficit for a weekly loss",
        version="7700 kcal/kg",
        states="loss in kg per week × 7700 ÷ 7",
        inputs=(Quantity("loss_kg_week", "kg/week", 0.1, 1.5),),
        unit="kcal/d",
        source="Wishnofsky, Am J Clin Nutr 6:542",
        year=1958,
        status=Status.FROM_MEMORY,
        compute=lambda loss_kg_week: loss_kg_week * 7700 / 7,
        note="a static teaching rule that overstates the loss of a long time",
    ),
    Equation(
        id="met_acsm",
        group="B15",
        title="Energy of an activity from METs",
        version="3.5 mL/kg/min",
        states="MET × 3.5 × kg ÷ 200 × minutes",
        inputs=(Quantity("met", "MET", 1, 20), WEIGHT, Quantity("minutes", "min", 1, 600)),
        unit="kcal",
        source="ACSM metabolic equations",
        year=2013,
        status=Status.FROM_MEMORY,
        compute=lambda met, weight_kg, minutes: met * 3.5 * weight_kg / 200 * minutes,
    ),
    Equation(
        id="met_simple",
        group="B15",
        title="Energy of an activity from METs",
        version="1 kcal/kg/h",
        states="MET × kg × hours",
        inputs=(Quantity("met", "MET", 1, 20), WEIGHT, Quantity("minutes", "min", 1, 600)),
        unit="kcal",
        source="ACSM metabolic equations",
        year=2013,
        status=Status.FROM_MEMORY,
        compute=lambda met, weight_kg, minutes: met * weight_kg * minutes / 60,
    ),
    Equation(
        id="energy_availability",
        group="B16",
        title="Energy availability",
        version="per kg of fat-free mass",
        states="(energy eaten − energy of exercise) ÷ fat-free mass in kg",
        inputs=(
            ENERGY,
            Quantity("exercise_kcal", "kcal", 0, 6000),
            Quantity("ffm_kg", "kg", 15, 130),
        ),
        unit="kcal/kg",
        source="Loucks and colleagues",
        year=2003,
        status=Status.DEFINITION,
        compute=lambda energy_kcal, exercise_kcal, ffm_kg: (energy_kcal - exercise_kcal) / ffm_kg,
    ),
    Equation(
        id="curreri_1974",
        group="B17",
        title="Energy after burns, Curreri",
        version="1974",
        states="25 × kg + 40 × per cent of body surface burnt",
        inputs=(WEIGHT, _TBSA),
        unit="kcal/d",
        source="Curreri et al., J Am Diet Assoc 65:415",
        year=1974,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, tbsa_percent: 25 * weight_kg + 40 * tbsa_percent,
        note="historical; overestimates",
    ),
    Equation(
        id="toronto_1990",
        group="B17",
        title="Energy after burns, Toronto",
        version="1990",
        states="−4343 + 10.5 × burnt % + 0.23 × intake + 0.84 × Harris–Benedict + 114 × °C"
        " − 4.5 × days",
        inputs=(
            _TBSA,
            Quantity("intake_kcal", "kcal/d", 0, 8000),
            Quantity("harris_kcal", "kcal/d", 600, 4000),
            Quantity("tmax_c", "°C", 34, 42),
            Quantity("days", "d", 0, 120),
        ),
        unit="kcal/d",
        source="Allard et al., JPEN 14:115",
        year=1990,
        status=Status.FROM_MEMORY,
        compute=_toronto,
    ),
    Equation(
        id="parkland",
        group="B17",
        title="Fluid of the first day after burns, Parkland",
        version="4 mL",
        states="4 mL × kg × per cent of body surface burnt; half in 8 h from the injury",
        inputs=(WEIGHT, _TBSA),
        unit="mL",
        source="Baxter and Shires, Ann N Y Acad Sci 150:874",
        year=1968,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, tbsa_percent: 4 * weight_kg * tbsa_percent,
    ),
    Equation(
        id="grams_of_energy_share",
        group="B18",
        title="Grams of a macronutrient from its share of energy",
        version="kcal/g as stated",
        states="energy × share ÷ 100 ÷ kcal per g (protein and carbohydrate 4, fat 9)",
        inputs=(ENERGY, Quantity("percent", "%", 0, 100), Quantity("kcal_g", "kcal/g", 2, 9)),
        unit="g",
        source="general Atwater factors",
        year=1973,
        status=Status.DEFINITION,
        compute=lambda energy_kcal, percent, kcal_g: energy_kcal * percent / 100 / kcal_g,
    ),
    Equation(
        id="alcohol_g",
        group="B18",
        title="Alcohol of a drink",
        version="0.789 g/mL",
        states="mL × per cent by volume ÷ 100 × 0.789; 7 kcal/g",
        inputs=(Quantity("volume_ml", "mL", 1, 5000), Quantity("abv_percent", "%", 0, 96)),
        unit="g",
        source="density of ethanol at 20 °C",
        year=1973,
        status=Status.DEFINITION,
        compute=lambda volume_ml, abv_percent: volume_ml * abv_percent / 100 * 0.789,
    ),
)
