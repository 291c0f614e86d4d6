"""Group J: feeding by tube."""

from __future__ import annotations

from typing import Final

from comity.core.exam.equations.asked import ENERGY, HOURS
from comity.core.exam.equations.equation import Equation, Quantity, Status

_DENSITY: Final = Quantity("kcal_ml", "kcal/mL", 0.5, 2.4)
_SAFE: Final = "Boullata et al., JPEN 41:15"
_VOLUME: Final = Quantity("volume_ml", "mL/d", 50, 5000)

EQUATIONS: Final = (
    Equation(
        id="tube_rate",
        group="J1",
        title="Rate of a tube feed",
        version="kcal/mL",
        states="energy ÷ kcal per mL ÷ hours",
        inputs=(ENERGY, _DENSITY, HOURS),
        unit="mL/h",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda energy_kcal, kcal_ml, hours: energy_kcal / kcal_ml / hours,
    ),
    Equation(
        id="free_water",
        group="J2",
        title="Free water of a formula",
        version="per cent as stated on the label",
        states="volume × per cent of free water ÷ 100",
        inputs=(_VOLUME, Quantity("percent", "%", 60, 90)),
        unit="mL/d",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda volume_ml, percent: volume_ml * percent / 100,
        note="labels differ by some points",
    ),
    Equation(
        id="flush",
        group="J3",
        title="Water of each flush",
        version="free water counted",
        states="(fluid goal − free water of the formula) ÷ number of flushes",
        inputs=(
            Quantity("goal_ml", "mL/d", 300, 6000),
            Quantity("free_water_ml", "mL/d", 0, 5000),
            Quantity("flushes", "", 1, 24),
        ),
        unit="mL",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda goal_ml, free_water_ml, flushes: (goal_ml - free_water_ml) / flushes,
    ),
    Equation(
        id="bolus_volume",
        group="J4",
        title="Volume of each feed",
        version="equal feeds",
        states="volume of a day ÷ number of feeds",
        inputs=(_VOLUME, Quantity("feeds", "", 1, 12)),
        unit="mL",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda volume_ml, feeds: volume_ml / feeds,
    ),
    Equation(
        id="protein_modules",
        group="J5",
        title="Modules that fill a protein gap",
        version="g per module as stated",
        states="(goal − volume × g per L ÷ 1000) ÷ g per module",
        inputs=(
            Quantity("goal_g", "g/d", 5, 300),
            _VOLUME,
            Quantity("g_l", "g/L", 5, 120),
            Quantity("module_g", "g", 1, 30),
        ),
        unit="",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda goal_g, volume_ml, g_l, module_g: (
            (goal_g - volume_ml * g_l / 1000) / module_g
        ),
    ),
    Equation(
        id="micronutrient_share",
        group="J6",
        title="Share of the micronutrient volume that is given",
        version="label volume as stated",
        states="volume given ÷ volume that meets all micronutrients × 100",
        inputs=(_VOLUME, Quantity("label_ml", "mL/d", 300, 3000)),
        unit="%",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda volume_ml, label_ml: volume_ml / label_ml * 100,
    ),
    Equation(
        id="powder_factor",
        group="J7",
        title="Powder for another concentration",
        version="proportional",
        states="wanted kcal/oz ÷ usual kcal/oz",
        inputs=(Quantity("wanted", "kcal/oz", 18, 32), Quantity("usual", "kcal/oz", 18, 32)),
        unit="",
        source="arithmetic; displacement by powder is left aside",
        year=2017,
        status=Status.DEFINITION,
        compute=lambda wanted, usual: wanted / usual,
    ),
    Equation(
        id="infant_energy",
        group="J7",
        title="Energy of an infant's feeds",
        version="29.57 mL/oz",
        states="mL/kg × kcal/oz ÷ 29.57",
        inputs=(Quantity("ml_kg", "mL/kg/d", 20, 250), Quantity("kcal_oz", "kcal/oz", 18, 32)),
        unit="kcal/kg/d",
        source="US fluid ounce, 29.57 mL",
        year=2017,
        status=Status.DEFINITION,
        compute=lambda ml_kg, kcal_oz: ml_kg * kcal_oz / 29.57,
    ),
    Equation(
        id="catch_up_rate",
        group="J8",
        title="Rate that makes up a day's volume",
        version="volume-based feeding",
        states="(goal − delivered) ÷ hours left",
        inputs=(
            Quantity("goal_ml", "mL/d", 300, 5000),
            Quantity("delivered_ml", "mL", 0, 5000),
            HOURS,
        ),
        unit="mL/h",
        source=_SAFE,
        year=2017,
        status=Status.DEFINITION,
        compute=lambda goal_ml, delivered_ml, hours: (goal_ml - delivered_ml) / hours,
    ),
)
