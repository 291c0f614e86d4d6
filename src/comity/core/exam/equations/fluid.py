"""Group D: water, sodium, osmolality."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ANY_WEIGHT, SEX, WEIGHT
from comity.core.exam.equations.equation import Equation, Quantity, Status

_SODIUM: Final = Quantity("sodium_mmol", "mmol/L", 100, 190)
_GLUCOSE: Final = Quantity("glucose_mg_dl", "mg/dL", 20, 1500)
_TBW: Final = Quantity("tbw_l", "L", 1, 150)


def _holliday(weight_kg: float) -> float:
    first, second = min(weight_kg, 10), min(max(weight_kg - 10, 0), 10)
    return 100 * first + 50 * second + 20 * max(weight_kg - 20, 0)


def _four_two_one(weight_kg: float) -> float:
    first, second = min(weight_kg, 10), min(max(weight_kg - 10, 0), 10)
    return 4 * first + 2 * second + max(weight_kg - 20, 0)


def _watson(*, sex: str, age_y: float, height_cm: float, weight_kg: float) -> float:
    if sex == "male":
        return 2.447 - 0.09516 * age_y + 0.1074 * height_cm + 0.3362 * weight_kg
    return -2.097 + 0.1069 * height_cm + 0.2466 * weight_kg


EQUATIONS: Final = (
    Equation(
        id="holliday_segar_1957",
        group="D1",
        title="Maintenance fluid of a day, Holliday–Segar",
        version="1957",
        states="100 mL/kg for the first 10 kg, 50 mL/kg for the next 10 kg, 20 mL/kg beyond",
        inputs=(ANY_WEIGHT,),
        unit="mL/d",
        source="Holliday and Segar, Pediatrics 19:823",
        year=1957,
        # Read: University of Texas Medical Branch, maintenance fluid requirements, which quotes the
        # paper, and a digital handbook of anaesthesia for children, which tells its derivation.
        status=Status.CONFIRMED,
        compute=_holliday,
    ),
    Equation(
        id="four_two_one",
        group="D1",
        title="Maintenance fluid of an hour, 4-2-1",
        version="hourly",
        states="4 mL/kg/h for the first 10 kg, 2 mL/kg/h for the next 10 kg, 1 mL/kg/h beyond",
        inputs=(ANY_WEIGHT,),
        unit="mL/h",
        source="derived from Holliday and Segar",
        year=1957,
        # Read: the same two.
        status=Status.CONFIRMED,
        compute=_four_two_one,
    ),
    Equation(
        id="fluid_by_surface",
        group="D2",
        title="Fluid by body surface",
        version="mL/m² as stated",
        states="mL/m² × body surface area",
        inputs=(Quantity("ml_m2", "mL/m²", 300, 3000), Quantity("bsa_m2", "m²", 0.2, 3)),
        unit="mL/d",
        source="common practice",
        year=2010,
        status=Status.DEFINITION,
        compute=lambda ml_m2, bsa_m2: ml_m2 * bsa_m2,
    ),
    Equation(
        id="osmolality",
        group="D3",
        title="Serum osmolality",
        version="2 Na, mg/dL",
        states="2 × sodium + glucose ÷ 18 + urea nitrogen ÷ 2.8 (mmol/L, mg/dL)",
        inputs=(_SODIUM, _GLUCOSE, Quantity("bun_mg_dl", "mg/dL", 1, 250)),
        unit="mOsm/kg",
        source="common form; conversion by molar mass",
        year=1975,
        status=Status.DEFINITION,
        compute=lambda sodium_mmol, glucose_mg_dl, bun_mg_dl: (
            2 * sodium_mmol + glucose_mg_dl / 18 + bun_mg_dl / 2.8
        ),
    ),
    Equation(
        id="osmolality_si",
        group="D3",
        title="Serum osmolality",
        version="2 Na, mmol/L",
        states="2 × sodium + glucose + urea, all in mmol/L",
        inputs=(
            _SODIUM,
            Quantity("glucose_mmol", "mmol/L", 1, 85),
            Quantity("urea_mmol", "mmol/L", 0.5, 90),
        ),
        unit="mOsm/kg",
        source="common form",
        year=1975,
        status=Status.DEFINITION,
        compute=lambda sodium_mmol, glucose_mmol, urea_mmol: (
            2 * sodium_mmol + glucose_mmol + urea_mmol
        ),
    ),
    Equation(
        id="osmolality_dorwart_1975",
        group="D3",
        title="Serum osmolality, Dorwart and Chalmers",
        version="1975",
        states="1.86 × sodium + glucose ÷ 18 + urea nitrogen ÷ 2.8 + 9",
        inputs=(_SODIUM, _GLUCOSE, Quantity("bun_mg_dl", "mg/dL", 1, 250)),
        unit="mOsm/kg",
        source="Dorwart and Chalmers, Clin Chem 21:190",
        year=1975,
        status=Status.FROM_MEMORY,
        compute=lambda sodium_mmol, glucose_mg_dl, bun_mg_dl: (
            1.86 * sodium_mmol + glucose_mg_dl / 18 + bun_mg_dl / 2.8 + 9
        ),
    ),
    Equation(
        id="free_water_deficit",
        group="D4",
        title="Free water deficit",
        version="Na/140 − 1",
        states="weight × share of water × (sodium ÷ 140 − 1)",
        inputs=(
            WEIGHT,
            Quantity("share", "", 0.4, 0.7),
            Quantity("sodium_mmol", "mmol/L", 140, 190),
        ),
        unit="L",
        source="Adrogué and Madias, N Engl J Med 342:1493",
        year=2000,
        status=Status.FROM_MEMORY,
        compute=lambda weight_kg, share, sodium_mmol: weight_kg * share * (sodium_mmol / 140 - 1),
        note="the speed of correction lies outside this arithmetic",
    ),
    Equation(
        id="sodium_for_glucose",
        group="D5",
        title="Sodium corrected for glucose",
        version="factor 1.6 (1973) or 2.4 (1999), as stated",
        states="sodium + factor × (glucose − 100) ÷ 100 (mmol/L, mg/dL)",
        inputs=(
            _SODIUM,
            Quantity("glucose_mg_dl", "mg/dL", 100, 1500),
            Quantity("factor", "mmol/L", 1.5, 2.5),
        ),
        unit="mmol/L",
        source="Katz, N Engl J Med 289:843 (1.6); Hillier et al., Am J Med 106:399 (2.4)",
        year=1999,
        status=Status.CONFIRMED,
        compute=lambda sodium_mmol, glucose_mg_dl, factor: (
            sodium_mmol + factor * (glucose_mg_dl - 100) / 100
        ),
    ),
    Equation(
        id="body_water_watson_1980",
        group="D6",
        title="Total body water, Watson",
        version="1980",
        states="men 2.447 − 0.09516 × years + 0.1074 × cm + 0.3362 × kg;"
        " women −2.097 + 0.1069 × cm + 0.2466 × kg",
        inputs=(SEX, Quantity("age_y", "y", 17, 90), Quantity("height_cm", "cm", 120, 230), WEIGHT),
        unit="L",
        source="Watson et al., Am J Clin Nutr 33:27",
        year=1980,
        status=Status.CONFIRMED,
        compute=_watson,
    ),
    Equation(
        id="sweat_rate",
        group="D7",
        title="Sweat rate",
        version="definition",
        states="(weight before − weight after + drink − urine) ÷ hours; 1 kg counts as 1 L",
        inputs=(
            Quantity("before_kg", "kg", 20, 350),
            Quantity("after_kg", "kg", 20, 350),
            Quantity("drink_l", "L", 0, 10),
            Quantity("urine_l", "L", 0, 5),
            Quantity("hours", "h", 0.25, 24),
        ),
        unit="L/h",
        source="definition",
        year=2007,
        status=Status.DEFINITION,
        compute=lambda before_kg, after_kg, drink_l, urine_l, hours: (
            (before_kg - after_kg + drink_l - urine_l) / hours
        ),
    ),
    Equation(
        id="sodium_change_2000",
        group="D8",
        title="Change of sodium by one litre of infusate, Adrogué–Madias",
        version="2000",
        states="(sodium and potassium of the infusate − serum sodium) ÷ (body water + 1)",
        inputs=(Quantity("infusate_mmol", "mmol/L", 0, 600), _SODIUM, _TBW),
        unit="mmol/L",
        source="Adrogué and Madias, N Engl J Med 342:1493",
        year=2000,
        status=Status.FROM_MEMORY,
        compute=lambda infusate_mmol, sodium_mmol, tbw_l: (
            (infusate_mmol - sodium_mmol) / (tbw_l + 1)
        ),
    ),
    Equation(
        id="carrier_energy",
        group="D9",
        title="Energy of a solution that carries something else",
        version="kcal/mL as stated",
        states="mL/h × hours × kcal per mL (10 % lipid vehicle 1.1; 5 % dextrose 0.17)",
        inputs=(
            Quantity("rate_ml_h", "mL/h", 0.1, 500),
            Quantity("hours", "h", 0.25, 24),
            Quantity("kcal_ml", "kcal/mL", 0.1, 3),
        ),
        unit="kcal",
        source="product labels: 10 % lipid 1.1 kcal/mL, dextrose monohydrate 3.4 kcal/g",
        year=2004,
        status=Status.CONFIRMED,
        compute=lambda rate_ml_h, hours, kcal_ml: rate_ml_h * hours * kcal_ml,
    ),
)
