"""Group A, adults: weight, stature, composition."""

from __future__ import annotations

from math import log10, pi, sqrt
from typing import Final

from comity.core.exam.equations.asked import HEIGHT, SEX, WEIGHT
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_IBW: Final = Quantity("ibw_kg", "kg", 20, 150)
_TALL: Final = Quantity("height_in", "in", 60, 90)
# Share of the body's weight in each part.
_PARTS: Final = {
    "hand": 0.007,
    "forearm and hand": 0.023,
    "arm": 0.05,
    "foot": 0.015,
    "lower leg and foot": 0.059,
    "entire leg": 0.16,
}
# Constant and slope by sex, from the least age of each band.
_DENSITY: Final = {
    "male": (
        (17, 1.1620, 0.0630),
        (20, 1.1631, 0.0632),
        (30, 1.1422, 0.0544),
        (40, 1.1620, 0.0700),
        (50, 1.1715, 0.0779),
    ),
    "female": (
        (16, 1.1549, 0.0678),
        (20, 1.1599, 0.0717),
        (30, 1.1423, 0.0632),
        (40, 1.1333, 0.0612),
        (50, 1.1339, 0.0645),
    ),
}


def _density(*, sex: str, age_y: float, skinfolds_mm: float) -> float:
    bands = [band for band in _DENSITY[sex] if age_y >= band[0]]
    if not bands:
        message = f"no band for {sex}, {age_y:g} y"
        raise ValueError(message)
    _, constant, slope = bands[-1]
    return constant - slope * log10(skinfolds_mm)


def _knee_height_stature(*, sex: str, age_y: float, knee_height_cm: float) -> float:
    if sex == "male":
        return 64.19 - 0.04 * age_y + 2.02 * knee_height_cm
    return 84.88 - 0.24 * age_y + 1.83 * knee_height_cm


def _muscle_circumference(*, muac_cm: float, skinfold_mm: float) -> float:
    return muac_cm - pi * skinfold_mm / 10


def _muscle_area(*, sex: str, muac_cm: float, skinfold_mm: float) -> float:
    bone = 10 if sex == "male" else 6.5
    around = _muscle_circumference(muac_cm=muac_cm, skinfold_mm=skinfold_mm)
    return around**2 / (4 * pi) - bone


def _frame(*, sex: str, height_cm: float, wrist_cm: float) -> str:
    ratio = height_cm / wrist_cm
    small, large = (10.4, 9.6) if sex == "male" else (11.0, 10.1)
    if ratio > small:
        return "small"
    return "large" if ratio < large else "medium"


EQUATIONS: Final = (
    Equation(
        id="bmi",
        group="A1",
        title="Body-mass index",
        version="WHO 2000",
        states="weight in kg divided by the square of height in m",
        inputs=(WEIGHT, HEIGHT),
        unit="kg/m²",
        source="WHO, Obesity, Technical Report Series 894",
        year=2000,
        status=Status.DEFINITION,
        compute=lambda weight_kg, height_cm: weight_kg / (height_cm / 100) ** 2,
    ),
    Equation(
        id="ibw_hamwi_1964",
        group="A2",
        title="Ideal body weight, Hamwi",
        version="1964",
        states="men 106 lb and 6 lb, women 100 lb and 5 lb for each inch over 60; 0.45359237 kg/lb",
        inputs=(SEX, _TALL),
        unit="kg",
        source="Hamwi, in Diabetes Mellitus: Diagnosis and Treatment",
        year=1964,
        status=Status.FROM_MEMORY,
        compute=lambda sex, height_in: (
            0.45359237
            * ((106 if sex == "male" else 100) + (6 if sex == "male" else 5) * (height_in - 60))
        ),
        note="a convention, not a norm; a frame of another size is given 10 % more or less",
    ),
    Equation(
        id="ibw_devine_1974",
        group="A3",
        title="Ideal body weight, Devine",
        version="1974",
        states="men 50 kg, women 45.5 kg, and 2.3 kg for each inch over 60",
        inputs=(SEX, _TALL),
        unit="kg",
        source="Devine, Drug Intell Clin Pharm 8:650",
        year=1974,
        status=Status.FROM_MEMORY,
        compute=lambda sex, height_in: (50 if sex == "male" else 45.5) + 2.3 * (height_in - 60),
        note="made for doses of a drug; not defined below 60 in",
    ),
    Equation(
        id="weight_loss_percent",
        group="A4",
        title="Weight loss in per cent of usual weight",
        version="1977",
        states="(usual weight − current weight) ÷ usual weight × 100",
        inputs=(Quantity("usual_kg", "kg", 20, 350), WEIGHT),
        unit="%",
        source="Blackburn et al., JPEN 1:11",
        year=1977,
        status=Status.DEFINITION,
        compute=lambda usual_kg, weight_kg: (usual_kg - weight_kg) / usual_kg * 100,
    ),
    Equation(
        id="usual_weight_percent",
        group="A4",
        title="Per cent of usual body weight",
        version="1977",
        states="current weight ÷ usual weight × 100",
        inputs=(Quantity("usual_kg", "kg", 20, 350), WEIGHT),
        unit="%",
        source="Blackburn et al., JPEN 1:11",
        year=1977,
        status=Status.DEFINITION,
        compute=lambda usual_kg, weight_kg: weight_kg / usual_kg * 100,
    ),
    Equation(
        id="adjusted_weight",
        group="A5",
        title="Adjusted body weight",
        version="factor as stated",
        states="ideal weight + factor × (actual weight − ideal weight)",
        inputs=(_IBW, WEIGHT, Quantity("factor", "", 0.1, 0.5)),
        unit="kg",
        source="review: Krenitsky, Nutr Clin Pract 20:468",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=lambda ibw_kg, weight_kg, factor: ibw_kg + factor * (weight_kg - ibw_kg),
        note="0.25 and 0.40 are both in use; not validated for energy needs",
    ),
    Equation(
        id="amputation_weight",
        group="A6",
        title="Weight of the whole body after an amputation",
        version="1995 shares",
        states="weight ÷ (1 − share); hand 0.7, forearm and hand 2.3, arm 5.0, foot 1.5,"
        " lower leg and foot 5.9, entire leg 16.0 %",
        inputs=(WEIGHT, Choice("part", tuple(_PARTS))),
        unit="kg",
        source="Osterkamp, J Am Diet Assoc 95:215",
        year=1995,
        # Read: a dietetic page on ideal body weight for amputees (all six shares), the Manual of
        # Clinical Nutrition Management (2013) and a dietitians' page (5.9 %, the division).
        status=Status.CONFIRMED,
        compute=lambda weight_kg, part: weight_kg / (1 - _PARTS[part]),
        note="other tables give other shares, so the share has to stand in the stem",
    ),
    Equation(
        id="stature_chumlea_1985",
        group="A7",
        title="Stature from knee height, Chumlea",
        version="1985",
        states="men 64.19 − 0.04 × age + 2.02 × knee height;"
        " women 84.88 − 0.24 × age + 1.83 × knee height (cm, years)",
        inputs=(SEX, Quantity("age_y", "y", 60, 90), Quantity("knee_height_cm", "cm", 35, 70)),
        unit="cm",
        source="Chumlea et al., J Am Geriatr Soc 33:116",
        year=1985,
        status=Status.CONFIRMED,
        compute=_knee_height_stature,
    ),
    Equation(
        id="stature_bassey_1986",
        group="A8",
        title="Stature from demispan, Bassey",
        version="1986",
        states="women 1.35 × demispan + 60.1; men 1.40 × demispan + 57.8 (cm)",
        inputs=(SEX, Quantity("demispan_cm", "cm", 55, 105)),
        unit="cm",
        source="Bassey, Ann Hum Biol 13:499",
        year=1986,
        status=Status.FROM_MEMORY,
        compute=lambda sex, demispan_cm: (
            1.40 * demispan_cm + 57.8 if sex == "male" else 1.35 * demispan_cm + 60.1
        ),
    ),
    Equation(
        id="waist_ratio",
        group="A9",
        title="Waist to hip, or waist to height",
        version="WHO 2008",
        states="waist circumference ÷ the other measure, both in cm",
        inputs=(Quantity("waist_cm", "cm", 40, 200), Quantity("other_cm", "cm", 60, 230)),
        unit="",
        source="WHO, Waist Circumference and Waist-Hip Ratio",
        year=2008,
        status=Status.DEFINITION,
        compute=lambda waist_cm, other_cm: waist_cm / other_cm,
    ),
    Equation(
        id="arm_muscle_circumference",
        group="A10",
        title="Mid-arm muscle circumference",
        version="1982",
        states="arm circumference − π × triceps skinfold, both in cm",
        inputs=(Quantity("muac_cm", "cm", 10, 60), Quantity("skinfold_mm", "mm", 2, 60)),
        unit="cm",
        source="Heymsfield et al., Am J Clin Nutr 36:680",
        year=1982,
        status=Status.FROM_MEMORY,
        compute=_muscle_circumference,
    ),
    Equation(
        id="arm_muscle_area_1982",
        group="A10",
        title="Bone-free arm muscle area, Heymsfield",
        version="1982",
        states="muscle circumference² ÷ (4 × π) − 10 (men) or − 6.5 (women)",
        inputs=(SEX, Quantity("muac_cm", "cm", 10, 60), Quantity("skinfold_mm", "mm", 2, 60)),
        unit="cm²",
        source="Heymsfield et al., Am J Clin Nutr 36:680",
        year=1982,
        status=Status.FROM_MEMORY,
        compute=_muscle_area,
    ),
    Equation(
        id="body_density_1974",
        group="A11",
        title="Body density from four skinfolds, Durnin and Womersley",
        version="1974",
        states="constant − slope × log10(sum of four skinfolds in mm), by sex and age",
        inputs=(SEX, Quantity("age_y", "y", 16, 72), Quantity("skinfolds_mm", "mm", 15, 200)),
        unit="g/mL",
        source="Durnin and Womersley, Br J Nutr 32:77",
        year=1974,
        status=Status.CONFIRMED,
        compute=_density,
    ),
    Equation(
        id="body_fat_siri_1961",
        group="A11",
        title="Body fat from density, Siri",
        version="1961",
        states="495 ÷ density − 450",
        inputs=(Quantity("density_g_ml", "g/mL", 0.97, 1.1),),
        unit="%",
        source="Siri, in Techniques for Measuring Body Composition",
        year=1961,
        status=Status.CONFIRMED,
        compute=lambda density_g_ml: 495 / density_g_ml - 450,
    ),
    Equation(
        id="bsa_mosteller_1987",
        group="A12",
        title="Body surface area, Mosteller",
        version="1987",
        states="√(weight in kg × height in cm ÷ 3600)",
        inputs=(WEIGHT, HEIGHT),
        unit="m²",
        source="Mosteller, N Engl J Med 317:1098",
        year=1987,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, height_cm: sqrt(weight_kg * height_cm / 3600),
    ),
    Equation(
        id="bsa_dubois_1916",
        group="A12",
        title="Body surface area, DuBois",
        version="1916",
        states="0.007184 × weight^0.425 × height^0.725 (kg, cm)",
        inputs=(WEIGHT, HEIGHT),
        unit="m²",
        source="DuBois and DuBois, Arch Intern Med 17:863",
        year=1916,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, height_cm: 0.007184 * weight_kg**0.425 * height_cm**0.725,
    ),
    Equation(
        id="frame_ratio",
        group="A13",
        title="Height to wrist ratio",
        version="1980",
        states="height ÷ wrist circumference, both in cm",
        inputs=(HEIGHT, Quantity("wrist_cm", "cm", 10, 25)),
        unit="",
        source="Grant, Handbook of Total Parenteral Nutrition",
        year=1980,
        status=Status.FROM_MEMORY,
        compute=lambda height_cm, wrist_cm: height_cm / wrist_cm,
    ),
    Equation(
        id="frame_size_1980",
        group="A13",
        title="Frame size, Grant",
        version="1980",
        states="height ÷ wrist: men over 10.4 small, under 9.6 large; women over 11.0, under 10.1",
        inputs=(SEX, HEIGHT, Quantity("wrist_cm", "cm", 10, 25)),
        unit="",
        source="Grant, Handbook of Total Parenteral Nutrition",
        year=1980,
        status=Status.FROM_MEMORY,
        compute=_frame,
    ),
)
