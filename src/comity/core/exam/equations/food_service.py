"""Group M: yields, costs, staff and stocks of a kitchen."""

from __future__ import annotations

from math import ceil, sqrt
from typing import Final

from comity.core.exam.equations.equation import Choice, Equation, Quantity, Status

_KITCHEN: Final = "BC Cook Articulation Committee, open textbook on costing"
_TRADE: Final = "common practice of food-service management"
_MONEY: Final = (0, 10_000_000)
_PERCENT: Final = Quantity("percent", "%", 1, 100)
_N: Final = Quantity("portions", "", 1, 100000)


def _money(name: str) -> Quantity:
    return Quantity(name, "", *_MONEY)


def _plain(**given: object) -> Equation:
    """Return an equation of the trade whose arithmetic is its definition."""
    common = {
        "source": _KITCHEN,
        "year": 2015,
        "status": Status.DEFINITION,
        "version": "definition",
    }
    return Equation(**{**common, **given})  # type: ignore[arg-type]


EQUATIONS: Final = (
    _plain(
        id="yield_percent",
        group="M1",
        title="Yield",
        states="edible portion ÷ as purchased × 100",
        inputs=(Quantity("edible_kg", "kg", 0, 10000), Quantity("purchased_kg", "kg", 0.01, 10000)),
        unit="%",
        compute=lambda edible_kg, purchased_kg: edible_kg / purchased_kg * 100,
    ),
    _plain(
        id="purchase_amount",
        group="M2",
        title="Amount to buy",
        states="portions × g of a portion ÷ 1000 ÷ yield",
        inputs=(_N, Quantity("portion_g", "g", 1, 2000), _PERCENT),
        unit="kg",
        compute=lambda portions, portion_g, percent: portions * portion_g / 1000 / (percent / 100),
    ),
    _plain(
        id="edible_cost",
        group="M3",
        title="Cost of the edible portion",
        states="price as purchased ÷ yield",
        inputs=(_money("price"), _PERCENT),
        unit="",
        compute=lambda price, percent: price / (percent / 100),
    ),
    _plain(
        id="recipe_factor",
        group="M4",
        title="Recipe factor",
        states="new portions × new size ÷ (old portions × old size)",
        inputs=(
            Quantity("new_portions", "", 1, 10000),
            Quantity("new_g", "g", 1, 2000),
            Quantity("old_portions", "", 1, 10000),
            Quantity("old_g", "g", 1, 2000),
        ),
        unit="",
        compute=lambda new_portions, new_g, old_portions, old_g: (
            new_portions * new_g / (old_portions * old_g)
        ),
    ),
    _plain(
        id="portion_cost",
        group="M5",
        title="Cost of a portion",
        states="cost of the recipe ÷ portions",
        inputs=(_money("recipe_cost"), _N),
        unit="",
        compute=lambda recipe_cost, portions: recipe_cost / portions,
    ),
    _plain(
        id="food_cost_percent",
        group="M6",
        title="Food cost",
        states="(opening stock + purchases − closing stock) ÷ sales × 100",
        inputs=(_money("opening"), _money("purchases"), _money("closing"), _money("sales")),
        unit="%",
        compute=lambda opening, purchases, closing, sales: (
            (opening + purchases - closing) / sales * 100
        ),
    ),
    _plain(
        id="menu_price",
        group="M7",
        title="Price from a target food cost",
        states="cost of a portion ÷ target share",
        inputs=(_money("portion_cost"), _PERCENT),
        unit="",
        source=_TRADE,
        compute=lambda portion_cost, percent: portion_cost / (percent / 100),
    ),
    _plain(
        id="stock_turnover",
        group="M8",
        title="Turnover of stock",
        states="(opening + purchases − closing) ÷ mean of opening and closing stock",
        inputs=(_money("opening"), _money("purchases"), _money("closing")),
        unit="",
        source=_TRADE,
        compute=lambda opening, purchases, closing: (
            (opening + purchases - closing) / ((opening + closing) / 2)
        ),
    ),
    _plain(
        id="full_time_staff",
        group="M9",
        title="Full-time positions",
        version="40 h a week; relief by 365 days and 260 worked",
        states="hours a week ÷ 40; with relief × 365 ÷ 260",
        inputs=(Quantity("hours_week", "h", 1, 20000), Choice("relief", ("yes", "no"))),
        unit="positions",
        source=_TRADE,
        compute=lambda hours_week, relief: hours_week / 40 * (365 / 260 if relief == "yes" else 1),
    ),
    _plain(
        id="meals_per_hour",
        group="M10",
        title="Productivity",
        states="meals ÷ hours of work",
        inputs=(Quantity("meals", "", 1, 1000000), Quantity("hours_worked", "h", 0.5, 100000)),
        unit="meals/h",
        source=_TRADE,
        compute=lambda meals, hours_worked: meals / hours_worked,
    ),
    _plain(
        id="minutes_per_meal",
        group="M10",
        title="Minutes of work for a meal",
        states="hours of work × 60 ÷ meals",
        inputs=(Quantity("meals", "", 1, 1000000), Quantity("hours_worked", "h", 0.5, 100000)),
        unit="min",
        source=_TRADE,
        compute=lambda meals, hours_worked: hours_worked * 60 / meals,
    ),
    Equation(
        id="popularity_cut_1982",
        group="M11",
        title="Least share of a popular dish",
        version="1982, 70 % rule",
        states="0.7 ÷ number of dishes × 100",
        inputs=(Quantity("dishes", "", 2, 200),),
        unit="%",
        source="Kasavana and Smith, Menu Engineering",
        year=1982,
        status=Status.FROM_MEMORY,
        compute=lambda dishes: 0.7 / dishes * 100,
    ),
    _plain(
        id="smoothed_forecast",
        group="M12",
        title="Forecast by exponential smoothing",
        states="alpha × actual + (1 − alpha) × last forecast",
        inputs=(
            Quantity("alpha", "", 0, 1),
            Quantity("actual", "", 0, 1000000),
            Quantity("forecast", "", 0, 1000000),
        ),
        unit="",
        source=_TRADE,
        compute=lambda alpha, actual, forecast: alpha * actual + (1 - alpha) * forecast,
    ),
    _plain(
        id="break_even",
        group="M13",
        title="Meals to break even",
        version="rounded up",
        states="fixed costs ÷ (price − variable cost), up to the next whole meal",
        inputs=(_money("fixed"), _money("price"), _money("variable")),
        unit="meals",
        source=_TRADE,
        # A meal cannot be sold in part; what binary fractions add is taken off first.
        compute=lambda fixed, price, variable: ceil(round(fixed / (price - variable), 9)),
    ),
    _plain(
        id="reorder_point",
        group="M14",
        title="Reorder point",
        states="use of a day × days of delivery + safety stock",
        inputs=(
            Quantity("daily_use", "", 0, 100000),
            Quantity("lead_days", "d", 0, 365),
            Quantity("safety", "", 0, 100000),
        ),
        unit="",
        source=_TRADE,
        compute=lambda daily_use, lead_days, safety: daily_use * lead_days + safety,
    ),
    _plain(
        id="order_quantity",
        group="M14",
        title="Economic order quantity",
        states="√(2 × demand of a year × cost of an order ÷ cost of holding one for a year)",
        inputs=(
            Quantity("demand", "", 1, 10000000),
            Quantity("order_cost", "", 0.01, 100000),
            Quantity("holding_cost", "", 0.001, 100000),
        ),
        unit="",
        source=_TRADE,
        compute=lambda demand, order_cost, holding_cost: sqrt(
            2 * demand * order_cost / holding_cost
        ),
    ),
    _plain(
        id="celsius",
        group="M15",
        title="Degrees Fahrenheit to Celsius",
        states="(°F − 32) × 5 ÷ 9",
        inputs=(Quantity("fahrenheit", "°F", -100, 700),),
        unit="°C",
        source="definition of the scales",
        compute=lambda fahrenheit: (fahrenheit - 32) * 5 / 9,
    ),
)
