"""Group B: energy at rest."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ADULT_AGE, ANY_WEIGHT, HEIGHT, SEX, WEIGHT, YES_NO
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_PERSON: Final = (SEX, WEIGHT, HEIGHT, ADULT_AGE)
_ANY_AGE: Final = Quantity("age_y", "y", 0, 110)
_FFM: Final = Quantity("ffm_kg", "kg", 15, 130)
_REE: Final = Quantity("mifflin_kcal", "kcal/d", 500, 5000)
_VE: Final = Quantity("ventilation_l_min", "L/min", 2, 30)
_TMAX: Final = Quantity("tmax_c", "°C", 34, 42)
# Per kg and constant, from the least age of each band.
_SCHOFIELD: Final = {
    "male": (
        (0, 59.512, -30.4),
        (3, 22.706, 504.3),
        (10, 17.686, 658.2),
        (18, 15.057, 692.2),
        (30, 11.472, 873.1),
        (60, 11.711, 587.7),
    ),
    "female": (
        (0, 58.317, -31.1),
        (3, 20.315, 485.9),
        (10, 13.384, 692.6),
        (18, 14.818, 486.6),
        (30, 8.126, 845.6),
        (60, 9.082, 658.5),
    ),
}
# Per kg, per metre, constant.
_HENRY: Final = {
    "male": (
        (0, 28.2, 859, -371),
        (3, 15.1, 74.2, 306),
        (10, 15.6, 266, 299),
        (18, 14.4, 313, 113),
        (30, 11.4, 541, -137),
        (60, 11.4, 541, -256),
    ),
    "female": (
        (0, 30.4, 703, -287),
        (3, 15.9, 210, 349),
        (10, 9.40, 249, 462),
        (18, 10.4, 615, -282),
        (30, 8.18, 502, -11.6),
        (60, 8.52, 421, 10.7),
    ),
}
_HENRY_W: Final = {
    "male": (
        (0, 61.0, -33.7),
        (3, 23.3, 514),
        (10, 18.4, 581),
        (18, 16.0, 545),
        (30, 14.2, 593),
        (60, 13.5, 514),
    ),
    "female": (
        (0, 58.9, -23.1),
        (3, 20.1, 507),
        (10, 11.1, 761),
        (18, 13.1, 558),
        (30, 9.74, 694),
        (60, 10.1, 569),
    ),
}


def _mifflin(*, sex: str, weight_kg: float, height_cm: float, age_y: float) -> float:
    return 9.99 * weight_kg + 6.25 * height_cm - 4.92 * age_y + (5 if sex == "male" else -161)


def _mifflin_simple(*, sex: str, weight_kg: float, height_cm: float, age_y: float) -> float:
    return 10 * weight_kg + 6.25 * height_cm - 5 * age_y + (5 if sex == "male" else -161)


def _harris(*, sex: str, weight_kg: float, height_cm: float, age_y: float) -> float:
    if sex == "male":
        return 66.4730 + 13.7516 * weight_kg + 5.0033 * height_cm - 6.7550 * age_y
    return 655.0955 + 9.5634 * weight_kg + 1.8496 * height_cm - 4.6756 * age_y


def _roza(*, sex: str, weight_kg: float, height_cm: float, age_y: float) -> float:
    if sex == "male":
        return 88.362 + 13.397 * weight_kg + 4.799 * height_cm - 5.677 * age_y
    return 447.593 + 9.247 * weight_kg + 3.098 * height_cm - 4.330 * age_y


def _schofield(*, sex: str, weight_kg: float, age_y: float) -> float:
    _, per_kg, constant = [band for band in _SCHOFIELD[sex] if age_y >= band[0]][-1]
    return per_kg * weight_kg + constant


def _henry(*, sex: str, weight_kg: float, height_cm: float, age_y: float) -> float:
    _, per_kg, per_m, constant = [band for band in _HENRY[sex] if age_y >= band[0]][-1]
    return per_kg * weight_kg + per_m * height_cm / 100 + constant


def _henry_weight(*, sex: str, weight_kg: float, age_y: float) -> float:
    _, per_kg, constant = [band for band in _HENRY_W[sex] if age_y >= band[0]][-1]
    return per_kg * weight_kg + constant


def _ireton(*, age_y: float, weight_kg: float, sex: str, trauma: str, burn: str) -> float:
    man, hurt, burnt = sex == "male", trauma == "yes", burn == "yes"
    return 1784 - 11 * age_y + 5 * weight_kg + 244 * man + 239 * hurt + 804 * burnt


def _ireton_1992(*, age_y: float, weight_kg: float, sex: str, trauma: str, burn: str) -> float:
    man, hurt, burnt = sex == "male", trauma == "yes", burn == "yes"
    return 1925 - 10 * age_y + 5 * weight_kg + 281 * man + 292 * hurt + 851 * burnt


_BANDS: Final = "half-open age bands: 18 up to but not including 30, and so on"

EQUATIONS: Final = (
    Equation(
        id="mifflin_1990",
        group="B1",
        title="Mifflin–St Jeor",
        version="1990, full coefficients",
        states="9.99 × kg + 6.25 × cm − 4.92 × years + 5 (men) or − 161 (women)",
        inputs=_PERSON,
        unit="kcal/d",
        source="Mifflin et al., Am J Clin Nutr 51:241",
        year=1990,
        status=Status.CONFIRMED,
        compute=_mifflin,
        note="derived at 19 to 78 years",
    ),
    Equation(
        id="mifflin_simple",
        group="B1",
        title="Mifflin–St Jeor",
        version="1990, simplified",
        states="10 × kg + 6.25 × cm − 5 × years + 5 (men) or − 161 (women)",
        inputs=_PERSON,
        unit="kcal/d",
        source="Mifflin et al., Am J Clin Nutr 51:241",
        year=1990,
        status=Status.CONFIRMED,
        compute=_mifflin_simple,
        note="derived at 19 to 78 years; differs from the full form by a few kcal",
    ),
    Equation(
        id="harris_benedict_1919",
        group="B2",
        title="Harris–Benedict",
        version="1919",
        states="men 66.4730 + 13.7516 × kg + 5.0033 × cm − 6.7550 × years;"
        " women 655.0955 + 9.5634 × kg + 1.8496 × cm − 4.6756 × years",
        inputs=_PERSON,
        unit="kcal/d",
        source="Harris and Benedict, Carnegie Institution publication 279",
        year=1919,
        status=Status.CONFIRMED,
        compute=_harris,
    ),
    Equation(
        id="roza_shizgal_1984",
        group="B3",
        title="Roza–Shizgal",
        version="1984",
        states="men 88.362 + 13.397 × kg + 4.799 × cm − 5.677 × years;"
        " women 447.593 + 9.247 × kg + 3.098 × cm − 4.330 × years",
        inputs=_PERSON,
        unit="kcal/d",
        source="Roza and Shizgal, Am J Clin Nutr 40:168",
        year=1984,
        status=Status.CONFIRMED,
        compute=_roza,
    ),
    Equation(
        id="schofield_1985",
        group="B4",
        title="Schofield, by weight",
        version="1985, as FAO/WHO/UNU 2004 gives it",
        states="men 18 up to 30: 15.057 × kg + 692.2; 30 up to 60: 11.472 × kg + 873.1;"
        " 60 and over: 11.711 × kg + 587.7. Women 14.818 × kg + 486.6; 8.126 × kg + 845.6;"
        " 9.082 × kg + 658.5",
        inputs=(SEX, ANY_WEIGHT, _ANY_AGE),
        unit="kcal/d",
        source="Schofield, Hum Nutr Clin Nutr 39C:5; FAO/WHO/UNU, Human Energy Requirements",
        year=2004,
        status=Status.CONFIRMED,
        compute=_schofield,
        note=_BANDS,
    ),
    Equation(
        id="henry_2005",
        group="B5",
        title="Henry (Oxford), by weight and height",
        version="2005",
        states="men 18 up to 30: 14.4 × kg + 313 × m + 113; 30 up to 60: 11.4 × kg + 541 × m"
        " − 137; 60 and over: 11.4 × kg + 541 × m − 256. Women 10.4 × kg + 615 × m − 282;"
        " 8.18 × kg + 502 × m − 11.6; 8.52 × kg + 421 × m + 10.7",
        inputs=(SEX, ANY_WEIGHT, Quantity("height_cm", "cm", 40, 230), _ANY_AGE),
        unit="kcal/d",
        source="Henry, Public Health Nutr 8(7A):1133",
        year=2005,
        status=Status.CONFIRMED,
        compute=_henry,
        note=_BANDS,
    ),
    Equation(
        id="henry_weight_2005",
        group="B5",
        title="Henry (Oxford), by weight",
        version="2005",
        states="per kg and constant by sex and age band",
        inputs=(SEX, ANY_WEIGHT, _ANY_AGE),
        unit="kcal/d",
        source="Henry, Public Health Nutr 8(7A):1133",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=_henry_weight,
        note=_BANDS,
    ),
    Equation(
        id="cunningham_1980",
        group="B6",
        title="Cunningham",
        version="1980",
        states="500 + 22 × fat-free mass in kg",
        inputs=(_FFM,),
        unit="kcal/d",
        source="Cunningham, Am J Clin Nutr 33:2372",
        year=1980,
        status=Status.CONFIRMED,
        compute=lambda ffm_kg: 500 + 22 * ffm_kg,
    ),
    Equation(
        id="cunningham_1991",
        group="B6",
        title="Cunningham",
        version="1991",
        states="370 + 21.6 × fat-free mass in kg",
        inputs=(_FFM,),
        unit="kcal/d",
        source="Cunningham, Am J Clin Nutr 54:963",
        year=1991,
        status=Status.CONFIRMED,
        compute=lambda ffm_kg: 370 + 21.6 * ffm_kg,
    ),
    Equation(
        id="penn_state_2003b",
        group="B7",
        title="Penn State, ventilated adults",
        version="2003b",
        states="0.96 × Mifflin + 31 × ventilation in L/min + 167 × highest °C − 6212",
        inputs=(_REE, _VE, _TMAX),
        unit="kcal/d",
        source="Frankenfield et al., JPEN",
        year=2004,
        status=Status.CONFIRMED,
        compute=lambda mifflin_kcal, ventilation_l_min, tmax_c: (
            0.96 * mifflin_kcal + 31 * ventilation_l_min + 167 * tmax_c - 6212
        ),
    ),
    Equation(
        id="penn_state_2010",
        group="B7",
        title="Penn State, ventilated adults of 60 and over with BMI of 30 and over",
        version="2010",
        states="0.71 × Mifflin + 64 × ventilation in L/min + 85 × highest °C − 3085",
        inputs=(_REE, _VE, _TMAX),
        unit="kcal/d",
        source="Frankenfield et al., JPEN",
        year=2011,
        status=Status.CONFIRMED,
        compute=lambda mifflin_kcal, ventilation_l_min, tmax_c: (
            0.71 * mifflin_kcal + 64 * ventilation_l_min + 85 * tmax_c - 3085
        ),
    ),
    Equation(
        id="ireton_jones_1992",
        group="B8",
        title="Ireton-Jones, ventilated",
        version="1992",
        states="1925 − 10 × years + 5 × kg + 281 (man) + 292 (trauma) + 851 (burn)",
        inputs=(ADULT_AGE, WEIGHT, SEX, Choice("trauma", YES_NO), Choice("burn", YES_NO)),
        unit="kcal/d",
        source="Ireton-Jones et al., J Burn Care Rehabil 13:330",
        year=1992,
        status=Status.CONFIRMED,
        compute=_ireton_1992,
    ),
    Equation(
        id="ireton_jones_1997",
        group="B8",
        title="Ireton-Jones, ventilated",
        version="1997/2002",
        states="1784 − 11 × years + 5 × kg + 244 (man) + 239 (trauma) + 804 (burn)",
        inputs=(ADULT_AGE, WEIGHT, SEX, Choice("trauma", YES_NO), Choice("burn", YES_NO)),
        unit="kcal/d",
        source="Ireton-Jones and Jones, Nutr Clin Pract 17:29",
        year=2002,
        status=Status.CONFIRMED,
        compute=_ireton,
    ),
    Equation(
        id="ireton_jones_spontaneous",
        group="B8",
        title="Ireton-Jones, breathing freely",
        version="1992",
        states="629 − 11 × years + 25 × kg − 609 (BMI over 27)",
        inputs=(ADULT_AGE, WEIGHT, Quantity("bmi", "kg/m²", 10, 90)),
        unit="kcal/d",
        source="Ireton-Jones et al., J Burn Care Rehabil 13:330",
        year=1992,
        status=Status.CONFIRMED,
        compute=lambda age_y, weight_kg, bmi: (
            629 - 11 * age_y + 25 * weight_kg - (609 if bmi > 27 else 0)
        ),
    ),
)
