"""The sentences of an assessment: for the applicant in plain words, for all the cautions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.view import plain_day
from comity.core.facts.columns import SECTIONS, entries_of
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.phrases import opened, together

MOST_NAMED: Final = 3
LONG_DAYS: Final = 180
"""Below half a year, waiting is easier than writing to the authority."""
FAR_OFF_DAYS: Final = 730
"""Beyond two years a wait is no plan."""
DECIDES: Final = "The authority decides; this is an aid to preparing an application, no decision."
NO_ADVICE: Final = "This is no legal or immigration advice."
FICTIONAL: Final = "These rules are invented for demonstration; no such authority exists."
NOTHING_EXCLUDES: Final = (
    "Nothing read so far excludes the applicant; the rules are not wholly read."
)


def cautions(edition: Edition, applicant: Applicant, *, is_stale: bool) -> tuple[str, ...]:
    """Return what must be said beside every answer."""
    found = [
        DECIDES,
        f"Check the authority's current text: it was last read on {iso(edition.read)}.",
    ]
    if is_stale:
        found.append(
            f"That reading is older than {edition.read_again_after}; "
            "read the rules again before relying on this."
        )
    n_stated = n_stated_facts(applicant)
    if n_stated:
        what = "fact is" if n_stated == 1 else "facts are"
        found.append(f"{n_stated} {what} taken as stated; no paper has been seen yet.")
    if not edition.wholly_read:
        found.append(NOTHING_EXCLUDES)
    found.append(NO_ADVICE)
    if edition.fictional:
        found.append(FICTIONAL)
    return tuple(found)


def n_stated_facts(applicant: Applicant) -> int:
    """Return how many entries rest on the applicant's word alone."""
    skipped = {"person", "progress", "reviews", "papers", "declarations"}
    return sum(
        getattr(entry, "evidence", "") == "stated"
        for section in SECTIONS
        if section not in skipped
        for entry in entries_of(applicant, section) or ()
    )


@dataclass(frozen=True, slots=True)
class Told:
    """What the plain answer is made from.

    Parameters
    ----------
    verdict : Verdict
        On the whole.
    until : Day or None
        Last day of the open dates, if they are open.
    earliest : Day or None
        First day on which one could apply.
    now, later : tuple of str
        Plain sentences on what to do before and after applying.
    is_own_pace : bool
        Whether only the applicant's own speed stands between now and applying.
    anew : tuple of str
        What will have lapsed by then and is needed anew.
    missing : tuple of str
        Missing facts in words.
    obstacle : str
        The deciding requirement's name.
    is_close : bool
        Whether what is missed is missed by little.
    """

    verdict: Verdict
    on: Day
    until: Day | None = None
    earliest: Day | None = None
    now: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    is_own_pace: bool = False
    anew: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    obstacle: str = ""
    is_close: bool = False


def plain_answer(told: Told, edition: Edition, title: Title) -> str:
    """Return the answer in words a worried applicant understands; never a bare no."""
    say = {
        Verdict.MET: _yes,
        Verdict.REFER: _refer,
        Verdict.UNKNOWN: _open,
    }.get(told.verdict, _not_yet)
    after = f" After you have applied: {' '.join(told.later)}" if told.later else ""
    return f"{say(told, edition, title)}{after}"


def _yes(told: Told, edition: Edition, title: Title) -> str:
    end = "" if told.until is None else f" Hand in your application by {plain_day(told.until)}."
    who = edition.authority.name
    return f"Yes. As far as we can see, you can apply to {who} as {title.name} now.{end}"


def _refer(told: Told, edition: Edition, _title: Title) -> str:
    steps = f" {' '.join(told.now)}" if told.now else ""
    return (
        f"{opened(edition.authority.name)} looks at cases like yours one by one. "
        f"That is not a no: we help you to write down what speaks for you.{steps}"
    )


def _open(told: Told, edition: Edition, _title: Title) -> str:
    if told.missing:
        some = together(told.missing[:MOST_NAMED])
        rest = len(told.missing) - MOST_NAMED
        more = f" and {rest} more" if rest > 0 else ""
        sure = "" if told.earliest is None else f" In any case from {plain_day(told.earliest)}."
        return f"We cannot say yet. We still need to know: {some}{more}.{sure}"
    if not edition.wholly_read:
        return "So far nothing speaks against you. We have not read all the rules yet."
    return "We cannot say yet; someone has to look at your case by hand."


def _not_yet(told: Told, edition: Edition, title: Title) -> str:
    who, what = edition.authority.name, title.name
    contact = edition.authority.contact
    ask = f" You can also write to {contact}." if contact else ""
    is_long = told.earliest is None or told.earliest > told.on + LONG_DAYS
    near = ""
    if told.is_close and is_long:
        near = f" You are close: we can also help you to put your case to {who}."
    if not told.now:
        return (
            f"As the rules stand, one thing is in the way: {told.obstacle}. Let us look together "
            f"at what else is open to you, and whether to ask {who} to look at your case.{ask}"
        )
    steps = " ".join(told.now)
    if told.earliest is None:
        return f"Not yet. {steps} We go through the next steps with you.{near}{ask}"
    if told.earliest > told.on + FAR_OFF_DAYS:
        return (
            f"Not for a while. {steps} Then you could apply to {who} as {what}, "
            f"from {plain_day(told.earliest)}.{near}{ask}"
        )
    return f"Not yet, but it can be put right. {steps} {_then(told, who, what)}{near}"


def _then(told: Told, who: str, what: str) -> str:
    anew = f" By then you need anew: {together(told.anew)}." if told.anew else ""
    if told.is_own_pace or told.earliest is None:
        return f"As soon as that is done, you can apply to {who} as {what}.{anew}"
    day = plain_day(told.earliest)
    return f"Then you can apply to {who} as {what}, from {day} at the earliest.{anew}"
