"""Group G: carbohydrate, insulin rules of thumb, indices."""

from __future__ import annotations

from math import log10
from typing import Final

from comity.core.exam.equations.equation import Equation, Quantity, Status

_TDD: Final = Quantity("tdd_u", "U/d", 5, 200)
_A1C: Final = Quantity("a1c_percent", "%", 4, 16)
_INSULIN: Final = Quantity("insulin_uu_ml", "µU/mL", 1, 200)
_GLUCOSE: Final = Quantity("glucose_mg_dl", "mg/dL", 30, 600)
_SERVINGS: Final = tuple(
    Quantity(name, "servings", 0, 20) for name in ("starch", "fruit", "milk", "vegetables")
)


def _bolus(
    *, carbohydrate_g: float, g_per_u: float, glucose: float, target: float, per_u: float
) -> float:
    return carbohydrate_g / g_per_u + (glucose - target) / per_u


EQUATIONS: Final = (
    Equation(
        id="exchange_carbohydrate",
        group="G1",
        title="Carbohydrate of exchanges",
        version="US, 15 g",
        states="starch 15 g, fruit 15 g, fat-free milk 12 g, non-starchy vegetables 5 g each",
        inputs=_SERVINGS,
        unit="g",
        source="US exchange lists, numbers only",
        year=2019,
        status=Status.CONFIRMED,
        compute=lambda starch, fruit, milk, vegetables: (
            15 * starch + 15 * fruit + 12 * milk + 5 * vegetables
        ),
        note="editions and countries differ: the table stands in the stem",
    ),
    Equation(
        id="exchange_energy",
        group="G1",
        title="Energy of exchanges",
        version="US, milk 100 kcal",
        states="starch 80, fruit 60, fat-free milk 100, non-starchy vegetables 25 kcal each",
        inputs=_SERVINGS,
        unit="kcal",
        source="US exchange lists, numbers only",
        year=2019,
        status=Status.CONFIRMED,
        compute=lambda starch, fruit, milk, vegetables: (
            80 * starch + 60 * fruit + 100 * milk + 25 * vegetables
        ),
        note="editions and countries differ: the table stands in the stem",
    ),
    Equation(
        id="carbohydrate_ratio",
        group="G2",
        title="Carbohydrate covered by one unit of insulin",
        version="rule as stated (500, 450)",
        states="rule ÷ total daily dose",
        inputs=(Quantity("rule", "g", 300, 550), _TDD),
        unit="g/U",
        source="rules of thumb",
        year=2003,
        status=Status.FROM_MEMORY,
        compute=lambda rule, tdd_u: rule / tdd_u,
        note="a teaching approximation",
    ),
    Equation(
        id="correction_factor",
        group="G3",
        title="Fall of glucose by one unit of insulin",
        version="rule as stated (1800, 1700, 1500; 100 for mmol/L)",
        states="rule ÷ total daily dose",
        inputs=(Quantity("rule", "", 80, 2000), _TDD),
        unit="",
        source="rules of thumb",
        year=2003,
        status=Status.FROM_MEMORY,
        compute=lambda rule, tdd_u: rule / tdd_u,
        note="a teaching approximation",
    ),
    Equation(
        id="meal_bolus",
        group="G4",
        title="Insulin for a meal and a correction",
        version="no insulin on board",
        states="carbohydrate ÷ g per unit + (glucose − target) ÷ fall per unit",
        inputs=(
            Quantity("carbohydrate_g", "g", 0, 250),
            Quantity("g_per_u", "g/U", 2, 60),
            Quantity("glucose", "mg/dL", 70, 400),
            Quantity("target", "mg/dL", 80, 160),
            Quantity("per_u", "mg/dL/U", 8, 200),
        ),
        unit="U",
        source="common practice",
        year=2003,
        status=Status.DEFINITION,
        compute=_bolus,
        note="insulin still active from an earlier dose lies outside this arithmetic",
    ),
    Equation(
        id="average_glucose_2008",
        group="G5",
        title="Estimated average glucose, Nathan",
        version="2008, mg/dL",
        states="28.7 × HbA1c in % − 46.7",
        inputs=(_A1C,),
        unit="mg/dL",
        source="Nathan et al., Diabetes Care 31:1473",
        year=2008,
        status=Status.CONFIRMED,
        compute=lambda a1c_percent: 28.7 * a1c_percent - 46.7,
    ),
    Equation(
        id="average_glucose_si_2008",
        group="G5",
        title="Estimated average glucose, Nathan",
        version="2008, mmol/L",
        states="1.5944 × HbA1c in % − 2.594",
        inputs=(_A1C,),
        unit="mmol/L",
        source="Nathan et al., Diabetes Care 31:1473",
        year=2008,
        status=Status.CONFIRMED,
        compute=lambda a1c_percent: 1.5944 * a1c_percent - 2.594,
    ),
    Equation(
        id="a1c_ifcc",
        group="G5",
        title="HbA1c in IFCC units",
        version="master equation",
        states="(HbA1c in % − 2.152) ÷ 0.09148",
        inputs=(_A1C,),
        unit="mmol/mol",
        source="IFCC and NGSP master equation",
        year=2004,
        status=Status.FROM_MEMORY,
        compute=lambda a1c_percent: (a1c_percent - 2.152) / 0.09148,
    ),
    Equation(
        id="homa_ir_1985",
        group="G6",
        title="Insulin resistance, HOMA-IR",
        version="1985, mg/dL",
        states="glucose in mg/dL × insulin in µU/mL ÷ 405",
        inputs=(_GLUCOSE, _INSULIN),
        unit="",
        source="Matthews et al., Diabetologia 28:412",
        year=1985,
        status=Status.FROM_MEMORY,
        compute=lambda glucose_mg_dl, insulin_uu_ml: glucose_mg_dl * insulin_uu_ml / 405,
    ),
    Equation(
        id="quicki_2000",
        group="G6",
        title="Insulin sensitivity, QUICKI",
        version="2000, mg/dL",
        states="1 ÷ (log10 insulin in µU/mL + log10 glucose in mg/dL)",
        inputs=(_GLUCOSE, _INSULIN),
        unit="",
        source="Katz et al., J Clin Endocrinol Metab 85:2402",
        year=2000,
        status=Status.FROM_MEMORY,
        compute=lambda glucose_mg_dl, insulin_uu_ml: (
            1 / (log10(insulin_uu_ml) + log10(glucose_mg_dl))
        ),
    ),
    Equation(
        id="homa_beta_1985",
        group="G6",
        title="Beta-cell function, HOMA-β",
        version="1985, mmol/L",
        states="20 × insulin in µU/mL ÷ (glucose in mmol/L − 3.5)",
        inputs=(Quantity("glucose_mmol", "mmol/L", 3.6, 30), _INSULIN),
        unit="%",
        source="Matthews et al., Diabetologia 28:412",
        year=1985,
        status=Status.FROM_MEMORY,
        compute=lambda glucose_mmol, insulin_uu_ml: 20 * insulin_uu_ml / (glucose_mmol - 3.5),
    ),
    Equation(
        id="glycaemic_load_1997",
        group="G7",
        title="Glycaemic load",
        version="1997",
        states="glycaemic index × available carbohydrate in g ÷ 100",
        inputs=(Quantity("index", "", 1, 120), Quantity("available_g", "g", 0, 200)),
        unit="",
        source="Salmerón et al., JAMA 277:472",
        year=1997,
        status=Status.DEFINITION,
        compute=lambda index, available_g: index * available_g / 100,
    ),
    Equation(
        id="glucose_mmol",
        group="G8",
        title="Glucose from mg/dL to mmol/L",
        version="18.016",
        states="mg/dL ÷ 18.016",
        inputs=(_GLUCOSE,),
        unit="mmol/L",
        source="molar mass of glucose",
        year=2021,
        status=Status.DEFINITION,
        compute=lambda glucose_mg_dl: glucose_mg_dl / 18.016,
    ),
)
