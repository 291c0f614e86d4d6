"""What stands behind verdicts about language tests, and how to mend them."""

from __future__ import annotations

from collections.abc import Mapping

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.context import folded
from comity.core.eligibility.language import is_at_least
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    finding,
    measured,
    plain_day,
    proposals,
    with_entry,
)
from comity.core.facts.model import LanguageResult
from comity.core.rulebook.kinds.testing import LanguageProved, LanguageTest
from comity.core.rulebook.phrases import either, together


def _sittings(view: View, test: LanguageTest) -> list[LanguageResult]:
    name = folded(test.test)
    return [
        result
        for result in view.applicant.results.language or ()
        if folded(result.test) == name
        and (not view.confirmed_only or result.evidence == "confirmed")
    ]


def _below(test: LanguageTest, parts: Mapping[str, str] | None) -> dict[str, str]:
    """Return the parts of a sitting below what is asked, with what was reached."""
    given = {folded(name): value for name, value in (parts or {}).items()}
    return {
        name: given.get(folded(name), "nothing")
        for name, needed in (test.parts or {}).items()
        if folded(name) not in given or not is_at_least(given[folded(name)], needed, test.scale)
    }


@finding.register
def _language(requirement: LanguageProved, view: View) -> Finding:
    if view.verdict(requirement) is Verdict.MET:
        return Finding(reason=_what_proves(requirement, view))
    nearest: tuple[int, Finding] | None = None
    for test in requirement.tests:
        for sitting in _sittings(view, test):
            n_below = len(_below(test, sitting.parts))
            if nearest is None or n_below < nearest[0]:
                nearest = n_below, _sitting_finding(requirement, test, sitting=sitting, view=view)
    if nearest is None:
        names = either([test.test for test in requirement.tests])
        return Finding(reason=f"no result of {names} on file")
    return nearest[1]


def _what_proves(requirement: LanguageProved, view: View) -> str:
    """Name the sitting that proves the language on the day, or the two that do together."""
    said = (_proof(requirement, test, view) for test in requirement.tests)
    return next(filter(None, said), "")


def _proof(requirement: LanguageProved, test: LanguageTest, view: View) -> str:
    """Name what proves the language by one test; nothing if that test does not."""
    mine = [
        each
        for each in _sittings(view, test)
        if _is_in_time(requirement, each, view) and _is_place_accepted(test, each)
    ]
    whole = [each for each in mine if not _below(test, each.parts) and _is_overall(test, each)]
    if whole:
        last = max(whole, key=lambda each: each.taken.latest if each.taken else 0)
        return f"{test.test} of {last.taken}"
    days = together([str(each.taken) for each in mine])
    return f"{test.test} of {days}, taken together" if len(mine) > 1 else ""


def _is_place_accepted(test: LanguageTest, sitting: LanguageResult) -> bool:
    refused = {folded(place) for place in test.excluded_places or ()}
    return not refused or (sitting.place is not None and folded(sitting.place) not in refused)


def _is_overall(test: LanguageTest, sitting: LanguageResult) -> bool:
    return test.overall is None or is_at_least(sitting.overall or "", test.overall, test.scale)


def _is_in_time(requirement: LanguageProved, sitting: LanguageResult, view: View) -> bool:
    if sitting.taken is None or sitting.taken.latest > view.on:
        return False
    age = requirement.greatest_age
    return age is None or view.on <= age.after(sitting.taken.earliest)


def _sitting_finding(
    requirement: LanguageProved, test: LanguageTest, *, sitting: LanguageResult, view: View
) -> Finding:
    below = _below(test, sitting.parts)
    reason = f"{test.test} of {sitting.taken or 'an unknown day'}"
    if below:
        parts = test.parts or {}
        words = [f"{got} in {name}, {parts[name]} asked" for name, got in below.items()]
        reason = f"{reason}: {together(words)}"
        if len(below) == 1:
            (name, got), *_rest = below.items()
            return _part_finding(got, parts[name], part=name, reason=reason)
        return Finding(reason=reason)
    if not _is_overall(test, sitting):
        return Finding(reason=f"{reason}: {sitting.overall} overall, {test.overall} asked")
    age = requirement.greatest_age
    if sitting.taken is not None and sitting.taken.latest > view.on:
        return Finding(reason=f"{reason} lies ahead")
    if age is not None and sitting.taken is not None:
        too_old = age.after(sitting.taken.earliest) + 1
        if too_old <= view.on:
            return Finding(reason=f"{reason} is older than {age} since {iso(too_old)}")
    return Finding(reason=f"{reason} was sat where it does not count, or is not enough")


def _part_finding(got: str, needed: str, *, part: str, reason: str) -> Finding:
    try:
        return measured(float(got), float(needed), f"points in {part}", reason=reason)
    except ValueError:
        return Finding(reason=reason)


@proposals.register
def _language_proposals(requirement: LanguageProved, view: View) -> tuple[Proposal, ...]:
    """Propose to combine with an earlier sitting first, then the test that is known already."""
    day = max(view.on, view.today)
    known = sorted(requirement.tests, key=lambda test: not _sittings(view, test))
    resits = (
        _resit(test, sitting, day)
        for test in known
        for sitting in _sittings(view, test)
        if _is_in_time(requirement, sitting, view)
    )
    found = [again for again in resits if again is not None]
    return (*found, *(_sit_whole(test, day) for test in known))


def _resit(test: LanguageTest, sitting: LanguageResult, day: Day) -> Proposal | None:
    """Return the sitting that can be combined with an earlier one, if one can."""
    combining, below = test.combining, _below(test, sitting.parts)
    if combining is None or not below or sitting.taken is None:
        return None
    last = combining.within.after(sitting.taken.earliest)
    if day > last:
        return None
    floor = {**(test.parts or {}), **(combining.floor or {})}
    parts = {**floor, **{name: (test.parts or {})[name] for name in below}}
    aims = together([f"{(test.parts or {})[name]} in {name}" for name in below])
    entry = LanguageResult(
        id=PROPOSED,
        evidence="confirmed",
        test=test.test,
        taken=PartialDate.exact(day),
        overall=combining.least_overall or test.overall,
        parts=parts,
        place=_allowed_place(test),
    )
    floors = [f"{result} in {name}" for name, result in (combining.floor or {}).items()]
    return Proposal(
        what=f"Sit the test {test.test} again by {iso(last)} and reach {aims}",
        detail=f"combined with {sitting.taken}"
        + (f"; at least {together(floors)}" if floors else ""),
        plain=f"Sit the test {test.test} once more by {plain_day(last)}. "
        f"What you need to improve: {together(list(below))}.",
        change=with_entry("language", entry),
        since=day,
        is_own_pace=True,
    )


def _allowed_place(test: LanguageTest) -> str:
    """Return a place of sitting that is not refused."""
    return next(
        place
        for place in ("test centre", "on site", "elsewhere")
        if place not in {folded(refused) for refused in test.excluded_places or ()}
    )


def _sit_whole(test: LanguageTest, day: Day) -> Proposal:
    entry = LanguageResult(
        id=PROPOSED,
        evidence="confirmed",
        test=test.test,
        taken=PartialDate.exact(day),
        overall=test.overall,
        parts=test.parts,
        place=_allowed_place(test),
    )
    aims = [f"{result} in {name}" for name, result in (test.parts or {}).items()]
    if test.overall:
        aims.append(f"{test.overall} overall")
    reach = f" and reach {together(aims)}" if aims else ""
    return Proposal(
        what=f"Sit the test {test.test}{reach}",
        plain=f"Sit the test {test.test}.",
        change=with_entry("language", entry),
        since=day,
        is_own_pace=True,
    )
