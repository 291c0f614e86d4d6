"""What another plan changes, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from comity.desk.templatetags.desk import day as in_words
from comity.desk.templatetags.desk import money
from comity.service.plan_trials import difference
from comity.service.planning_words import warnings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.service.plan_trials import Difference, Moved, Trial
    from comity.service.planning import Plan

_IN_WEEKS: Final = 14
"""From so many days on people count in weeks."""
_A_WEEK: Final = 7


@dataclass(frozen=True, slots=True)
class Said:
    """What was tried, and what it changes.

    Parameters
    ----------
    tried : tuple of str
        What was typed, in words.
    changes : tuple of str
        A sentence for each milestone that moves, and one for the cost.
    impossible : tuple of str
        Why there is no plan with it; empty where there is one.
    """

    tried: tuple[str, ...]
    changes: tuple[str, ...]
    impossible: tuple[str, ...] = ()


def said(before: Plan, after: Plan, trial: Trial) -> Said:
    """Return what a trial changes, in words."""
    tried = tuple(_tried(trial))
    if before.is_possible and not after.is_possible:
        return Said(tried, (), warnings(after))
    found = difference(before, after)
    changes = tuple(_changes(found))
    return Said(tried, changes or (_("Nothing changes that is worth a word."),))


def _tried(trial: Trial) -> Iterator[str]:
    if trial.start is not None:
        yield _("begin on %(day)s") % {"day": in_words(trial.start)}
    if trial.study_minutes_a_week is not None:
        hours = trial.study_minutes_a_week / 60
        yield _("study %(hours)s hours a week") % {"hours": f"{hours:g}"}
    if trial.savings is not None:
        amount = money(trial.savings.minor, trial.savings.currency)
        yield _("put aside %(amount)s a month") % {"amount": amount}
    for each in trial.skipped:
        yield _("pass over the sitting on %(day)s") % {"day": in_words(each)}
    for start, until in trial.blocked:
        words = {"start": in_words(start), "end": in_words(until - 1)}
        yield _("away from %(start)s to %(end)s") % words


def _changes(found: Difference) -> Iterator[str]:
    for each in found.moved:
        if each.is_worth_a_word:
            yield _moved(each)
    if found.cost_is_worth_a_word:
        yield _cost(found)


def _moved(each: Moved) -> str:
    words = {
        "what": each.label,
        "before": in_words(each.before),
        "after": in_words(each.after),
        "time": time_said(abs(each.days)),
    }
    if each.before is None:
        return _("%(what)s: now on %(after)s; before, no day could be told.") % words
    if each.after is None:
        return _("%(what)s: more likely not reached than so; before, %(before)s.") % words
    if each.days > 0:
        return _("%(what)s: %(time)s later, %(after)s in place of %(before)s.") % words
    return _("%(what)s: %(time)s earlier, %(after)s in place of %(before)s.") % words


def time_said(days: int) -> str:
    """Return a number of days as people say it."""
    if days < _IN_WEEKS:
        return ngettext("%(n)d day", "%(n)d days", days) % {"n": days}
    weeks = round(days / _A_WEEK)
    return ngettext("%(n)d week", "%(n)d weeks", weeks) % {"n": weeks}


def _cost(found: Difference) -> str:
    words = {
        "amount": money(abs(found.dearer_by), found.currency),
        "total": money(found.cost_after, found.currency),
    }
    if found.dearer_by > 0:
        return _("Cost: %(amount)s more, %(total)s in all.") % words
    return _("Cost: %(amount)s less, %(total)s in all.") % words
