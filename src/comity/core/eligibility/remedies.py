"""The least that turns a verdict to met, and the first day on which it then is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Remedy, Verdict
from comity.core.eligibility.missing import missing_facts
from comity.core.eligibility.reading import sections_of
from comity.core.eligibility.view import Proposal, View, plain_day, proposals
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS, entries_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import AnyOf, AtLeast
from comity.core.rulebook.phrases import lowered, unstopped

_OF_AN_ENTRY: Final = 3
"""Section, entry and field make the path of a detail."""
SHORT_WAIT_DAYS: Final = 31
"""To wait for up to a month is easier than to sit a test or to fetch a paper."""


@dataclass(frozen=True, slots=True)
class Mended:
    """A remedy, and the facts as they would then be."""

    remedy: Remedy
    proposal: Proposal | None = None
    is_idle: bool = False
    """Whether one need not even go on with anything."""

    @property
    def is_waiting(self) -> bool:
        """Whether nothing needs to be done but to go on, or to wait."""
        return self.proposal is None

    @property
    def is_own_pace(self) -> bool:
        """Whether only the applicant's speed counts."""
        return self.proposal is not None and self.proposal.is_own_pace

    def apply(self, applicant: Applicant) -> Applicant:
        """Return the facts with what the remedy adds."""
        if self.proposal is None or self.proposal.change is None:
            return applicant
        return self.proposal.change(applicant)


def mend(requirement: Requirement, view: View, *, wait_until: Day | None) -> Mended | None:
    """Return the way to meet a requirement soonest; None where nothing is known to help.

    Parameters
    ----------
    requirement : Requirement
        Listed under the title.
    view : View
        The applicant and the day.
    wait_until : Day or None
        First day on which it holds without doing anything, over all editions.
    """
    found = [] if wait_until is None else [_waiting(requirement, wait_until, view)]
    offered = proposals(requirement, view)
    found.extend(done for each in offered if (done := _tried(each, requirement, view)))
    soonest = min(found, key=_how_soon, default=None)
    if view.verdict(requirement) is Verdict.UNKNOWN:
        return soonest
    if view.verdict(requirement) is Verdict.REFER and not _is_at_once(soonest, view):
        return _case(offered, soonest) or soonest
    if soonest is not None and isinstance(requirement, AnyOf | AtLeast):
        return _with_another_way(soonest, found)
    return soonest or _unsure(offered)


def can_be_settled_otherwise(requirement: Requirement, view: View) -> bool:
    """Tell whether another part could stand in for one of which some detail is not known.

    Where whole sections are not on file yet, or only a word is needed, asking comes first.
    """
    if not isinstance(requirement, AnyOf | AtLeast):
        return False
    missing = missing_facts(requirement, view)
    return bool(missing) and all(len(path.split("/")) == _OF_AN_ENTRY for path in missing)


def _with_another_way(soonest: Mended, found: Sequence[Mended]) -> Mended:
    """Return the soonest way with the next one beside it, for an adviser who compares."""
    others = sorted((each for each in found if each is not soonest), key=_how_soon)
    if not others or others[0].remedy.what == soonest.remedy.what:
        return soonest
    remedy, other = soonest.remedy, others[0].remedy
    day = f" ({iso(other.earliest)})" if other.earliest is not None else ""
    detail = "; ".join(part for part in (remedy.detail, f"or: {other.what}{day}") if part)
    instead = _what_differs(other.plain, remedy.plain)
    plain = f"{remedy.plain} Or: {lowered(instead)}" if instead else remedy.plain
    return replace(soonest, remedy=replace(remedy, detail=detail, plain=plain))


def _what_differs(text: str, beside: str) -> str:
    """Return the sentences of a text that do not stand in another one."""
    said = {unstopped(sentence) for sentence in beside.split(". ")}
    rest = [part for part in text.split(". ") if unstopped(part) not in said]
    return ". ".join(rest)


def _how_soon(mended: Mended) -> Day:
    """Return the day; a short wait costs nothing, so that it goes before what costs something."""
    day = mended.remedy.earliest or 0
    return day - SHORT_WAIT_DAYS if mended.is_waiting else day


def _case(offered: tuple[Proposal, ...], instead: Mended | None) -> Mended | None:
    """Return what to put to the authority, and what would make that needless."""
    case = next((each for each in offered if each.is_case), None)
    if case is None:
        return _unsure(offered)
    detail = case.detail
    if instead is not None and instead.remedy.earliest is not None:
        detail = f"or: {instead.remedy.what} ({iso(instead.remedy.earliest)})"
    return Mended(Remedy(case.what, None, detail, case.plain or case.what), case)


def _is_at_once(mended: Mended | None, view: View) -> bool:
    """Tell whether a remedy depends on nothing but the applicant's own speed."""
    return mended is not None and mended.is_own_pace and mended.remedy.earliest == view.on


def _unsure(offered: tuple[Proposal, ...]) -> Mended | None:
    """Return the first proposal of which nobody can say when it takes effect."""
    first = next((each for each in offered if not each.is_sure), None)
    if first is None:
        return None
    return Mended(Remedy(first.what, None, first.detail, first.plain or first.what), first)


def _waiting(requirement: Requirement, day: Day, view: View) -> Mended:
    own = view.first_day(requirement, view.on)
    if own is None or own > day:
        return Mended(
            Remedy(
                f"Wait until {iso(day)}, when other rules apply",
                day,
                "under the edition that applies from then on it holds",
                f"From {plain_day(day)} other rules apply, and under them this is in order.",
            ),
            is_idle=True,
        )
    works_on = view.assumption == "continues" and _needs_practice(requirement, view, day)
    if not works_on and _has_plans(requirement, view, day):
        what = f"As the file has it, it holds from {iso(day)} on"
        plain = f"If all goes as planned, this is in order from {plain_day(day)}."
        return Mended(Remedy(what, day, "something on file still lies ahead", plain), is_idle=True)
    verb = "Keep working" if works_on else "Wait"
    plain = (
        f"Keep working as you do now until {plain_day(day)}."
        if works_on
        else f"Wait until {plain_day(day)}; there is nothing else you need to do for this."
    )
    detail = "as now, it holds from that day on"
    return Mended(Remedy(f"{verb} until {iso(day)}", day, detail, plain), is_idle=not works_on)


def _has_plans(requirement: Requirement, view: View, day: Day) -> bool:
    """Tell whether a fact which the requirement reads lies ahead."""
    sections = sections_of(requirement)
    names = SECTIONS if sections is None else sections
    dates = (
        getattr(entry, field.name)
        for name in names
        for entry in entries_of(view.applicant, name) or ()
        for field in fields(entry)
        if field.name not in {"expires", "closes"}
    )
    return any(
        isinstance(date, PartialDate) and view.on < date.earliest <= day and not date.is_open
        for date in dates
    )


def _needs_practice(requirement: Requirement, view: View, day: Day) -> bool:
    """Tell whether the wait helps only while practice goes on."""
    stopped = replace(view, assumption="stops").first_day(requirement, view.on)
    return stopped is None or stopped > day


def _tried(proposal: Proposal, requirement: Requirement, view: View) -> Mended | None:
    """Return the proposal with the first day on which it works; None if it never does."""
    if not proposal.is_sure or proposal.change is None:
        return None
    changed = proposal.change(view.applicant)
    reached = view.first_day_with(requirement, changed, proposal.since)
    if reached is None:
        return None
    day = reached
    if reached < view.on:  # enough before the day asked, if it still is on that day
        again = view.first_day_with(requirement, changed, view.on)
        if again is None:
            return None
        day = again
        reached = reached if again == view.on else again
    text = iso(reached)
    return Mended(
        Remedy(
            proposal.what.replace("{day}", text),
            day,
            proposal.detail.replace("{day}", text),
            (proposal.plain or proposal.what).replace("{day}", plain_day(reached)),
        ),
        proposal,
    )
