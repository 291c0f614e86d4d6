"""Group E: laboratory values and minerals."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import PROTEIN, WEIGHT
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

# Molar mass and valence.
_MINERALS: Final = {
    "sodium": (22.99, 1),
    "potassium": (39.10, 1),
    "chloride": (35.45, 1),
    "calcium": (40.08, 2),
    "magnesium": (24.31, 2),
    "phosphorus": (30.97, 1),
}
_MINERAL: Final = Choice("mineral", tuple(_MINERALS))
_CHARGED: Final = Choice("mineral", tuple(name for name in _MINERALS if name != "phosphorus"))
_MG: Final = Quantity("mg", "mg", 0, 100000)
_ALBUMIN: Final = Quantity("albumin_g_dl", "g/dL", 1, 5.5)
_ELECTROLYTES: Final = (
    Quantity("sodium_mmol", "mmol/L", 100, 190),
    Quantity("chloride_mmol", "mmol/L", 60, 150),
    Quantity("bicarbonate_mmol", "mmol/L", 3, 50),
)
_ACID_MG: Final = tuple(
    Quantity(f"{name}_mg", "mg/d", 0, 15000)
    for name in ("phosphorus", "potassium", "magnesium", "calcium")
)


def _renal_acid(
    *,
    protein_g: float,
    phosphorus_mg: float,
    potassium_mg: float,
    magnesium_mg: float,
    calcium_mg: float,
) -> float:
    acid = 0.49 * protein_g + 0.037 * phosphorus_mg
    return acid - 0.021 * potassium_mg - 0.026 * magnesium_mg - 0.013 * calcium_mg


EQUATIONS: Final = (
    Equation(
        id="calcium_for_albumin",
        group="E1",
        title="Calcium adjusted for albumin",
        version="0.8 and 4.0 g/dL",
        states="calcium in mg/dL + 0.8 × (4.0 − albumin in g/dL)",
        inputs=(Quantity("calcium_mg_dl", "mg/dL", 4, 18), _ALBUMIN),
        unit="mg/dL",
        source="Payne et al., Br Med J 4:643, in the form with 0.8",
        year=1973,
        status=Status.CONFIRMED,
        compute=lambda calcium_mg_dl, albumin_g_dl: calcium_mg_dl + 0.8 * (4.0 - albumin_g_dl),
        note="a teaching approximation; ionised calcium decides",
    ),
    Equation(
        id="calcium_for_albumin_si",
        group="E1",
        title="Calcium adjusted for albumin",
        version="0.02 and 40 g/L",
        states="calcium in mmol/L + 0.02 × (40 − albumin in g/L)",
        inputs=(
            Quantity("calcium_mmol", "mmol/L", 1, 4.5),
            Quantity("albumin_g_l", "g/L", 10, 55),
        ),
        unit="mmol/L",
        source="Payne et al., Br Med J 4:643, SI form",
        year=1973,
        status=Status.CONFIRMED,
        compute=lambda calcium_mmol, albumin_g_l: calcium_mmol + 0.02 * (40 - albumin_g_l),
        note="a teaching approximation; ionised calcium decides",
    ),
    Equation(
        id="anion_gap",
        group="E2",
        title="Anion gap",
        version="without potassium",
        states="sodium − chloride − bicarbonate",
        inputs=_ELECTROLYTES,
        unit="mmol/L",
        source="definition",
        year=1977,
        status=Status.DEFINITION,
        compute=lambda sodium_mmol, chloride_mmol, bicarbonate_mmol: (
            sodium_mmol - chloride_mmol - bicarbonate_mmol
        ),
    ),
    Equation(
        id="anion_gap_figge_1998",
        group="E2",
        title="Anion gap corrected for albumin, Figge",
        version="1998",
        states="sodium − chloride − bicarbonate + 2.5 × (4.0 − albumin in g/dL)",
        inputs=(*_ELECTROLYTES, _ALBUMIN),
        unit="mmol/L",
        source="Figge et al., Crit Care Med 26:1807",
        year=1998,
        status=Status.FROM_MEMORY,
        compute=lambda sodium_mmol, chloride_mmol, bicarbonate_mmol, albumin_g_dl: (
            sodium_mmol - chloride_mmol - bicarbonate_mmol + 2.5 * (4.0 - albumin_g_dl)
        ),
    ),
    Equation(
        id="mmol_of_mg",
        group="E3",
        title="mg of a mineral to mmol",
        version="molar masses",
        states="mg ÷ molar mass (Na 22.99, K 39.10, Cl 35.45, Ca 40.08, Mg 24.31, P 30.97)",
        inputs=(_MINERAL, _MG),
        unit="mmol",
        source="IUPAC atomic weights",
        year=2021,
        status=Status.DEFINITION,
        compute=lambda mineral, mg: mg / _MINERALS[mineral][0],
    ),
    Equation(
        id="meq_of_mg",
        group="E3",
        title="mg of a mineral to mEq",
        version="molar masses and valences",
        states="mg ÷ molar mass × valence (Na, K, Cl 1; Ca, Mg 2)",
        inputs=(_CHARGED, _MG),
        unit="mEq",
        source="IUPAC atomic weights",
        year=2021,
        status=Status.DEFINITION,
        compute=lambda mineral, mg: mg / _MINERALS[mineral][0] * _MINERALS[mineral][1],
    ),
    Equation(
        id="salt_of_sodium",
        group="E3",
        title="Salt of sodium",
        version="molar masses: 2.54",
        states="mg of sodium × 2.54 ÷ 1000",
        inputs=(Quantity("sodium_mg", "mg", 0, 20000),),
        unit="g",
        source="molar masses of NaCl and Na",
        year=2021,
        status=Status.DEFINITION,
        compute=lambda sodium_mg: sodium_mg * 2.54 / 1000,
        note="labels in the European Union use 2.5",
    ),
    Equation(
        id="phosphorus_mg_dl",
        group="E3",
        title="Serum phosphorus from mmol/L to mg/dL",
        version="30.97",
        states="mmol/L × 30.97 ÷ 10",
        inputs=(Quantity("phosphorus_mmol", "mmol/L", 0.1, 6),),
        unit="mg/dL",
        source="IUPAC atomic weights",
        year=2021,
        status=Status.DEFINITION,
        compute=lambda phosphorus_mmol: phosphorus_mmol * 30.97 / 10,
    ),
    Equation(
        id="transferrin_saturation",
        group="E4",
        title="Transferrin saturation",
        version="same units",
        states="iron ÷ total iron-binding capacity × 100",
        inputs=(Quantity("iron", "µg/dL", 1, 500), Quantity("tibc", "µg/dL", 50, 900)),
        unit="%",
        source="definition; WHO ferritin guideline for its use",
        year=2020,
        status=Status.DEFINITION,
        compute=lambda iron, tibc: iron / tibc * 100,
    ),
    Equation(
        id="iron_deficit_1970",
        group="E5",
        title="Iron deficit, Ganzoni",
        version="1970, stores of 500 mg",
        states="kg × (target − actual haemoglobin in g/dL) × 2.4 + 500 mg",
        inputs=(
            WEIGHT,
            Quantity("target_g_dl", "g/dL", 12, 16),
            Quantity("hb_g_dl", "g/dL", 3, 15),
        ),
        unit="mg",
        source="Ganzoni, Schweiz Med Wochenschr 100:301",
        year=1970,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, target_g_dl, hb_g_dl: (
            weight_kg * (target_g_dl - hb_g_dl) * 2.4 + 500
        ),
    ),
    Equation(
        id="renal_acid_load_1995",
        group="E6",
        title="Potential renal acid load, Remer and Manz",
        version="1995",
        states="0.49 × protein g + 0.037 × P − 0.021 × K − 0.026 × Mg − 0.013 × Ca, minerals in mg",
        inputs=(PROTEIN, *_ACID_MG),
        unit="mEq/d",
        source="Remer and Manz, J Am Diet Assoc 95:791",
        year=1995,
        status=Status.FROM_MEMORY,
        compute=_renal_acid,
    ),
)
