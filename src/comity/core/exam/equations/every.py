"""Every equation by its id: what a formula of an item model may call."""

from __future__ import annotations

from itertools import chain
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from comity.core.exam.equations import (
    body_measures,
    diabetes,
    enteral,
    fluid,
    food_service,
    growth,
    labelling,
    laboratory,
    lipids,
    maternal,
    nitrogen,
    parenteral,
    renal,
    resting_energy,
    screening,
    statistics,
    total_energy,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.equations.equation import Equation

_MODULES: Final = (
    body_measures,
    growth,
    resting_energy,
    total_energy,
    nitrogen,
    fluid,
    laboratory,
    renal,
    diabetes,
    lipids,
    parenteral,
    enteral,
    screening,
    maternal,
    food_service,
    labelling,
    statistics,
)
EQUATIONS: Final[Mapping[str, Equation]] = MappingProxyType(
    {each.id: each for each in chain.from_iterable(module.EQUATIONS for module in _MODULES)}
)
"""In the order of the catalogue's groups, A to O."""
