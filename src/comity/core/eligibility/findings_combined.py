"""What stands behind verdicts on requirements made of requirements."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, islice
from typing import Final

from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.combining import bands_with_days, exempt_by_key
from comity.core.eligibility.context import Each
from comity.core.eligibility.reading import OVER
from comity.core.eligibility.view import Finding, Proposal, View, finding, in_turn, proposals
from comity.core.rulebook.editions import label_of, target_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import (
    All,
    AnyOf,
    AtLeast,
    Band,
    Bands,
    Conflict,
    ForEach,
    Not,
    SameAs,
)
from comity.core.rulebook.phrases import lowered, together

MOST_WAYS: Final = 12
"""Of a choice of parts no more combinations than these are tried."""
_GOOD = {Verdict.MET, Verdict.NOT_APPLICABLE}


def failing(parts: tuple[Requirement, ...], view: View) -> list[Requirement]:
    """Return the parts that are not met on the day."""
    return [part for part in parts if view.verdict(part) not in _GOOD]


@finding.register(All)
@finding.register(AnyOf)
@finding.register(AtLeast)
def _several(requirement: All | AnyOf | AtLeast, view: View) -> Finding:
    """Say what the open parts lack, or what holds."""
    lacking = failing(requirement.of, view)
    holding = [part for part in requirement.of if view.verdict(part) is Verdict.MET]
    is_settled = not lacking or (holding and isinstance(requirement, AnyOf))
    shown = holding if is_settled else lacking
    reasons = [finding(part, view).reason for part in shown]
    return Finding(reason="; ".join(dict.fromkeys(reason for reason in reasons if reason)))


@finding.register
def _not(requirement: Not, view: View) -> Finding:
    return Finding(reason=finding(requirement.of, view).reason)


@finding.register
def _conflict(requirement: Conflict, view: View) -> Finding:
    verdicts = [view.verdict(part) for part in requirement.of]
    if len(set(verdicts)) == 1:
        reasons = dict.fromkeys(finding(part, view).reason for part in requirement.of)
        return Finding(reason="; ".join(reason for reason in reasons if reason))
    said = [
        f"{label_of(part)}: {verdict.value}"
        for part, verdict in zip(requirement.of, verdicts, strict=True)
    ]
    return Finding(reason=f"the sources differ ({'; '.join(said)})")


@finding.register
def _same_as(requirement: SameAs, view: View) -> Finding:
    found = target_of(view.edition, view.title, name=requirement.requirement)
    return finding(found[1].requirement, view) if found else Finding()


def current_band(requirement: Bands, view: View) -> Band | None:
    """Return the band in which the day certainly lies."""
    for inside, band in bands_with_days(requirement, view.context):
        if inside.run_at(view.row, view.on) is not None:
            return band
    return None


@finding.register
def _bands(requirement: Bands, view: View) -> Finding:
    band = current_band(requirement, view)
    if band is None:
        return Finding(reason="the time out of practice is not certain")
    label = f"{band.label}: " if band.label else ""
    if not band.requires:
        return Finding(reason=f"{label}nothing is owed")
    if len(band.requires) == 1:
        inner = finding(band.requires[0], view)
        return replace(inner, reason=f"{label}{inner.reason}")
    n_open = len(failing(band.requires, view))
    return Finding(reason=f"{label}{n_open} of {len(band.requires)} duties are open")


def keys_of(requirement: ForEach, view: View) -> list[Each]:
    """Return the countries or authorities which the applicant's facts name."""
    section, name = OVER[requirement.over]
    entries = getattr(view.applicant.facts, section) or ()
    values = dict.fromkeys(getattr(entry, name) for entry in entries)
    return [Each(name, value) for value in values if value is not None]


def keys_that_matter(requirement: ForEach, view: View) -> list[Each]:
    """Return the countries or authorities that matter on the day, or may matter."""
    exempt = exempt_by_key(requirement, view.context)
    return [
        each
        for each in keys_of(requirement, view)
        if each.value in exempt and exempt[each.value].run_at(view.row, view.on) is None
    ]


def failing_keys(requirement: ForEach, view: View) -> list[Each]:
    """Return the countries or authorities for which the part does not hold."""
    if view.verdict(requirement) in _GOOD:
        return []
    return [
        each
        for each in keys_that_matter(requirement, view)
        if view.bound_to(each).verdict(requirement.of) not in _GOOD
    ]


@finding.register
def _for_each(requirement: ForEach, view: View) -> Finding:
    section, _name = OVER[requirement.over]
    if getattr(view.applicant.facts, section) is None:
        return Finding(reason=f"the applicant's {section} are not on file")
    keys = failing_keys(requirement, view)
    if not keys:
        named, kept = keys_of(requirement, view), keys_that_matter(requirement, view)
        reason = f"it holds for {together(view.name_of(each.value) for each in kept)}"
        if not kept:
            reason = f"no {requirement.over} {'matters' if named else 'is on file'}"
        return Finding(reason=reason)
    reasons = [finding(requirement.of, view.bound_to(each)).reason for each in keys]
    return Finding(reason="; ".join(reasons))


@proposals.register(AnyOf)
@proposals.register(Conflict)
def _any_proposals(requirement: AnyOf | Conflict, view: View) -> tuple[Proposal, ...]:
    found = [
        proposal for part in failing(requirement.of, view) for proposal in proposals(part, view)
    ]
    if isinstance(requirement, Conflict):
        found.append(_which_holds(requirement, view))
    return tuple(found)


def _which_holds(requirement: Conflict, view: View) -> Proposal:
    """Propose to ask which of the texts that disagree holds."""
    labels = together([label_of(part) for part in requirement.of])
    return Proposal(
        what=f"Ask {view.edition.authority.name} which of its texts holds ({labels})",
        plain="We ask the authority which of its texts holds.",
        is_sure=False,
        is_case=True,
    )


@proposals.register
def _all_proposals(requirement: All, view: View) -> tuple[Proposal, ...]:
    return joined([proposals(part, view) for part in failing(requirement.of, view)])


@proposals.register
def _at_least_proposals(requirement: AtLeast, view: View) -> tuple[Proposal, ...]:
    lacking = failing(requirement.of, view)
    n_owed = max(requirement.k - (len(requirement.of) - len(lacking)), 1)
    ways = [found for part in lacking if (found := proposals(part, view))]
    some = islice(combinations(ways, n_owed), MOST_WAYS)
    return tuple(proposal for chosen in some for proposal in joined(list(chosen)))


@proposals.register
def _same_as_proposals(requirement: SameAs, view: View) -> tuple[Proposal, ...]:
    found = target_of(view.edition, view.title, name=requirement.requirement)
    return proposals(found[1].requirement, view) if found else ()


@proposals.register
def _bands_proposals(requirement: Bands, view: View) -> tuple[Proposal, ...]:
    band = current_band(requirement, view)
    if band is None:
        return ()
    return joined([proposals(part, view) for part in failing(band.requires, view)])


@proposals.register
def _for_each_proposals(requirement: ForEach, view: View) -> tuple[Proposal, ...]:
    keys = failing_keys(requirement, view)
    return joined([proposals(requirement.of, view.bound_to(each)) for each in keys])


def joined(ways: list[tuple[Proposal, ...]]) -> tuple[Proposal, ...]:
    """Return the proposals that do one thing for each of several parts, together."""
    if not ways or any(not way for way in ways):
        return ()
    if len(ways) == 1:
        return ways[0]
    return (_together([next((each for each in way if each.is_sure), way[0]) for way in ways]),)


def _together(chosen: list[Proposal]) -> Proposal:
    """Return one proposal which does what several do."""
    changes = [proposal.change for proposal in chosen if proposal.change is not None]
    return Proposal(
        what="; ".join(
            lowered(what) if index else what
            for index, what in enumerate(dict.fromkeys(each.what for each in chosen))
        ),
        detail="; ".join(dict.fromkeys(each.detail for each in chosen if each.detail)),
        plain=" ".join(dict.fromkeys(proposal.plain for proposal in chosen if proposal.plain)),
        change=in_turn(changes) if changes else None,
        since=max(proposal.since for proposal in chosen),
        is_sure=all(proposal.is_sure for proposal in chosen),
        is_own_pace=all(proposal.is_own_pace for proposal in chosen),
    )


def parts_shown(requirement: Requirement, view: View) -> Iterator[tuple[Requirement, View]]:
    """Yield the parts which a result shows beneath a combined requirement."""
    if isinstance(requirement, ForEach):
        for each in keys_that_matter(requirement, view):
            yield requirement.of, view.bound_to(each)
        return
    if isinstance(requirement, Bands):
        band = current_band(requirement, view)
        for part in band.requires if band else ():
            yield part, view
        return
    for path, part in requirement.parts():
        if path[0] not in {"when", "unless"}:
            yield part, view
