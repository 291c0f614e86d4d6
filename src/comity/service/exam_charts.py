"""Figures of items and readiness as drawings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from comity.brief.drawing import drawn
from comity.charts.exam_curves import (
    ItemOptions,
    OptionLine,
    information_spec,
    options_spec,
)
from comity.charts.study import ReadyOn, WeekHours, readiness_spec, weeks_spec
from comity.core.exam.information import information_of_test
from comity.service.exam_readiness import over_time, short_name

if TYPE_CHECKING:
    from comity.service.exam_figures import ClassFigures, ItemLine
    from comity.service.exam_readiness import Prepared

MOST_DRAWN: Final = 12
_GROUPS: Final = {2: ("weaker half", "stronger half"), 3: ("weakest", "middle", "strongest")}


def options_chart(found: ClassFigures) -> str:
    """Return who chose which option, of the items to look at or else of the first ones.

    Empty where too few people answered for groups.
    """
    drawable = [line for line in found.items if line.curves]
    doubtful = {each.item for each in found.look_at}
    chosen = [line for line in drawable if line.id in doubtful] or drawable
    if not chosen:
        return ""
    return drawn(options_spec([_options(line) for line in chosen[:MOST_DRAWN]]))


def _options(line: ItemLine) -> ItemOptions:
    groups = _GROUPS[len(line.curves[0].by_group)]
    by_option = {each.option: each for each in line.curves}
    nobody = (0.0,) * len(groups)
    lines = tuple(
        OptionLine(
            option,
            option == line.key,
            by_option[option].by_group if option in by_option else nobody,
        )
        for option in line.options
    )
    return ItemOptions(line.id, lines, groups)


def information_chart(found: ClassFigures) -> str:
    """Return how much the items tell at each ability; empty where the scale is not known."""
    if found.parameters is None:
        return ""
    abilities = np.linspace(-3, 3, 61)
    told = information_of_test(found.parameters, abilities)
    points = list(zip(map(float, abilities), map(float, told), strict=True))
    return drawn(information_spec(points, n_items=len(found.parameters.items)))


def readiness_chart(prepared: Prepared) -> str:
    """Return the chance of passing by the day of the examination; empty without a pass mark."""
    points = [
        ReadyOn(day, found.p_pass, found.low, found.high) for day, found in over_time(prepared)
    ]
    if all(point.low is None for point in points):
        return ""
    return drawn(readiness_spec(points))


def weeks_chart(prepared: Prepared) -> str:
    """Return the hours of study week by week; empty without any."""
    if prepared.plan is None or not prepared.plan.weeks:
        return ""
    names = {each.id: short_name(each.name) for each in prepared.blueprint.domains}
    weeks = [
        WeekHours(week.starts, tuple((names[id_], minutes) for id_, minutes in week.domains))
        for week in prepared.plan.weeks
    ]
    return drawn(weeks_spec(weeks))
