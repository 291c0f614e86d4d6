"""What stands behind verdicts about updating, and how to mend them."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.updating import updating_done, updating_needed
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    figure,
    finding,
    measured,
    proposals,
    with_entry,
)
from comity.core.facts.model import (
    Supervisor,
    Updating,
)
from comity.core.rulebook.kinds.practising import (
    SupervisorConditions,
    UpdatingOwed,
)
from comity.core.rulebook.phrases import either, one_unsaid

_DAY_OF_STUDY: Final = 7 * 60
_HOWS: Final = ("supervised practice", "formal study", "private study")


@finding.register
def _updating(requirement: UpdatingOwed, view: View) -> Finding:
    done = sum(
        int(profile.value_at(view.on)[view.row])
        for _how, profile in updating_done(requirement, view.context)
    )
    per_unit = 60 if requirement.amount.unit == "hours" else requirement.hours_a_day or 60
    needed = float(requirement.amount.number)
    reason = f"{figure(done / per_unit)} of {requirement.amount} of updating counted"
    reason += "".join(f"; {cause}" for cause in _not_counted(requirement, view))
    return measured(done / per_unit, needed, requirement.amount.unit, reason=reason)


def _not_counted(requirement: UpdatingOwed, view: View) -> list[str]:
    """Return which updating on file does not count, and why."""
    causes = []
    for entry in view.applicant.facts.updating or ():
        cause = _why_not_counted(requirement, entry, view)
        if cause:
            causes.append(f"{entry.id} does not count: {cause}")
    return causes


def _why_not_counted(requirement: UpdatingOwed, entry: Updating, view: View) -> str:
    if requirement.allowed is not None and entry.how not in requirement.allowed:
        return f"{entry.how or 'its kind'} is not accepted"
    if entry.end is not None and entry.end.earliest > view.on:
        return f"it ends on {entry.end}"
    within, start = requirement.within, entry.start
    if within is not None and start is not None and start.latest < within.window_start(view.on):
        return f"it began on {start}, before the last {one_unsaid(within)}"
    if entry.how != "supervised practice" or requirement.supervisor is None:
        return ""
    return _supervisor_lacks(requirement.supervisor, entry)


def _supervisor_lacks(wanted: SupervisorConditions, entry: Updating) -> str:
    supervisor = entry.supervisor
    if supervisor is None:
        return "nothing is known of the supervisor"
    if wanted.same_profession and supervisor.same_profession is False:
        return "the supervisor is of another profession"
    if wanted.not_sanctioned and supervisor.sanctioned:
        return "the supervisor is under proceedings or a sanction"
    since, start = supervisor.registered_since, entry.start
    if wanted.registered_for is not None and since is not None and start is not None:
        needed = wanted.registered_for.after(since.earliest)
        if needed > start.latest:
            return f"the supervisor had not been registered for {wanted.registered_for}"
    return ""


def updating_gap(requirement: UpdatingOwed, view: View, day: Day) -> tuple[int, tuple[str, ...]]:
    """Return the minutes lacking on a day, and the kinds which can fill all of them."""
    done = {
        how: int(profile.value_at(day)[view.row])
        for how, profile in updating_done(requirement, view.context)
    }
    needed = updating_needed(requirement)
    lacking = needed - sum(done.values())
    caps: dict[str, int] = {cap.how: int(cap.share * needed) for cap in requirement.caps}
    kinds = tuple(how for how in done if caps.get(how, needed) - done[how] >= lacking)
    return lacking, kinds


@proposals.register
def _updating_proposals(requirement: UpdatingOwed, view: View) -> tuple[Proposal, ...]:
    start = end = max(view.on, view.today)
    lacking, kinds = updating_gap(requirement, view, start)
    # Meanwhile other updating may fall out of the window, or come to its end.
    while lacking > 0 and kinds:
        end = max(end, start + ceil(lacking / _DAY_OF_STUDY) * 7 // 5)
        later, kinds_later = updating_gap(requirement, view, end)
        if later == lacking:
            rooms = _rooms(requirement, view, start)
            return (
                _study(
                    requirement, start=start, end=end, lacking=lacking, kinds=kinds, rooms=rooms
                ),
            )
        lacking, kinds = later, kinds_later
    return ()


def _study(
    requirement: UpdatingOwed,
    *,
    start: Day,
    end: Day,
    lacking: int,
    kinds: tuple[str, ...],
    rooms: Mapping[str, int],
) -> Proposal:
    entry = Updating(
        id=PROPOSED,
        evidence="confirmed",
        how=next(how for how in _HOWS if how in kinds and not _needs_supervisor(requirement, how))
        if any(not _needs_supervisor(requirement, how) for how in kinds)
        else "supervised practice",
        start=PartialDate.exact(start),
        end=PartialDate.exact(end),
        hours=lacking,
        supervisor=proposed_supervisor(),
    )
    hours = _hours_text(lacking)
    barred = [how for how in requirement.allowed or _HOWS if how not in kinds]
    cannot = "".join(f"; {_room(how, rooms)}" for how in barred)
    return Proposal(
        what=f"{hours} more of {either(kinds)}{cannot}",
        detail=f"done full time it takes from {iso(start)} to {iso(end)}",
        plain=f"Do {hours} more of {either(kinds)}.",
        change=with_entry("updating", entry),
        since=end,
    )


def _rooms(requirement: UpdatingOwed, view: View, day: Day) -> dict[str, int]:
    """Return for each capped kind of updating the minutes that may still count."""
    needed = updating_needed(requirement)
    done = dict(updating_done(requirement, view.context))
    return {
        cap.how: int(cap.share * needed) - int(done[cap.how].value_at(day)[view.row])
        for cap in requirement.caps
        if cap.how in done
    }


def _room(how: str, rooms: Mapping[str, int]) -> str:
    room = rooms.get(how, 0)
    return f"{how} can fill {_hours_text(room)} of it" if room > 0 else f"{how} cannot fill it"


def _needs_supervisor(requirement: UpdatingOwed, how: str) -> bool:
    return how == "supervised practice" and requirement.supervisor is not None


def proposed_supervisor() -> Supervisor:
    """Return a supervisor who fulfils every condition."""
    return Supervisor(registered_since=PartialDate.exact(0), same_profession=True, sanctioned=False)


def _hours_text(minutes: int) -> str:
    hours = figure(ceil(minutes / 6) / 10)
    return "1 hour" if hours == "1" else f"{hours} hours"
