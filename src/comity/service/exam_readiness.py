"""Would they pass on a day, how to spend the hours until then, and whether to book now or wait."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import iso
from comity.core.exam.booking import BookingRules, book_or_wait
from comity.core.exam.exam_chance import exam_of
from comity.core.exam.looking_back import outcomes_of
from comity.core.exam.planned_study import NO_STUDY
from comity.core.exam.practice import practice_from_log, practice_items
from comity.core.exam.readiness import prospect
from comity.core.exam.study import plan_study
from comity.core.exam.study_days import StudyTime
from comity.files.calendar_feed import Event, calendar_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.booking import Booking
    from comity.core.exam.items import Bank
    from comity.core.exam.planned_study import PlannedStudy
    from comity.core.exam.practice import DatedAnswer, Practice
    from comity.core.exam.readiness import Prospect, Readiness
    from comity.core.exam.real_results import RealResult
    from comity.core.exam.study import StudyPlan

SEED: Final = 1
WEEK: Final = 7
FREE: Final = BookingRules(fee_minor=0)
MOST_POINTS: Final = 27
"""Days at which the drawing of readiness over time is worked out."""
CAUTION: Final = (
    "Practice is not the examination: this is a forecast from a model, not a promise. The authority"
    " decides."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is asked.

    Parameters
    ----------
    person : str
    exam : Day
        Day of the examination.
    hours_a_week : float or None
        Hours of study; None for no plan of study.
    at_most_a_day : float
    weekdays : tuple of int
        0 Monday to 6 Sunday.
    blocked : frozenset of Day
    sittings : tuple of Day
        Later days on which one could sit instead.
    rules : BookingRules
        What an attempt costs, for booking now or waiting.
    cut : float or None
        Share of right answers that passes, in place of the blueprint's.
    """

    person: str
    exam: Day
    hours_a_week: float | None = None
    at_most_a_day: float = 8.0
    weekdays: tuple[int, ...] = tuple(range(7))
    blocked: frozenset[Day] = frozenset()
    sittings: tuple[Day, ...] = ()
    rules: BookingRules = FREE
    cut: float | None = None


@dataclass(frozen=True, slots=True)
class Prepared:
    """All that can be told to one person's adviser.

    Parameters
    ----------
    blueprint : Blueprint
    known : Prospect
    now : Readiness
        On the day of the examination, without further study.
    studied : Readiness or None
        The same with the plan of study.
    plan : StudyPlan or None
    booking : Booking or None
        None where no other sitting was named.
    wanted : Wanted
    """

    blueprint: Blueprint
    known: Prospect
    now: Readiness
    studied: Readiness | None
    plan: StudyPlan | None
    booking: Booking | None
    wanted: Wanted


def known_of(
    answers: Sequence[DatedAnswer],
    bank: Bank,
    blueprint: Blueprint,
    *,
    today: Day,
    cut: float | None = None,
    results: Sequence[RealResult] = (),
) -> Prospect:
    """Return everyone's practice made ready to ask about; enough real results correct it."""
    items = practice_items(bank.items)

    def practised(some: Sequence[DatedAnswer]) -> Practice:
        return practice_from_log(some, items, today=today)

    exam = exam_of(blueprint) if cut is None else replace(exam_of(blueprint), cut=cut)
    outcomes = outcomes_of(results, answers, practised=practised, blueprint=blueprint, exam=exam)
    return prospect(practised(answers), blueprint, exam, outcomes=outcomes)


def prepare(known: Prospect, wanted: Wanted) -> Prepared:
    """Return readiness on the day, the weekly plan, and whether to wait.

    Raises
    ------
    ReadinessError
        When the day is over or the hours fit no week.
    """
    today = known.fit.practice.today
    now = known.readiness(wanted.person, wanted.exam)
    plan, studied = None, None
    if wanted.hours_a_week is not None:
        time = StudyTime(
            today,
            wanted.exam,
            wanted.hours_a_week,
            wanted.weekdays,
            wanted.at_most_a_day,
            wanted.blocked,
        )
        plan = plan_study(known, wanted.person, time, rng=np.random.default_rng(SEED))
        studied = known.readiness(wanted.person, wanted.exam, plan.planned)
    booking = None
    if wanted.sittings:
        days = (wanted.exam, *wanted.sittings)
        last = max(days)
        booking = book_or_wait(
            known,
            wanted.person,
            days,
            rules=wanted.rules,
            plan=NO_STUDY if plan is None else _going_on(known, wanted, last),
        )
    return Prepared(known.blueprint, known, now, studied, plan, booking, wanted)


def _going_on(known: Prospect, wanted: Wanted, last: Day) -> PlannedStudy:
    """Return study at the same pace up to the last sitting: who waits goes on studying."""
    time = StudyTime(
        known.fit.practice.today,
        last,
        wanted.hours_a_week or 0.0,
        wanted.weekdays,
        wanted.at_most_a_day,
        wanted.blocked,
    )
    return plan_study(known, wanted.person, time, rng=np.random.default_rng(SEED)).planned


def over_time(prepared: Prepared) -> tuple[tuple[Day, Readiness], ...]:
    """Return readiness for an examination on each of some days until the day asked about."""
    today, last = prepared.known.fit.practice.today, prepared.wanted.exam
    step = max(WEEK, -(-(last - today) // MOST_POINTS))
    days = sorted({*range(today, last, step), last})
    person, known = prepared.wanted.person, prepared.known
    if prepared.plan is None:
        return tuple((day, known.readiness(person, day)) for day in days)
    planned = prepared.plan.planned
    return tuple((day, known.readiness(person, day, planned)) for day in days)


def study_calendar(prepared: Prepared) -> str:
    """Return the plan of study as an iCalendar file, a day an event."""
    plan, wanted = prepared.plan, prepared.wanted
    names = {domain.id: short_name(domain.name) for domain in prepared.blueprint.domains}
    today = prepared.known.fit.practice.today
    events = []
    sessions = () if plan is None else tuple(s for week in plan.weeks for s in week.sessions)
    for day in sorted({session.on for session in sessions}):
        own = [session for session in sessions if session.on == day]
        lines = [f"{names[s.domain]}: {time_said(s.minutes)}" for s in own]
        summary = f"Study {time_said(sum(s.minutes for s in own))}"
        key = f"{wanted.person}/study/{iso(day)}"
        events.append(Event(key, day, summary, "\n".join((*lines, CAUTION)), today))
    exam = Event(f"{wanted.person}/study/exam", wanted.exam, "Examination", CAUTION, today, WEEK)
    return calendar_text((*events, exam), name="Study plan")


def short_name(name: str) -> str:
    """Return the name of a domain without what it lists after a colon."""
    return name.partition(":")[0]


def time_said(minutes: int) -> str:
    """Return a time in hours and minutes as people write it.

    Examples
    --------
    >>> time_said(90), time_said(30), time_said(120)
    ('1 h 30 min', '30 min', '2 h')
    """
    hours, rest = divmod(minutes, 60)
    return " ".join([*([f"{hours} h"] if hours else []), *([f"{rest} min"] if rest else [])]) or "0"


# ------------------------------------------------------------------------------------------- data


def prepared_data(prepared: Prepared) -> dict[str, object]:
    """Return readiness, plan and booking as JSON has them."""
    return {
        "person": prepared.wanted.person,
        "on": iso(prepared.wanted.exam),
        "readiness": readiness_data(prepared.now),
        "with_study": None if prepared.studied is None else readiness_data(prepared.studied),
        "study_plan": None if prepared.plan is None else _plan_data(prepared.plan),
        "booking": None if prepared.booking is None else _booking_data(prepared.booking),
        "cautions": [CAUTION],
    }


def readiness_data(found: Readiness) -> dict[str, object]:
    """Return one readiness as JSON has it."""
    basis = found.rests_on
    return {
        "enough": found.enough,
        "reasons": list(found.reasons),
        "basis": found.basis,
        "p_pass": _rounded(found.p_pass),
        "low": _rounded(found.low),
        "high": _rounded(found.high),
        "score": _spread(found.score.low, found.score.middle, found.score.high),
        "benchmark": {
            "p_pass": _rounded(found.benchmark.chance),
            "share_right": _rounded(found.benchmark.share_right),
            "answers": found.benchmark.n_answers,
            "rule": found.benchmark.rule,
        },
        "by_cut": [{"cut": e.cut, "p_pass": _rounded(e.chance)} for e in found.by_cut],
        "domains": [
            {
                "id": each.domain,
                "name": each.name,
                "share": _rounded(each.share),
                "answers": each.n_first,
                "right": _spread(each.right.low, each.right.middle, each.right.high),
            }
            for each in found.domains
        ],
        "rests_on": {
            "answers": basis.n_answers,
            "different_items": basis.n_first,
            "right": basis.n_right,
            "last_on": None if basis.last_on is None else iso(basis.last_on),
            "people": basis.n_people,
            "results": basis.n_results,
        },
        "remarks": list(found.remarks),
    }


def _plan_data(plan: StudyPlan) -> dict[str, object]:
    gain = plan.gain
    return {
        "aim": plan.aim,
        "minutes": dict(plan.minutes),
        "weeks": [
            {
                "starts": iso(week.starts),
                "minutes": week.minutes,
                "domains": dict(week.domains),
                "sessions": [
                    {"on": iso(s.on), "domain": s.domain, "minutes": s.minutes}
                    for s in week.sessions
                ],
            }
            for week in plan.weeks
        ],
        "gain": None
        if gain is None
        else {
            "without": _rounded(gain.without),
            "in_proportion": _rounded(gain.in_proportion),
            "planned": _rounded(gain.planned),
            "gain": _rounded(gain.gain),
            "noise": _rounded(gain.noise),
            "is_clear": gain.is_clear,
        },
        "reasons": list(plan.reasons),
    }


def _booking_data(booking: Booking) -> dict[str, object]:
    return {
        "advice": booking.advice,
        "best": None if booking.best is None else iso(booking.best.on),
        "saves": _rounded(booking.saves_minor / 100),
        "noise": _rounded(booking.noise_minor / 100),
        "sittings": [
            {
                "on": iso(each.on),
                "p_pass": _rounded(each.p_pass),
                "p_ever": _rounded(each.p_ever),
                "attempts": _rounded(each.n_attempts),
                "fees": _rounded(each.fees_minor / 100),
                "days": _rounded(each.days),
                "cost": _rounded(each.cost_minor / 100),
            }
            for each in booking.options
        ],
        "reasons": list(booking.reasons),
    }


def _spread(low: float, middle: float, high: float) -> dict[str, float | None]:
    return {"low": _rounded(low), "middle": _rounded(middle), "high": _rounded(high)}


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(float(value), 6)
