"""Group A, children: growth references, velocity, catch-up."""

from __future__ import annotations

from math import copysign, exp, log
from typing import Final

from comity.core.exam.equations.asked import CHILD_WEIGHT, SEX, YES_NO
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_LMS: Final = (
    Quantity("measured", "", 0.1, 250),
    Quantity("l", "", -5, 5),
    Quantity("m", "", 0.1, 250),
    Quantity("s", "", 0.001, 1),
)
_STARTS: Final = (Quantity("start_g", "g", 300, 8000), Quantity("end_g", "g", 300, 8000))
_DAYS: Final = Quantity("days", "d", 1, 120)


def _lms_z(*, measured: float, l: float, m: float, s: float) -> float:  # noqa: E741 (literature)
    power: float = (measured / m) ** l
    return log(measured / m) / s if l == 0 else (power - 1) / (l * s)


def _restricted_z(*, measured: float, l: float, m: float, s: float) -> float:  # noqa: E741
    z = _lms_z(measured=measured, l=l, m=m, s=s)
    if abs(z) <= 3:
        return z
    # Beyond three deviations the distance between the second and third is the unit.
    sign = copysign(1, z)
    third, second = (_measure_at(sign * k, l=l, m=m, s=s) for k in (3, 2))
    return sign * 3 + (measured - third) / abs(third - second)


def _measure_at(z: float, *, l: float, m: float, s: float) -> float:  # noqa: E741
    measure: float = m * exp(s * z) if l == 0 else m * (1 + l * s * z) ** (1 / l)
    return measure


def _acute_malnutrition(*, muac_mm: float, whz: float, oedema: str) -> str:
    if muac_mm < 115 or whz < -3 or oedema == "yes":
        return "severe"
    return "moderate" if muac_mm < 125 or whz < -2 else "none"


EQUATIONS: Final = (
    Equation(
        id="lms_z",
        group="A14",
        title="Z-score by the LMS method",
        version="2006",
        states="((measured ÷ M)^L − 1) ÷ (L × S)",
        inputs=_LMS,
        unit="",
        source="Cole's LMS method; WHO Child Growth Standards",
        year=2006,
        status=Status.CONFIRMED,
        compute=_lms_z,
        note="for height and head there is no restriction beyond 3",
    ),
    Equation(
        id="lms_z_restricted",
        group="A14",
        title="Z-score of weight-based measures, restricted beyond 3",
        version="2006",
        states="as the LMS method; beyond ±3 in units of the distance between SD2 and SD3",
        inputs=_LMS,
        unit="",
        source="WHO Child Growth Standards, methods",
        year=2006,
        status=Status.CONFIRMED,
        compute=_restricted_z,
    ),
    Equation(
        id="interpolated",
        group="A15",
        title="Table value between two months",
        version="2007",
        states="earlier + (later − earlier) × part of the month",
        inputs=(
            Quantity("earlier", "", -250, 250),
            Quantity("later", "", -250, 250),
            Quantity("part", "", 0, 1),
        ),
        unit="",
        source="de Onis et al., Bull World Health Organ 85:660",
        year=2007,
        status=Status.CONFIRMED,
        compute=lambda earlier, later, part: earlier + (later - earlier) * part,
    ),
    Equation(
        id="percent_of_median",
        group="A16",
        title="Per cent of the median",
        version="1956/1972",
        states="measured ÷ median × 100",
        inputs=(CHILD_WEIGHT, Quantity("median_kg", "kg", 0.3, 120)),
        unit="%",
        source="Waterlow, Br Med J 3:566; Gómez et al., J Trop Pediatr 2:77",
        year=1972,
        status=Status.DEFINITION,
        compute=lambda weight_kg, median_kg: weight_kg / median_kg * 100,
    ),
    Equation(
        id="acute_malnutrition_2009",
        group="A17",
        title="Acute malnutrition, 6 to 59 months",
        version="2009",
        states="severe: arm under 115 mm, or z under −3, or oedema of both feet;"
        " moderate: arm under 125 mm, or z under −2",
        inputs=(
            Quantity("muac_mm", "mm", 80, 220),
            Quantity("whz", "", -7, 5),
            Choice("oedema", YES_NO),
        ),
        unit="",
        source="WHO and UNICEF, joint statement on severe acute malnutrition",
        year=2009,
        status=Status.FROM_MEMORY,
        compute=_acute_malnutrition,
    ),
    Equation(
        id="mid_parental_height",
        group="A18",
        title="Mid-parental height",
        version="1970",
        states="(father + mother + 13 for a boy, − 13 for a girl) ÷ 2",
        inputs=(
            SEX,
            Quantity("father_cm", "cm", 140, 215),
            Quantity("mother_cm", "cm", 130, 205),
        ),
        unit="cm",
        source="Tanner et al., Arch Dis Child 45:755",
        year=1970,
        status=Status.FROM_MEMORY,
        compute=lambda sex, father_cm, mother_cm: (
            (father_cm + mother_cm + (13 if sex == "male" else -13)) / 2
        ),
    ),
    Equation(
        id="corrected_age",
        group="A19",
        title="Corrected age",
        version="term at 40 weeks",
        states="chronological age − (40 − weeks of gestation at birth)",
        inputs=(Quantity("age_wk", "wk", 0, 110), Quantity("gestation_wk", "wk", 22, 37)),
        unit="wk",
        source="common practice: term at 40 weeks",
        year=2004,
        status=Status.DEFINITION,
        compute=lambda age_wk, gestation_wk: age_wk - (40 - gestation_wk),
    ),
    Equation(
        id="velocity_exponential",
        group="A20",
        title="Weight velocity, exponential",
        version="2005",
        states="1000 × ln(end ÷ start) ÷ days",
        inputs=(*_STARTS, _DAYS),
        unit="g/kg/d",
        source="Patel et al., Pediatrics 116:1466",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=lambda start_g, end_g, days: 1000 * log(end_g / start_g) / days,
    ),
    Equation(
        id="velocity_two_point",
        group="A20",
        title="Weight velocity, two-point average",
        version="2005",
        states="(end − start) ÷ days ÷ mean of both weights in kg",
        inputs=(*_STARTS, _DAYS),
        unit="g/kg/d",
        source="Patel et al., Pediatrics 116:1466",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=lambda start_g, end_g, days: (
            (end_g - start_g) / days / ((start_g + end_g) / 2 / 1000)
        ),
    ),
    Equation(
        id="catch_up_energy_1984",
        group="A21",
        title="Energy for catch-up growth, Peterson",
        version="1984",
        states="kcal/kg of the reference age × ideal weight for length ÷ actual weight",
        inputs=(
            Quantity("reference_kcal_kg", "kcal/kg/d", 50, 150),
            Quantity("ideal_kg", "kg", 1, 60),
            CHILD_WEIGHT,
        ),
        unit="kcal/kg/d",
        source="Peterson et al., J Am Diet Assoc 84",
        year=1984,
        status=Status.FROM_MEMORY,
        compute=lambda reference_kcal_kg, ideal_kg, weight_kg: (
            reference_kcal_kg * ideal_kg / weight_kg
        ),
    ),
)
