"""What stands behind verdicts about certificates and papers, and how to mend them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import numpy as np

from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.paper_words import LACKS, details_of, to_get, to_mend
from comity.core.eligibility.papers import certificates_passing, papers_passing
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    finding,
    measured,
    months_between,
    proposals,
    spanned,
    with_entry,
)
from comity.core.facts.model import Certificate, Paper
from comity.core.rulebook.kinds.testing import CertificateHeld, PaperHeld, Photo
from comity.core.rulebook.phrases import together

_CERTIFICATE: Final = {
    "good standing": "certificate of good standing",
    "criminal record": "criminal record certificate",
    "health": "health certificate",
}


@finding.register
def _certificate(requirement: CertificateHeld, view: View) -> Finding:
    table = view.context.columns.table("certificates")
    kept = certificates_passing(requirement, view.context) & (table.rows == view.row)
    whose = f" from {view.name_of(view.context.each.value)}" if view.context.each else ""
    if not kept.any():
        return Finding(reason=f"no {_CERTIFICATE[requirement.of]}{whose} on file")
    issued, expires = table.since("issued")[kept], table.last_days("expires")[kept]
    best = int(np.argmax(issued))
    day, last = int(issued[best]), int(expires[best])
    reason = f"{_CERTIFICATE[requirement.of]}{whose} issued {iso(day)}"
    if last < FOREVER - 1:
        reason += f", expires {iso(last)}"
    age = requirement.greatest_age
    if age is None or day > view.on:
        return Finding(reason=reason)
    unit = "months" if age.months else "days"
    amount = months_between(day, view.on) if age.months else float(view.on - day)
    needed = float(age.months or age.days)
    too_old = int(age.after(day)) + 1
    if too_old <= view.on:
        reason += f", older than {age} since {iso(too_old)}"
    found = measured(amount, needed, unit, reason=reason, lower_is_better=True)
    return spanned(found, day, view.on, limit=int(age.after(day)))


@proposals.register
def _certificate_proposals(requirement: CertificateHeld, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    each = view.context.each
    whose = f" from {view.name_of(each.value)}" if each else ""
    table = view.context.columns.table("certificates")
    kept = certificates_passing(requirement, view.context) & (table.rows == view.row)
    what = f"{'new ' if kept.any() else ''}{_CERTIFICATE[requirement.of]}{whose}"
    age = requirement.greatest_age
    good = f"; it is good for {age} from its day" if age else ""
    sent = f", sent {requirement.sent}" if requirement.sent else ""
    return (
        Proposal(
            what=f"Ask for a {what}{sent}",
            detail=f"issued on {iso(day)} at the earliest{good}",
            plain=f"Ask for a {what}.",
            change=with_entry("certificates", _certificate_asked(requirement, view, day)),
            since=day,
            is_own_pace=True,
        ),
    )


def _certificate_asked(requirement: CertificateHeld, view: View, day: Day) -> Certificate:
    """Return a certificate of a day that would count, of the country in turn if there is one."""
    each = view.context.each
    entry = Certificate(
        id=f"{PROPOSED}-{each.value if each else 'new'}",
        evidence="confirmed",
        of=requirement.of,
        authority=_first(requirement.authorities),
        country=_first(requirement.countries),
        issued=PartialDate.exact(day),
        sent=requirement.sent or "directly",
    )
    if each is None:
        return entry
    bound_to: dict[str, Any] = {each.field: each.value}
    return replace(entry, **bound_to)


def _first(values: tuple[str, ...] | None) -> str | None:
    return values[0] if values else None


@finding.register
def _paper(requirement: PaperHeld, view: View) -> Finding:
    table = view.context.columns.table("papers")
    lacks = _lacks_of(requirement, view)
    if not lacks:
        return Finding(reason=f"no {requirement.paper} on file")
    best = min(lacks, key=lambda index: (len(lacks[index]), -int(table.until("expires")[index])))
    if lacks[best]:
        said = dict.fromkeys(text for name, text in LACKS.items() if name in lacks[best])
        return Finding(reason=f"{requirement.paper}: {together(said)}")
    last = int(table.last_days("expires")[best])
    until = "" if last >= FOREVER - 1 else f", valid until {iso(last)}"
    left = requirement.remaining_validity
    if left is not None and last < FOREVER - 1:
        until += f"; {left} more are asked, good for submission until {iso(left.last_start(last))}"
    age, issued = requirement.greatest_age, int(table.until("issued")[best])
    if (
        age is not None
        and issued < FOREVER - 1
        and (too_old := int(age.after(issued)) + 1) <= view.on
    ):
        until += f", issued {iso(issued)}, older than {age} since {iso(too_old)}"
    return Finding(reason=f"{requirement.paper} on file{until}")


@proposals.register
def _paper_proposals(requirement: PaperHeld, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    what = _what_to_do(requirement, view, is_plain=False)
    plain = _what_to_do(requirement, view, is_plain=True)
    return (
        Proposal(
            what=what.format(whose="the"),
            detail=", ".join(details_of(requirement, view)),
            plain=f"{plain.format(whose='your')}.",
            change=with_entry("papers", _paper_asked(requirement, view, day)),
            since=day,
            is_own_pace=True,
        ),
    )


def _paper_asked(requirement: PaperHeld, view: View, day: Day) -> Paper:
    """Return a paper of a day that would pass every parameter."""
    photo = requirement.photo or Photo()
    return Paper(
        id=PROPOSED,
        evidence="confirmed",
        kind=requirement.paper,
        status="accepted",
        issuer=_first(requirement.issuers),
        country=view.context.each.value if view.context.each else _first(requirement.countries),
        issued=PartialDate.exact(day),
        expires=PartialDate.exact(FOREVER - 2),
        form=requirement.forms[0] if requirement.forms else "original",
        certified_by=_first(requirement.certified_by),
        language=_first(requirement.languages),
        translated_into=requirement.languages,
        translated_by=_first(requirement.translated_by),
        legalised=requirement.legalised[0] if requirement.legalised else None,
        width_mm=photo.width_mm,
        height_mm=photo.height_mm,
        face_share=photo.least_face or photo.greatest_face,
    )


def _what_to_do(requirement: PaperHeld, view: View, *, is_plain: bool) -> str:
    """Return the least that makes a paper at hand count, else to get it."""
    lacks = _lacks_of(requirement, view)
    if not lacks:
        return to_get(requirement, is_plain=is_plain)
    return to_mend(requirement, min(lacks.values(), key=len), view, is_plain=is_plain)


def _lacks_of(requirement: PaperHeld, view: View) -> dict[int, set[str]]:
    """Return the parameters which each paper of the kind fails, by its place in the table."""
    table = view.context.columns.table("papers")
    passing = papers_passing(requirement, view.context)
    mine = np.flatnonzero((table.rows == view.row) & passing["kind"])
    return {int(index): {n for n, ok in passing.items() if not ok[index]} for index in mine}
