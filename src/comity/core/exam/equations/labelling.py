"""Group N: energy on labels, rounding, daily values, units of nutrients."""

from __future__ import annotations

from math import floor
from typing import Final

from comity.core.exam.equations.asked import ENERGY, PROTEIN
from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_FAT: Final = Quantity("fat_g", "g", 0, 500)
_CARBOHYDRATE: Final = Quantity("carbohydrate_g", "g", 0, 1000)
_FIBRE: Final = Quantity("fibre_g", "g", 0, 200)
_MCG: Final = (0, 100000)
# The list of 2016, adults: grams, milligrams or micrograms as labels print them.
_DAILY: Final = {
    "fat g": 78,
    "saturated fat g": 20,
    "cholesterol mg": 300,
    "sodium mg": 2300,
    "carbohydrate g": 275,
    "fibre g": 28,
    "added sugars g": 50,
    "protein g": 50,
    "vitamin D µg": 20,
    "calcium mg": 1300,
    "iron mg": 18,
    "potassium mg": 4700,
}


def _half_up(value: float, step: float) -> float:
    return floor(round(value / step, 9) + 0.5) * step


def _label_energy(kcal: float) -> float:
    if kcal < 5:
        return 0
    return _half_up(kcal, 5 if kcal <= 50 else 10)


def _label_fat(fat_g: float) -> float:
    if fat_g < 0.5:
        return 0
    return _half_up(fat_g, 0.5 if fat_g < 5 else 1)


EQUATIONS: Final = (
    Equation(
        id="energy_general",
        group="N1",
        title="Energy of a food, general factors",
        version="4, 9, 4, 7",
        states="4 × protein + 9 × fat + 4 × carbohydrate + 7 × alcohol, in g",
        inputs=(PROTEIN, _FAT, _CARBOHYDRATE, Quantity("alcohol_g", "g", 0, 500)),
        unit="kcal",
        source="21 CFR 101.9(c)(1)",
        year=2016,
        status=Status.DEFINITION,
        compute=lambda protein_g, fat_g, carbohydrate_g, alcohol_g: (
            4 * protein_g + 9 * fat_g + 4 * carbohydrate_g + 7 * alcohol_g
        ),
    ),
    Equation(
        id="energy_us_label",
        group="N1",
        title="Energy of a food, non-soluble fibre taken off",
        version="US, carbohydrate with fibre",
        states="4 × protein + 9 × fat + 4 × (carbohydrate − non-soluble fibre), in g",
        inputs=(PROTEIN, _FAT, _CARBOHYDRATE, _FIBRE),
        unit="kcal",
        source="21 CFR 101.9(c)(1)",
        year=2016,
        status=Status.DEFINITION,
        compute=lambda protein_g, fat_g, carbohydrate_g, fibre_g: (
            4 * protein_g + 9 * fat_g + 4 * (carbohydrate_g - fibre_g)
        ),
    ),
    Equation(
        id="energy_eu_label",
        group="N1",
        title="Energy of a food, European factors",
        version="EU 1169/2011, carbohydrate without fibre",
        states="4 × protein + 9 × fat + 4 × carbohydrate without fibre + 2 × fibre, in g",
        inputs=(PROTEIN, _FAT, _CARBOHYDRATE, _FIBRE),
        unit="kcal",
        source="Regulation (EU) No 1169/2011, annex XIV",
        year=2011,
        status=Status.DEFINITION,
        compute=lambda protein_g, fat_g, carbohydrate_g, fibre_g: (
            4 * protein_g + 9 * fat_g + 4 * carbohydrate_g + 2 * fibre_g
        ),
    ),
    Equation(
        id="label_energy_us",
        group="N2",
        title="Energy as a US label prints it",
        version="21 CFR 101.9",
        states="under 5 kcal: 0; up to 50: to the nearest 5; over 50: to the nearest 10",
        inputs=(Quantity("kcal", "kcal", 0, 5000),),
        unit="kcal",
        source="21 CFR 101.9(c)(1)",
        year=2016,
        status=Status.CONFIRMED,
        compute=_label_energy,
    ),
    Equation(
        id="label_fat_us",
        group="N2",
        title="Fat as a US label prints it",
        version="21 CFR 101.9",
        states="under 0.5 g: 0; under 5 g: to the nearest 0.5 g; from 5 g: to the nearest g",
        inputs=(_FAT,),
        unit="g",
        source="21 CFR 101.9(c)(2)",
        year=2016,
        status=Status.CONFIRMED,
        compute=_label_fat,
    ),
    Equation(
        id="daily_value_percent",
        group="N3",
        title="Per cent of the daily value",
        version="US list of 2016",
        states="amount ÷ daily value × 100",
        inputs=(Choice("nutrient", tuple(_DAILY)), Quantity("amount", "", 0, 20000)),
        unit="%",
        source="21 CFR 101.9(c)(8) and (9)",
        year=2016,
        status=Status.FROM_MEMORY,
        compute=lambda nutrient, amount: amount / _DAILY[nutrient] * 100,
    ),
    Equation(
        id="content_claim",
        group="N4",
        title="Claim that a daily value allows",
        version="US",
        states="20 % and over: high; 10 to 19 %: good source; below: none",
        inputs=(Quantity("percent", "%", 0, 1000),),
        unit="",
        source="21 CFR 101.54",
        year=2016,
        status=Status.FROM_MEMORY,
        compute=lambda percent: (
            "high" if percent >= 20 else "good source" if percent >= 10 else "none"
        ),
    ),
    Equation(
        id="nutrient_rich_index",
        group="N5",
        title="NRF9.3 index",
        version="per 100 kcal",
        states="sum of nine daily values in % (each at most 100) − sum of three to limit in %",
        inputs=(Quantity("encourage", "%", 0, 900), Quantity("limit", "%", 0, 900)),
        unit="",
        source="Fulgoni et al., J Nutr 139:1549",
        year=2009,
        status=Status.CONFIRMED,
        compute=lambda encourage, limit: encourage - limit,
    ),
    Equation(
        id="nutrient_quality_index",
        group="N6",
        title="Index of nutritional quality",
        version="per energy",
        states="(amount ÷ requirement) ÷ (energy ÷ energy requirement)",
        inputs=(
            Quantity("amount", "", 0, 100000),
            Quantity("requirement", "", 0.001, 100000),
            ENERGY,
            Quantity("need_kcal", "kcal", 500, 6000),
        ),
        unit="",
        source="Hansen, Nutritional Quality Index of Foods",
        year=1979,
        status=Status.DEFINITION,
        compute=lambda amount, requirement, energy_kcal, need_kcal: (
            (amount / requirement) / (energy_kcal / need_kcal)
        ),
    ),
    Equation(
        id="folate_equivalents_1998",
        group="N7",
        title="Dietary folate equivalents",
        version="1998",
        states="food folate + 1.7 × folic acid taken with food, in µg",
        inputs=(Quantity("food_ug", "µg", *_MCG), Quantity("acid_ug", "µg", *_MCG)),
        unit="µg DFE",
        source="Institute of Medicine, DRI volume on B vitamins",
        year=1998,
        status=Status.DEFINITION,
        compute=lambda food_ug, acid_ug: food_ug + 1.7 * acid_ug,
    ),
    Equation(
        id="retinol_activity_2001",
        group="N7",
        title="Retinol activity equivalents",
        version="2001",
        states="retinol + β-carotene ÷ 12 + other provitamin A carotenoids ÷ 24, in µg",
        inputs=tuple(Quantity(name, "µg", *_MCG) for name in ("retinol", "carotene", "other")),
        unit="µg RAE",
        source="Institute of Medicine, DRI volume on micronutrients",
        year=2001,
        status=Status.DEFINITION,
        compute=lambda retinol, carotene, other: retinol + carotene / 12 + other / 24,
    ),
    Equation(
        id="niacin_equivalents_1998",
        group="N7",
        title="Niacin equivalents",
        version="1998",
        states="niacin in mg + tryptophan in mg ÷ 60",
        inputs=(Quantity("niacin_mg", "mg", 0, 500), Quantity("tryptophan_mg", "mg", 0, 10000)),
        unit="mg NE",
        source="Institute of Medicine, DRI volume on B vitamins",
        year=1998,
        status=Status.DEFINITION,
        compute=lambda niacin_mg, tryptophan_mg: niacin_mg + tryptophan_mg / 60,
    ),
    Equation(
        id="vitamin_d_iu",
        group="N7",
        title="Vitamin D from µg to IU",
        version="40 IU/µg",
        states="µg × 40",
        inputs=(Quantity("ug", "µg", 0, 10000),),
        unit="IU",
        source="definition of the unit",
        year=1997,
        status=Status.DEFINITION,
        compute=lambda ug: ug * 40,
    ),
    Equation(
        id="vitamin_e_mg",
        group="N7",
        title="Vitamin E from IU to mg",
        version="natural 0.67, synthetic 0.45",
        states="IU × 0.67 (natural) or × 0.45 (synthetic)",
        inputs=(Choice("form", ("natural", "synthetic")), Quantity("iu", "IU", 0, 5000)),
        unit="mg",
        source="Institute of Medicine, DRI volume on antioxidants",
        year=2000,
        status=Status.DEFINITION,
        compute=lambda form, iu: iu * (0.67 if form == "natural" else 0.45),
    ),
    Equation(
        id="cooked_nutrient_2007",
        group="N8",
        title="Nutrient of a cooked food",
        version="retention and yield as stated",
        states="raw amount × retention ÷ yield, in 100 g",
        inputs=(
            Quantity("raw", "", 0, 100000),
            Quantity("retention", "", 0.01, 1),
            Quantity("yield_share", "", 0.1, 4),
        ),
        unit="",
        source="USDA, Table of Nutrient Retention Factors, release 6",
        year=2007,
        status=Status.DEFINITION,
        compute=lambda raw, retention, yield_share: raw * retention / yield_share,
    ),
)
