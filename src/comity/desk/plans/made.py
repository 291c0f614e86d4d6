"""Plans of a case as it stands: worked out when asked for, and kept while nothing changes."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from threading import Lock
from typing import TYPE_CHECKING, Final

from django.utils.translation import gettext as _

from comity.core.days.calendar import iso
from comity.core.plan.exchange import MissingRateError
from comity.desk import clock
from comity.desk.plans.chances import practised_chances, practised_key
from comity.desk.plans.rates import office_rates, rates_key
from comity.files.public_holidays import UnknownCountryError
from comity.service.plan_titles import open_titles
from comity.service.plan_trials import Trial, wished
from comity.service.planning import Wishes, plan
from comity.store.converters import applicant_of
from comity.store.rulebooks import digest_in_force, rulebooks_in_force

if TYPE_CHECKING:
    from collections.abc import Hashable

    from comity.service.plan_titles import OpenTitle
    from comity.service.planning import Plan
    from comity.store.models import Case

DRAWS: Final = 4_000
"""Futures gone through for a page: dates stay the same to a day or two with more of them."""
FEW_DRAWS: Final = 1_000
"""For calendars, which show one day a thing."""
NOTHING_TRIED: Final = Trial()
_KEPT: Final = 128


@dataclass(frozen=True, slots=True)
class CannotPlan:
    """Why a plan cannot be worked out at all."""

    sentence: str


_kept: OrderedDict[Hashable, object] = OrderedDict()
_lock = Lock()


def titles_of(case: Case) -> tuple[OpenTitle, ...]:
    """Return the titles that are open to a case's applicant or can be opened."""
    key = ("titles", *_as_it_stands(case))
    found = _look_up(key)
    if found is None:
        applicant = applicant_of(case)
        found = open_titles(applicant, rulebooks_in_force(), today_at=clock.today_at)
        _keep(key, found)
    return found  # type: ignore[return-value]  # (kept under a key of its own sort)


def plan_of(
    case: Case, title: OpenTitle, *, trial: Trial = NOTHING_TRIED, draws: int = DRAWS
) -> Plan | CannotPlan:
    """Return a case's plan for a title, or why there is none."""
    key = ("plan", *_as_it_stands(case), title.key, trial, draws, practised_key(case))
    found = _look_up(key)
    if found is None:
        found = _planned(case, title, trial=trial, draws=draws)
        _keep(key, found)
    return found  # type: ignore[return-value]  # (as above)


def _planned(case: Case, title: OpenTitle, *, trial: Trial, draws: int) -> Plan | CannotPlan:
    rates, problem = office_rates()
    if problem:
        return CannotPlan(problem)
    today = clock.today_at(title.rulebook.authority.time_zone)
    chances = practised_chances(case, title)
    bare = Wishes(today, p_pass=chances, from_practice=tuple(chances)) if chances else Wishes(today)
    wishes = replace(wished(bare, trial), draws=draws, rates=rates)
    try:
        return plan(applicant_of(case), title.rulebook, title.title, wishes=wishes)
    except MissingRateError as error:
        return CannotPlan(
            _("No exchange rate is known for %(currency)s on or before %(day)s.")
            % {"currency": error.currency, "day": iso(error.day)}
        )
    except UnknownCountryError as error:
        return CannotPlan(
            _(
                "The rulebook keeps the public holidays of %(country)s, which are not known. List"
                " them in the rulebook."
            )
            % {"country": error}
        )


def _as_it_stands(case: Case) -> tuple[Hashable, ...]:
    return case.pk, case.version, digest_in_force(), clock.today_at(), rates_key()


def _look_up(key: Hashable) -> object | None:
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
        return _kept.get(key)


def _keep(key: Hashable, found: object) -> None:
    with _lock:
        _kept[key] = found
        while len(_kept) > _KEPT:
            _kept.popitem(last=False)
