"""Group F: kidney function, dialysis, protein in kidney disease."""

from __future__ import annotations

from math import log
from typing import Final

from comity.core.exam.equations.asked import ADULT_AGE, SEX, WEIGHT
from comity.core.exam.equations.equation import Equation, Quantity, Status

_SCR: Final = Quantity("creatinine_mg_dl", "mg/dL", 0.2, 20)
_STAGES: Final = ((90, "G1"), (60, "G2"), (45, "G3a"), (30, "G3b"), (15, "G4"))
_PRE: Final = Quantity("pre_bun", "mg/dL", 5, 250)
_POST: Final = Quantity("post_bun", "mg/dL", 1, 250)


def _ckd_epi(*, sex: str, age_y: float, creatinine_mg_dl: float) -> float:
    kappa, alpha, factor = (0.7, -0.241, 1.012) if sex == "female" else (0.9, -0.302, 1.0)
    ratio = creatinine_mg_dl / kappa
    by_creatinine: float = min(ratio, 1) ** alpha * max(ratio, 1) ** -1.200
    by_age: float = 0.9938**age_y
    return 142 * by_creatinine * by_age * factor


def _cockcroft(*, sex: str, age_y: float, weight_kg: float, creatinine_mg_dl: float) -> float:
    clearance = (140 - age_y) * weight_kg / (72 * creatinine_mg_dl)
    return clearance * (0.85 if sex == "female" else 1)


def _stage(egfr: float) -> str:
    return next((stage for least, stage in _STAGES if egfr >= least), "G5")


def _kt_v(
    *, pre_bun: float, post_bun: float, hours: float, removed_l: float, weight_kg: float
) -> float:
    ratio = post_bun / pre_bun
    return -log(ratio - 0.008 * hours) + (4 - 3.5 * ratio) * removed_l / weight_kg


EQUATIONS: Final = (
    Equation(
        id="ckd_epi_2021",
        group="F1",
        title="Estimated filtration rate, CKD-EPI creatinine",
        version="2021, without race",
        states="142 × min(Scr/k, 1)^a × max(Scr/k, 1)^−1.200 × 0.9938^years × 1.012 (women);"
        " k 0.7 women, 0.9 men; a −0.241 women, −0.302 men",
        inputs=(SEX, ADULT_AGE, _SCR),
        unit="mL/min/1.73 m²",
        source="Inker et al., N Engl J Med 385:1737",
        year=2021,
        status=Status.CONFIRMED,
        compute=_ckd_epi,
    ),
    Equation(
        id="cockcroft_gault_1976",
        group="F2",
        title="Creatinine clearance, Cockcroft–Gault",
        version="1976",
        states="(140 − years) × kg ÷ (72 × creatinine in mg/dL), × 0.85 for women",
        inputs=(SEX, ADULT_AGE, WEIGHT, _SCR),
        unit="mL/min",
        source="Cockcroft and Gault, Nephron 16:31",
        year=1976,
        status=Status.CONFIRMED,
        compute=_cockcroft,
        note="not indexed to body surface: not to be compared with an indexed rate",
    ),
    Equation(
        id="schwartz_2009",
        group="F3",
        title="Estimated filtration rate, bedside Schwartz",
        version="2009",
        states="0.413 × height in cm ÷ creatinine in mg/dL (enzymatic); 1 to 16 years",
        inputs=(Quantity("height_cm", "cm", 60, 190), _SCR),
        unit="mL/min/1.73 m²",
        source="Schwartz et al., J Am Soc Nephrol 20:629",
        year=2009,
        status=Status.CONFIRMED,
        compute=lambda height_cm, creatinine_mg_dl: 0.413 * height_cm / creatinine_mg_dl,
    ),
    Equation(
        id="kidney_stage_2024",
        group="F4",
        title="Category of filtration rate, KDIGO",
        version="2024",
        states="90 and over G1, 60 G2, 45 G3a, 30 G3b, 15 G4, below G5",
        inputs=(Quantity("egfr", "mL/min/1.73 m²", 0, 200),),
        unit="",
        source="KDIGO, Clinical Practice Guideline for Chronic Kidney Disease",
        year=2024,
        status=Status.FROM_MEMORY,
        compute=_stage,
        note="a diagnosis needs more than one value over three months",
    ),
    Equation(
        id="protein_by_weight",
        group="F5",
        title="Protein by weight",
        version="g/kg and guideline as stated",
        states="g per kg × weight (KDOQI 2020, dialysis: 1.0 to 1.2 g/kg)",
        inputs=(Quantity("g_kg", "g/kg/d", 0.2, 4), Quantity("weight_kg", "kg", 0.3, 350)),
        unit="g/d",
        source="KDOQI, Nutrition in CKD, Am J Kidney Dis 76(3 Suppl 1)",
        year=2020,
        status=Status.CONFIRMED,
        compute=lambda g_kg, weight_kg: g_kg * weight_kg,
    ),
    Equation(
        id="urea_reduction",
        group="F6",
        title="Urea reduction ratio",
        version="per cent",
        states="(1 − urea nitrogen after ÷ before) × 100",
        inputs=(_PRE, _POST),
        unit="%",
        source="definition; Daugirdas",
        year=1993,
        status=Status.DEFINITION,
        compute=lambda pre_bun, post_bun: (1 - post_bun / pre_bun) * 100,
    ),
    Equation(
        id="kt_v_daugirdas_1993",
        group="F6",
        title="Single-pool Kt/V, Daugirdas",
        version="1993, second generation",
        states="−ln(R − 0.008 × h) + (4 − 3.5 × R) × litres removed ÷ kg after;"
        " R = urea nitrogen after ÷ before",
        inputs=(
            _PRE,
            _POST,
            Quantity("hours", "h", 2, 8),
            Quantity("removed_l", "L", 0, 6),
            WEIGHT,
        ),
        unit="",
        source="Daugirdas, J Am Soc Nephrol 4:1205",
        year=1993,
        status=Status.CONFIRMED,
        compute=_kt_v,
    ),
    Equation(
        id="npcr",
        group="F7",
        title="Normalised protein catabolic rate",
        version="between two dialyses",
        states="0.22 + 0.036 × rise of urea nitrogen in mg/dL × 24 ÷ hours",
        inputs=(_POST, _PRE, Quantity("hours", "h", 20, 80)),
        unit="g/kg/d",
        source="teaching form of urea kinetics",
        year=2009,
        status=Status.CONFIRMED,
        compute=lambda pre_bun, post_bun, hours: 0.22 + 0.036 * (pre_bun - post_bun) * 24 / hours,
    ),
    Equation(
        id="interdialytic_gain",
        group="F8",
        title="Weight gain between dialyses",
        version="per cent of dry weight",
        states="(weight before − dry weight) ÷ dry weight × 100",
        inputs=(Quantity("before_kg", "kg", 20, 350), Quantity("dry_kg", "kg", 20, 350)),
        unit="%",
        source="definition",
        year=2007,
        status=Status.DEFINITION,
        compute=lambda before_kg, dry_kg: (before_kg - dry_kg) / dry_kg * 100,
    ),
    Equation(
        id="dialysate_energy",
        group="F9",
        title="Energy of glucose taken up from dialysate",
        version="3.4 kcal/g, share as stated",
        states="litres × g/L × 3.4 × share absorbed (60 % continuous, 40 % automated)",
        inputs=(
            Quantity("volume_l", "L", 0.5, 30),
            Quantity("glucose_g_l", "g/L", 10, 45),
            Quantity("share", "", 0.1, 1),
        ),
        unit="kcal/d",
        source="clinical manual of renal nutrition",
        year=2009,
        status=Status.CONFIRMED,
        compute=lambda volume_l, glucose_g_l, share: volume_l * glucose_g_l * 3.4 * share,
    ),
    Equation(
        id="dialysate_glucose_1981",
        group="F9",
        title="Glucose taken up from dialysate, Grodstein",
        version="1981",
        states="(11.3 × per cent of glucose − 10.9) × litres",
        inputs=(Quantity("glucose_percent", "%", 1, 5), Quantity("volume_l", "L", 0.5, 30)),
        unit="g/d",
        source="Grodstein et al., Kidney Int 19:564",
        year=1981,
        status=Status.FROM_MEMORY,
        compute=lambda glucose_percent, volume_l: (11.3 * glucose_percent - 10.9) * volume_l,
    ),
    Equation(
        id="phosphorus_per_protein",
        group="F10",
        title="Phosphorus for each g of protein",
        version="mg/g",
        states="phosphorus in mg ÷ protein in g",
        inputs=(Quantity("phosphorus_mg", "mg", 0, 5000), Quantity("protein_g", "g", 1, 500)),
        unit="mg/g",
        source="definition",
        year=2010,
        status=Status.DEFINITION,
        compute=lambda phosphorus_mg, protein_g: phosphorus_mg / protein_g,
    ),
)
