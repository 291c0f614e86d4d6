"""What is told beside the verdict: pathway, conditions, editions to come, what is not certain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import ComingChange, Verdict
from comity.core.eligibility.edition_days import EditionDays, edition_submission
from comity.core.eligibility.findings_person import milestone_day
from comity.core.eligibility.inquiry import Inquiry
from comity.core.eligibility.results import Judged
from comity.core.eligibility.triple import Days
from comity.core.rulebook import editions
from comity.core.rulebook.kinds.combining import ByHand
from comity.core.rulebook.model import Edition


def is_stale(inquiry: Inquiry) -> bool:
    """Tell whether the edition was last read too long ago to be relied on."""
    edition = inquiry.chosen.edition
    return inquiry.question.today > edition.read_again_after.after(edition.read)


def is_dropped(inquiry: Inquiry) -> bool:
    """Tell whether the editions in force have the title no longer."""
    in_force = editions.certain_on(inquiry.rulebook, inquiry.question.on)
    names = {edition.rulebook for edition in in_force}
    return bool(names) and not any(d.edition.rulebook in names for d in inquiry.days.editions)


def pathway_of(inquiry: Inquiry) -> str | None:
    """Return the name of the pathway which is certainly the one; None where that is open."""
    for pathway in inquiry.chosen.title.pathways:
        days = Days.of(inquiry.chosen.pathways[pathway.id].yes)
        if days.verdict(inquiry.view.row, inquiry.question.on) is Verdict.MET:
            return pathway.label
    return None


def conditions_of(inquiry: Inquiry) -> Iterator[str]:
    """Yield the conditions on the licence on that day; those that may hold with a perhaps."""
    grants = inquiry.chosen.title.grants
    for condition in grants.conditions if grants else ():
        verdict = inquiry.view.verdict(condition.when)
        if verdict is Verdict.MET:
            yield condition.says
        elif verdict in {Verdict.UNKNOWN, Verdict.REFER}:
            yield f"perhaps: {condition.says}"


def other_verdict(inquiry: Inquiry) -> Verdict | None:
    """Return the verdict under the other assumption where it differs."""
    other = inquiry.days.submission.verdict(1 - inquiry.view.row, inquiry.question.on)
    return None if other is inquiry.submission_verdict() else other


def if_stops_until(inquiry: Inquiry) -> Day | None:
    """Return the last day of the window were practice to end today, if that is sooner."""
    run, stopped = inquiry.run(0), inquiry.run(1)
    if run is None or stopped is None or run[1] == stopped[1]:
        return None
    return stopped[1] - 1


def coming_changes(inquiry: Inquiry) -> Iterator[ComingChange]:
    """Yield the later editions under which the answer would be another one."""
    row = inquiry.view.row
    for later in inquiry.days.editions:
        start = editions.days_of(later.edition.applies).possible.start
        if later is inquiry.chosen or start <= inquiry.question.on:
            continue
        before = edition_submission(inquiry.chosen).verdict(row, start)
        after = edition_submission(later).verdict(row, start)
        if before is not after:
            changed = _changed(inquiry.chosen, later, row=row, day=start)
            yield ComingChange(later.edition.rulebook, start, before, after, changed)


def _changed(before: EditionDays, after: EditionDays, *, row: int, day: Day) -> tuple[str, ...]:
    """Return the ids of the requirements whose verdict differs between two editions on a day."""
    old = {top.id: top.days.verdict(row, day) for top in before.tops}
    new = {top.id: top.days.verdict(row, day) for top in after.tops}
    return tuple(name for name in {**old, **new} if old.get(name) is not new.get(name))


def by_hand_open(judged: Sequence[Judged]) -> Iterator[str]:
    """Yield the names of requirements that wait for someone to look at them."""
    for each in judged:
        parts = editions.walk(each.top.listed.requirement)
        if each.result.verdict is Verdict.UNKNOWN and any(
            isinstance(part, ByHand) for _path, part in parts
        ):
            yield each.result.label


def notes_on(inquiry: Inquiry, anew: Sequence[str]) -> Iterator[str]:
    """Yield remarks for the adviser; `anew` names what will have lapsed by the day of applying."""
    view, on = inquiry.view, inquiry.question.on
    if anew:
        yield f"Needed anew by then, because it will have lapsed: {', '.join(anew)}."
    if inquiry.chosen.title.pathways and pathway_of(inquiry) is None:
        yield "No pathway of this title fits for certain on this day."
    yield from _notes_on_editions(inquiry)
    yield from _notes_on_progress(inquiry)
    if inquiry.days.covered.run_at(view.row, on) is None:
        yield "No edition read applies on this day; the nearest one is shown."


def _notes_on_editions(inquiry: Inquiry) -> Iterator[str]:
    """Yield what is not certain about which edition applies."""
    on, known = inquiry.question.on, [days.edition for days in inquiry.days.editions]
    may = [edition for edition in known if _may_apply(edition, known, on)]
    if len(may) > 1:
        names = " or ".join(edition.rulebook for edition in may)
        yield f"It is not certain which edition applies on this day: {names}."
    until = inquiry.chosen.edition.applies.until
    if until is not None and until.is_unknown and len(may) == 1:
        yield (
            "It was not found until when this edition applies; ask the authority whether it "
            "still does."
        )


def _may_apply(edition: Edition, known: Sequence[Edition], on: Day) -> bool:
    """Tell whether an edition may be in force; one that certainly is rules out the others."""
    run = editions.days_of(edition.applies)
    is_ruled_out = any(
        on in editions.days_of(other.applies).certain for other in known if other is not edition
    )
    return on in run.possible and (on in run.certain or not is_ruled_out)


def _notes_on_progress(inquiry: Inquiry) -> Iterator[str]:
    """Yield a word on an application that has been handed in on another day."""
    first, on = editions.first_milestone(inquiry.chosen.title), inquiry.question.on
    day = milestone_day(inquiry.view, first)
    if day is not None and day != on:
        yield (
            f"The file says that {first} was on {iso(day)}; this answer is for {iso(on)}. "
            "Ask again with that day to see how it stood then."
        )


def has_no_rules(inquiry: Inquiry) -> bool:
    """Tell whether no edition read applies on the day asked."""
    return inquiry.days.covered.run_at(inquiry.view.row, inquiry.question.on) is None


def with_own_start(judged: Judged, inquiry: Inquiry) -> Judged:
    """Return what holds since before the rules that were read, with its own first day.

    That no edition read is older says nothing of a degree completed years ago.
    """
    result, view = judged.result, inquiry.view
    covered = inquiry.days.covered.run_at(view.row, inquiry.question.on)
    if result.verdict is not Verdict.MET or covered is None or result.start != covered[0]:
        return judged
    own = judged.top.days.yes.run_at(view.row, inquiry.question.on)
    if own is None or own[0] >= covered[0]:
        return judged
    return replace(judged, result=replace(result, start=own[0] or None))
