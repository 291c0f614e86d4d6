"""The schedule of a plan as a page draws it: compiled for Vega, wide and narrow, and in words."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from comity.brief.wording import ENGLISH
from comity.charts.schedule import schedule_sentences
from comity.charts.schedule_page import narrow_schedule, page_schedule
from comity.core.days.calendar import FOREVER
from comity.service.casework_strip import untold
from comity.service.planning_files import schedule_of

if TYPE_CHECKING:
    from comity.charts.palette import Spec
    from comity.core.days.dayset import Run
    from comity.service.planning import Plan

_KEPT: Final = 64


@dataclass(frozen=True, slots=True)
class PageSchedule:
    """A schedule to be shown: Vega specifications, and the same in words."""

    wide: Spec
    narrow: Spec
    sentences: tuple[str, ...]


def page_schedule_of(plan: Plan, *, is_plain: bool = False) -> PageSchedule | None:
    """Return the drawing of a plan; None where nothing is left to draw.

    Parameters
    ----------
    plan : Plan
        A possible one.
    is_plain : bool
        For the applicant: nothing of chances.
    """
    schedule = schedule_of(plan)
    if not schedule.bars:
        return None
    windows = _windows(plan)
    what = plan.route.network[plan.route.first].label if plan.route.first else ""
    wide = page_schedule(schedule, windows=windows, what=what, is_plain=is_plain)
    for rows in wide["datasets"].values():
        for row in rows:
            if "says" in row:
                row["says"] = ENGLISH.spoken(row["says"])
    narrow = narrow_schedule(wide, schedule)
    sentences = tuple(ENGLISH.spoken(each) for each in schedule_sentences(schedule))
    description = " ".join(sentences)
    return PageSchedule(_compiled(wide, description), _compiled(narrow, description), sentences)


def _windows(plan: Plan) -> tuple[Run, ...]:
    """Return the days on which the first milestone may lie; none where every day will do."""
    if not plan.route.first:
        return ()
    step = plan.route.network[plan.route.first]
    if step.happened is not None or step.allowed == ((0, FOREVER),):
        return ()
    return tuple(step.allowed or ())


def _compiled(spec: Spec, description: str) -> Spec:
    vega: Spec = json.loads(_vega(json.dumps(spec)))
    return {**vega, "description": description, "background": None}


@lru_cache(maxsize=_KEPT)
def _vega(text: str) -> str:
    import vl_convert  # noqa: PLC0415 - loaded only when a schedule is shown: commands start fast

    return json.dumps(untold(vl_convert.vegalite_to_vega(json.loads(text))))
