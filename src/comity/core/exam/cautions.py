"""The lines of caution that stand beside every item, wherever it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK, INDEPENDENT, PREVAILS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.items import Item

UNNAMED_SOURCE: Final = "the source that is named with its explanation"


def cautions_beside(
    item: Item, drawn: Mapping[str, tuple[str, ...]] | None = None, *, names_source: bool
) -> tuple[str, ...]:
    """Return the cautions of an item.

    Parameters
    ----------
    item : Item
        Written by hand or drawn from a model.
    drawn : mapping, optional
        From ids of items to the cautions their models gave them: these hold instead.
    names_source : bool
        Whether the source may be told: before the end of an examination it could give an answer
        away. What a model drew names its equation in the question anyway.
    """
    if drawn and item.id in drawn:
        return drawn[item.id]
    source = item.source if names_source else UNNAMED_SOURCE
    lines = (EDUCATION, PREVAILS.format(source=source), INDEPENDENT)
    return (*lines, HIGH_RISK) if item.high_risk else lines
