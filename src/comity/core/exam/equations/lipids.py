"""Group H: lipids."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ENERGY
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_TOTAL: Final = Quantity("total", "mg/dL", 60, 600)
_HDL: Final = Quantity("hdl", "mg/dL", 10, 150)


def _sampson(*, total: float, hdl: float, triglycerides: float) -> float:
    others = triglycerides / 8.56 + triglycerides * (total - hdl) / 2140 - triglycerides**2 / 16100
    return total / 0.948 - hdl / 0.971 - others - 9.44


EQUATIONS: Final = (
    Equation(
        id="ldl_friedewald_1972",
        group="H1",
        title="LDL cholesterol, Friedewald",
        version="1972, mg/dL",
        states="total − HDL − triglycerides ÷ 5 (mg/dL, fasting, triglycerides under 400)",
        inputs=(_TOTAL, _HDL, Quantity("triglycerides", "mg/dL", 20, 399.99)),
        unit="mg/dL",
        source="Friedewald et al., Clin Chem 18:499",
        year=1972,
        status=Status.CONFIRMED,
        compute=lambda total, hdl, triglycerides: total - hdl - triglycerides / 5,
    ),
    Equation(
        id="ldl_sampson_2020",
        group="H2",
        title="LDL cholesterol, Sampson",
        version="2020, mg/dL",
        states="TC/0.948 − HDL/0.971 − (TG/8.56 + TG × non-HDL/2140 − TG²/16100) − 9.44",
        inputs=(_TOTAL, _HDL, Quantity("triglycerides", "mg/dL", 20, 800)),
        unit="mg/dL",
        source="Sampson et al., JAMA Cardiol 5:540",
        year=2020,
        status=Status.CONFIRMED,
        compute=_sampson,
    ),
    Equation(
        id="non_hdl",
        group="H3",
        title="Non-HDL cholesterol",
        version="definition",
        states="total − HDL",
        inputs=(_TOTAL, _HDL),
        unit="mg/dL",
        source="definition",
        year=2001,
        status=Status.DEFINITION,
        compute=lambda total, hdl: total - hdl,
    ),
    Equation(
        id="lipid_mmol",
        group="H4",
        title="Lipids from mg/dL to mmol/L",
        version="38.67 and 88.57",
        states="cholesterol mg/dL ÷ 38.67; triglycerides mg/dL ÷ 88.57",
        inputs=(
            Choice("lipid", ("cholesterol", "triglycerides")),
            Quantity("mg_dl", "mg/dL", 1, 5000),
        ),
        unit="mmol/L",
        source="molar masses",
        year=2001,
        status=Status.DEFINITION,
        compute=lambda lipid, mg_dl: mg_dl / (38.67 if lipid == "cholesterol" else 88.57),
    ),
    Equation(
        id="fat_limit",
        group="H5",
        title="Grams of fat within a share of energy",
        version="9 kcal/g",
        states="energy × per cent ÷ 100 ÷ 9",
        inputs=(ENERGY, Quantity("percent", "%", 0, 100)),
        unit="g",
        source="general Atwater factors",
        year=1973,
        status=Status.DEFINITION,
        compute=lambda energy_kcal, percent: energy_kcal * percent / 100 / 9,
    ),
)
