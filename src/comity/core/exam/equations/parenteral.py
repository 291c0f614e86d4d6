"""Group I: feeding by vein."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ANY_WEIGHT, HOURS
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_DEXTROSE: Final = Quantity("dextrose_g", "g", 0, 800)
_LIPID_KCAL: Final = {"10 %": 1.1, "20 %": 2.0, "30 %": 3.0}


def _osmolarity(
    *, amino_acids_g: float, dextrose_g: float, cations_meq: float, volume_l: float
) -> float:
    return (amino_acids_g * 10 + dextrose_g * 5 + cations_meq * 2) / volume_l


EQUATIONS: Final = (
    Equation(
        id="dextrose_energy",
        group="I1",
        title="Energy of dextrose by vein",
        version="monohydrate, 3.4 kcal/g",
        states="g × 3.4 kcal/g",
        inputs=(_DEXTROSE,),
        unit="kcal",
        source="Mirtallo et al., JPEN 28:S39",
        year=2004,
        status=Status.CONFIRMED,
        compute=lambda dextrose_g: dextrose_g * 3.4,
        note="some order sets use 4.0",
    ),
    Equation(
        id="glucose_infusion_rate",
        group="I2",
        title="Glucose infusion rate",
        version="mg/kg/min",
        states="g × 1000 ÷ kg ÷ minutes",
        inputs=(_DEXTROSE, ANY_WEIGHT, HOURS),
        unit="mg/kg/min",
        source="Mirtallo et al., JPEN 28:S39",
        year=2004,
        status=Status.DEFINITION,
        compute=lambda dextrose_g, weight_kg, hours: dextrose_g * 1000 / weight_kg / (hours * 60),
    ),
    Equation(
        id="amino_acid_energy",
        group="I3",
        title="Energy of amino acids by vein",
        version="4 kcal/g",
        states="g × 4 kcal/g",
        inputs=(Quantity("amino_acids_g", "g", 0, 300),),
        unit="kcal",
        source="Mirtallo et al., JPEN 28:S39",
        year=2004,
        status=Status.CONFIRMED,
        compute=lambda amino_acids_g: amino_acids_g * 4,
    ),
    Equation(
        id="lipid_energy",
        group="I4",
        title="Energy of lipid emulsion",
        version="10 % 1.1, 20 % 2.0, 30 % 3.0 kcal/mL",
        states="mL × 1.1 (10 %), 2.0 (20 %) or 3.0 (30 %) kcal/mL",
        inputs=(Choice("strength", tuple(_LIPID_KCAL)), Quantity("volume_ml", "mL", 0, 1500)),
        unit="kcal",
        source="Mirtallo et al., JPEN 28:S39; product labels",
        year=2004,
        status=Status.CONFIRMED,
        compute=lambda strength, volume_ml: _LIPID_KCAL[strength] * volume_ml,
        note="some labels give 2.9 kcal/mL for 30 %",
    ),
    Equation(
        id="lipid_rate",
        group="I5",
        title="Lipid infusion rate",
        version="g/kg/h",
        states="g ÷ kg ÷ hours",
        inputs=(Quantity("lipid_g", "g", 0, 250), ANY_WEIGHT, HOURS),
        unit="g/kg/h",
        source="Mirtallo et al., JPEN 28:S39",
        year=2004,
        status=Status.DEFINITION,
        compute=lambda lipid_g, weight_kg, hours: lipid_g / weight_kg / hours,
    ),
    Equation(
        id="pn_osmolarity",
        group="I6",
        title="Osmolarity of a mixture for the vein, estimated",
        version="10, 5, and 2 for each mEq of cation",
        states="(amino acids g × 10 + dextrose g × 5 + cations mEq × 2) ÷ litres",
        inputs=(
            Quantity("amino_acids_g", "g", 0, 300),
            _DEXTROSE,
            Quantity("cations_meq", "mEq", 0, 600),
            Quantity("volume_l", "L", 0.1, 6),
        ),
        unit="mOsm/L",
        source="Mirtallo et al., JPEN 28:S39",
        year=2004,
        status=Status.CONFIRMED,
        compute=_osmolarity,
        note="an estimate; a measured value is higher",
    ),
    Equation(
        id="stock_volume",
        group="I7",
        title="Volume of a stock solution",
        version="g in 100 mL",
        states="g ÷ per cent × 100",
        inputs=(Quantity("amount_g", "g", 0.1, 1000), Quantity("percent", "%", 1, 70)),
        unit="mL",
        source="definition",
        year=2004,
        status=Status.DEFINITION,
        compute=lambda amount_g, percent: amount_g / percent * 100,
    ),
    Equation(
        id="energy_percent",
        group="I8",
        title="Share of energy",
        version="per cent",
        states="part ÷ whole × 100",
        inputs=(Quantity("part_kcal", "kcal", 0, 8000), Quantity("whole_kcal", "kcal", 1, 8000)),
        unit="%",
        source="definition",
        year=2004,
        status=Status.DEFINITION,
        compute=lambda part_kcal, whole_kcal: part_kcal / whole_kcal * 100,
    ),
)
