"""Lines that go with every item: what to go by, and what to beware of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.core.exam.equations.equation import Equation, Status
from comity.core.exam.equations.every import EQUATIONS

if TYPE_CHECKING:
    from comity.core.exam.item_models.checking import ReadyModel

EDUCATION: Final = (
    "For education and exam practice. Not for patient care."
    " Do not use results to treat, dose or feed anyone."
)
PREVAILS: Final = (
    "Local protocols, product labels and your supervisor prevail; guidelines change — this item"
    " follows {source}."
)
HIGH_RISK: Final = (
    "High risk: in practice a check by pharmacist and physician is mandatory;"
    " limits on the speed of correction are outside this item."
)
PREDICTIVE: Final = (
    "Predictive equations err by 10 to 20 % in individuals;"
    " indirect calorimetry and clinical judgement decide."
)
INDEPENDENT: Final = (
    "An invented case. Not affiliated with any licensing examination, and no forecast of one."
)


def lines_to_use(ready: ReadyModel) -> tuple[str, ...]:
    """Return the equations with version and constants, the model's own rules, the rounding."""
    stated = [_stated(EQUATIONS[each]) for each in ready.equations]
    return (*stated, *ready.model.use, *_rounding(ready))


def _stated(equation: Equation) -> str:
    return f"{equation.title} ({equation.version}): {equation.states}."


def _rounding(ready: ReadyModel) -> tuple[str, ...]:
    key = ready.model.key
    if ready.model.answers:
        return ()
    places = {0: "the nearest whole number", 1: "one decimal place"}
    to = places.get(key.places, f"{key.places} decimal places")
    unit = f" ({key.unit})" if key.unit else ""
    return (f"Keep full precision and round once, at the end, half up, to {to}{unit}.",)


def cautions_of(ready: ReadyModel) -> tuple[str, ...]:
    """Return the lines of caution, those that hold of every item first."""
    model = ready.model
    equations = [EQUATIONS[each] for each in ready.equations]
    return (
        EDUCATION,
        PREVAILS.format(source=model.source),
        INDEPENDENT,
        *((HIGH_RISK,) if model.high_risk else ()),
        *((PREDICTIVE,) if model.predictive else ()),
        *(f"{each.title}: {each.note}." for each in equations if each.note),
        *(_unopened(each) for each in equations if each.status is Status.FROM_MEMORY),
        *model.cautions,
    )


def _unopened(equation: Equation) -> str:
    return (
        f"{equation.title} ({equation.version}): coefficients from memory, not yet opened in"
        f" {equation.source}."
    )
