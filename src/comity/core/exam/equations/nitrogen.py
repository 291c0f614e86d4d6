"""Group C: protein and nitrogen."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import PROTEIN, SEX, WEIGHT
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_UUN: Final = Quantity("uun_g", "g/d", 0, 50)


def _quality(*, measure: str, amino_acid_ratio: float, digestibility: float) -> float:
    score = amino_acid_ratio * digestibility
    return min(1.0, score) if measure == "PDCAAS" else score


EQUATIONS: Final = (
    Equation(
        id="nitrogen",
        group="C1",
        title="Nitrogen of protein",
        version="factor as stated",
        states="protein ÷ factor (6.25 in general, wheat 5.83, milk 6.38)",
        inputs=(PROTEIN, Quantity("factor", "g/g", 5, 6.5)),
        unit="g",
        source="Jones, USDA Circular 183",
        year=1931,
        status=Status.DEFINITION,
        compute=lambda protein_g, factor: protein_g / factor,
    ),
    Equation(
        id="nitrogen_balance",
        group="C2",
        title="Nitrogen balance",
        version="losses beside urinary urea as stated",
        states="protein ÷ 6.25 − (urinary urea nitrogen + other losses)",
        inputs=(PROTEIN, _UUN, Quantity("other_g", "g/d", 0, 6)),
        unit="g/d",
        source="Mackenzie et al., JPEN 9",
        year=1985,
        # Read: California State University Northridge, calculation of nitrogen balance, and
        # surgicalcriticalcare.net, nitrogen balance (both with 4 g of other losses).
        status=Status.CONFIRMED,
        compute=lambda protein_g, uun_g, other_g: protein_g / 6.25 - (uun_g + other_g),
        note="other losses of 2 to 4 g are in use, so they have to stand in the stem",
    ),
    Equation(
        id="urinary_urea_nitrogen",
        group="C2",
        title="Urinary urea nitrogen of a day",
        version="mg/dL",
        states="mg/dL × L ÷ 100",
        inputs=(Quantity("uun_mg_dl", "mg/dL", 0, 3000), Quantity("urine_l", "L/d", 0.1, 10)),
        unit="g/d",
        source="arithmetic of units",
        year=1985,
        status=Status.DEFINITION,
        compute=lambda uun_mg_dl, urine_l: uun_mg_dl * urine_l / 100,
    ),
    Equation(
        id="npc_to_nitrogen",
        group="C3",
        title="Non-protein energy for each g of nitrogen",
        version="6.25",
        states="kcal of carbohydrate and fat ÷ (protein ÷ 6.25)",
        inputs=(Quantity("nonprotein_kcal", "kcal", 0, 8000), Quantity("protein_g", "g", 1, 500)),
        unit="kcal/g",
        source="ASPEN core curriculum, convention",
        year=2012,
        status=Status.DEFINITION,
        compute=lambda nonprotein_kcal, protein_g: nonprotein_kcal / (protein_g / 6.25),
    ),
    Equation(
        id="catabolic_index_1979",
        group="C4",
        title="Catabolic index, Bistrian",
        version="1979",
        states="urinary urea nitrogen − (0.5 × nitrogen eaten + 3)",
        inputs=(_UUN, PROTEIN),
        unit="g/d",
        source="Bistrian, Surg Gynecol Obstet 148",
        year=1979,
        status=Status.FROM_MEMORY,
        compute=lambda uun_g, protein_g: uun_g - (0.5 * protein_g / 6.25 + 3),
    ),
    Equation(
        id="creatinine_height_index",
        group="C5",
        title="Creatinine-height index",
        version="23 and 18 mg/kg",
        states="creatinine of 24 h ÷ (23 mg men, 18 mg women, per kg of ideal weight) × 100",
        inputs=(
            SEX,
            Quantity("creatinine_mg", "mg/d", 100, 4000),
            Quantity("ibw_kg", "kg", 30, 110),
        ),
        unit="%",
        source="Bistrian and Blackburn",
        year=1975,
        status=Status.FROM_MEMORY,
        compute=lambda sex, creatinine_mg, ibw_kg: (
            creatinine_mg / ((23 if sex == "male" else 18) * ibw_kg) * 100
        ),
    ),
    Equation(
        id="gnri_2005",
        group="C6",
        title="Geriatric nutritional risk index",
        version="2005",
        states="1.489 × albumin in g/L + 41.7 × weight ÷ ideal weight, the ratio at most 1",
        inputs=(
            Quantity("albumin_g_l", "g/L", 10, 55),
            WEIGHT,
            Quantity("ibw_kg", "kg", 30, 110),
        ),
        unit="",
        source="Bouillanne et al., Am J Clin Nutr 82:777",
        year=2005,
        status=Status.FROM_MEMORY,
        compute=lambda albumin_g_l, weight_kg, ibw_kg: (
            1.489 * albumin_g_l + 41.7 * min(1.0, weight_kg / ibw_kg)
        ),
    ),
    Equation(
        id="protein_maroni_1985",
        group="C7",
        title="Protein eaten, from urinary urea nitrogen, Maroni",
        version="1985",
        states="(urinary urea nitrogen + 0.031 × kg) × 6.25",
        inputs=(_UUN, WEIGHT),
        unit="g/d",
        source="Maroni et al., Kidney Int 27:58",
        year=1985,
        status=Status.CONFIRMED,
        compute=lambda uun_g, weight_kg: (uun_g + 0.031 * weight_kg) * 6.25,
        note="for people in nitrogen balance",
    ),
    Equation(
        id="protein_quality",
        group="C8",
        title="Protein quality score",
        version="FAO 1991 (PDCAAS), 2013 (DIAAS)",
        states="lowest amino-acid ratio × digestibility; PDCAAS at most 1",
        inputs=(
            Choice("measure", ("PDCAAS", "DIAAS")),
            Quantity("amino_acid_ratio", "", 0, 3),
            Quantity("digestibility", "", 0, 1),
        ),
        unit="",
        source="FAO, Dietary Protein Quality Evaluation in Human Nutrition",
        year=2013,
        status=Status.DEFINITION,
        compute=_quality,
    ),
)
