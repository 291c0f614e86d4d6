"""A plan for one applicant and title: dates as spreads, order dates, cost, and what to do next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER, Day
from comity.core.plan.budget import Budget, budget_of
from comity.core.plan.building import Route, build
from comity.core.plan.conflicts import Constraint, smallest_conflict
from comity.core.plan.criticality import criticality, days_won
from comity.core.plan.exchange import NO_RATES, Rates
from comity.core.plan.fees_due import Owed, fees_due
from comity.core.plan.network import Network
from comity.core.plan.ordering import OrderDates, Search, order_dates
from comity.core.plan.percentiles import Spread, spread_of
from comity.core.plan.simulating import Draws, Futures, broken_limits, draw, simulate
from comity.core.plan.taken import HOURS_A_WEEK, LIKELY_TO_PASS, Chances, Taken
from comity.service.planning_holidays import holidays_from
from comity.service.planning_limits import done_with, held_back, limited_plan, task_of

if TYPE_CHECKING:
    from comity.core.days.dayset import Run
    from comity.core.declaring.amounts import Money
    from comity.core.facts.model import Applicant
    from comity.core.plan.limits import LimitedPlan
    from comity.core.plan.policies import Policy
    from comity.core.rulebook.model import Rulebook
    from comity.service.planning_limits import OnRefining

N_DRAWS: Final = 10_000
SEED: Final = 20_261_125
_N_TRIED: Final = 1_000
"""Futures on which order dates are chosen; twice as many change them by a day or two."""
_N_JUDGED: Final = 1_000
"""Fresh futures on which the chosen ones, and the days around them, are judged."""
OnProgress = Callable[[str], None]
"""Told what is being worked on."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked of a plan, and what the applicant has.

    Parameters
    ----------
    start : Day
        First day on which anything can be done.
    draws, seed : int
        Number of futures and the seed they are drawn with.
    p_pass : float or mapping
        Probability of passing an examination at one attempt; by the examination's id, where it is
        known for some.
    from_practice : tuple of str
        Examinations whose probability is the chance of passing from practice, by id.
    study_minutes_a_week : int or None
        Time for study; that of the applicant's file, else ten hours.
    savings : Money or None
        What can be put aside a month; None for no limit.
    currency : str or None
        To count in; that of the applicant's file, of the savings, or of the fees.
    rates : Rates
        Of the user's file.
    blocked : tuple of Run
        Half-open runs of days on which the applicant can do nothing: no study, no entry, no order.
    sitting : Day or None
        The sitting of an examination that is wanted first; one of those published.
    sittings_from : Day or None
        No sitting before this day, whichever it will be.
    skipped_sittings : tuple of Day
        Sittings that are passed over, published ones.
    seconds : float
        How long a plan under limits may be made better; 0 leaves it as it is made at once.
    """

    start: Day
    draws: int = N_DRAWS
    seed: int = SEED
    p_pass: Chances = LIKELY_TO_PASS
    from_practice: tuple[str, ...] = ()
    study_minutes_a_week: int | None = None
    savings: Money | None = None
    currency: str | None = None
    rates: Rates = NO_RATES
    blocked: tuple[Run, ...] = ()
    sitting: Day | None = None
    sittings_from: Day | None = None
    skipped_sittings: tuple[Day, ...] = ()
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class StepTimes:
    """When a step begins and ends over all futures, and how often it holds up the end."""

    start: Spread
    end: Spread
    criticality: float
    days_won: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan, and what it rests on.

    Parameters
    ----------
    applicant, title_id : str
        Ids.
    route : Route
        The network, and the earliest plan.
    times : mapping
        By step of the network.
    milestones : mapping
        Spreads by milestone.
    orders : tuple of OrderDates
        One a short-lived paper.
    owed : tuple of Owed
        Fees ahead.
    budget : Budget or None
        None where nothing is to be paid.
    limited : LimitedPlan or None
        The plan that keeps savings and hours, where they were given.
    broken : mapping
        Share of the futures in which each greatest lag (earlier, later) breaks, what never
        comes left aside.
    conflict : tuple of Constraint
        Why there is no plan; empty where there is one.
    """

    applicant: Applicant
    rulebook: Rulebook
    title_id: str
    wishes: Wishes
    taken: Taken
    route: Route
    times: Mapping[str, StepTimes] = field(default_factory=dict)
    milestones: Mapping[str, Spread] = field(default_factory=dict)
    orders: tuple[OrderDates, ...] = ()
    owed: tuple[Owed, ...] = ()
    budget: Budget | None = None
    limited: LimitedPlan | None = None
    broken: Mapping[tuple[str, str], float] = field(default_factory=dict)
    conflict: tuple[Constraint, ...] = ()
    is_short_of_money: bool = False

    @property
    def is_possible(self) -> bool:
        """Whether there is a plan at all."""
        return bool(self.milestones)

    @property
    def can_be_opened(self) -> bool:
        """Whether the title is open or can be opened, with a plan or once its conflict is solved.

        What nobody can say when it is met leaves a milestone without a day.
        """
        days = [each.step for each in self.conflict if each.sort == "days"]
        return not any(self.route.network[step].allowed == () for step in days)


def plan(
    applicant: Applicant,
    rulebook: Rulebook,
    title: str,
    *,
    wishes: Wishes,
    on_progress: OnProgress | None = None,
    on_refining: OnRefining | None = None,
) -> Plan:
    """Return the plan of an applicant for a title.

    `on_progress` is told what is being worked on, `on_refining` of every better plan within limits,
    and may end that.

    Raises
    ------
    UnknownCountryError
        When a party keeps the holidays of a country that is not known.
    MissingRateError
        When an exchange rate is missing.
    """
    tell = on_progress or _silent
    minutes = wishes.study_minutes_a_week or applicant.preferences.hours_a_week or HOURS_A_WEEK
    holidays = holidays_from(rulebook.editions, wishes.start)
    froms = [day for day in (wishes.sitting, wishes.sittings_from) if day is not None]
    taken = Taken(
        wishes.start,
        wishes.p_pass,
        minutes,
        {country: each.days for country, each in holidays.items()},
        estimated=tuple(sorted({day for each in holidays.values() for day in each.estimated})),
        blocked=wishes.blocked,
        sittings_from=max(froms, default=None),
        skipped=wishes.skipped_sittings,
    )
    tell("working out what is left to do")
    route = build(applicant, rulebook, title, taken=taken)
    bare = Plan(applicant, rulebook, title, wishes, taken, route)
    if route.schedule is None:
        return replace(bare, conflict=smallest_conflict(route.network))
    owed = fees_due(route, applicant)
    currency = _currency(wishes, applicant, owed)
    wishes = replace(wishes, savings=_savings(wishes, applicant, currency))
    bare = replace(bare, wishes=wishes)
    network, limited = route.network, None
    task = task_of(route, owed, wishes=wishes, minutes=minutes, currency=currency)
    if task is not None:
        tell("keeping to what there is")
        limited = limited_plan(task, seconds=wishes.seconds, on_refining=on_refining)
        if limited is None:
            return replace(bare, owed=owed, is_short_of_money=True)
        network = held_back(network, limited, loaded=task.loads)
    return _simulated(
        replace(bare, owed=owed, limited=limited), network, currency=currency, tell=tell
    )


def _silent(_what: str) -> None:
    """Say nothing."""


def _currency(wishes: Wishes, applicant: Applicant, owed: Sequence[Owed]) -> str:
    own = applicant.preferences.currency
    saved = wishes.savings.currency if wishes.savings else None
    paid = [each.due.least.currency for each in owed]
    most_paid = max(paid, key=paid.count, default="EUR")
    asked = wishes.currency or saved
    # Without rates one can only count in the currency of the fees.
    return asked or (own if own is not None and wishes.rates is not NO_RATES else most_paid)


def _savings(wishes: Wishes, applicant: Applicant, currency: str) -> Money | None:
    """Return what can be put aside; that of the file only where it can be turned into currency."""
    own = applicant.preferences.savings_a_month
    if wishes.savings is not None or own is None or own.currency == currency:
        return wishes.savings or own
    known = {wishes.rates.base, *wishes.rates.by_currency}
    return own if {own.currency, currency} <= known else None


def _simulated(found: Plan, network: Network, *, currency: str, tell: OnProgress) -> Plan:
    route, wishes = found.route, found.wishes
    rng = np.random.default_rng(wishes.seed)
    draws = draw(network, wishes.draws, rng)
    tell("choosing when to order papers that lapse")
    orders = _orders(network, route.first, rng)
    policies = tuple(each.policy for each in orders)
    tell(f"running through {wishes.draws} futures")
    futures = simulate(network, draws, policies=policies)
    broken = broken_limits(network, futures)
    return replace(
        found,
        times=_with_milestones(
            _times(network, draws, futures, target=route.last, policies=policies), route
        ),
        milestones={name: spread_of(futures.ends[step]) for name, step in route.milestones.items()},
        orders=orders,
        budget=budget_of(
            [each.due for each in found.owed],
            futures,
            currency=currency,
            rates=wishes.rates,
            on=wishes.start,
            rng=rng,
        )
        if found.owed
        else None,
        broken={
            (earlier, later): float(np.mean(each & (futures.ends[later] < FOREVER)))
            for (earlier, later), each in broken.items()
        },
    )


def _orders(network: Network, target: str, rng: np.random.Generator) -> tuple[OrderDates, ...]:
    """Return when to order each paper that lapses, chosen and judged on different futures."""
    smaller = _up_to(network, target)
    if not any(step.is_short_lived for step in smaller.steps):
        return ()
    chosen = Search(smaller, target, draw(smaller, _N_TRIED, rng)).best()
    return order_dates(Search(smaller, target, draw(smaller, _N_JUDGED, rng)), chosen)


def _up_to(network: Network, target: str) -> Network:
    """Return the part of a network that comes before a step, with the step."""
    needed, waiting = {target}, [target]
    while waiting:
        for link in network.before[waiting.pop()]:
            if link.step not in needed:
                needed.add(link.step)
                waiting.append(link.step)
    steps = [step for step in network.steps if step.id in needed]
    return Network(
        tuple(
            replace(
                step,
                used_by=tuple(each for each in step.used_by if each in needed),
                within=tuple(each for each in step.within if each.step in needed),
            )
            for step in steps
        ),
        network.horizon,
    )


def _with_milestones(times: Mapping[str, StepTimes], route: Route) -> dict[str, StepTimes]:
    """Return the times in which what is done on a milestone's day holds up as much as it does."""
    found = dict(times)
    for step in route.network.steps:
        gate = done_with(route, step.id)
        if gate != step.id:
            found[step.id] = replace(times[step.id], criticality=times[gate].criticality)
    return found


def _times(
    network: Network,
    draws: Draws,
    futures: Futures,
    *,
    target: str,
    policies: tuple[Policy, ...],
) -> dict[str, StepTimes]:
    critical = criticality(network, futures, target)
    few = replace(
        draws,
        n_draws=min(draws.n_draws, _N_JUDGED),
        durations={name: days[:, :_N_JUDGED] for name, days in draws.durations.items()},
        luck={name: luck[:, :_N_JUDGED] for name, luck in draws.luck.items()},
    )
    won = days_won(network, few, target, policies=policies)
    return {
        step.id: StepTimes(
            spread_of(np.minimum(futures.starts[step.id], FOREVER)),
            spread_of(futures.ends[step.id]),
            critical.get(step.id, 0.0),
            won.get(step.id, 0.0),
        )
        for step in network.steps
    }
