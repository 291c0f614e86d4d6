"""The sentences of an assessment: for the applicant in plain words, for all the cautions."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import MOST_IN_A_ROW, PlainAnswer, PlainStep, Verdict
from comity.core.eligibility.view import plain_day
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS, entries_of
from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.phrases import opened, together

MOST_NAMED: Final = 3
LONG_DAYS: Final = 180
"""Below half a year, waiting is easier than writing to the authority."""
FAR_OFF_DAYS: Final = 730
"""Beyond two years a wait is no plan."""
INSTRUMENTS: Final = frozenset(
    {"certificate", "registration", "licence", "license", "permit", "title"}
)
"""One applies for these; for anything else one applies as that."""
_COUNT: Final = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
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
        what, them = ("fact is", "it") if n_stated == 1 else ("facts are", "them")
        found.append(f"{n_stated} {what} taken as stated; no paper has been seen for {them}.")
    if not edition.wholly_read:
        found.append(NOTHING_EXCLUDES)
    found.append(NO_ADVICE)
    if edition.fictional:
        found.append(FICTIONAL)
    return tuple(found)


def n_stated_facts(applicant: Applicant) -> int:
    """Return how many entries rest on the applicant's word alone."""
    skipped = {"person", "progress", "payments", "reviews", "papers", "declarations"}
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
    now, later : tuple of PlainStep
        What to do before and after applying.
    is_own_pace : bool
        Whether only the applicant's own speed stands between now and applying.
    is_conditional : bool
        Whether something that is still unknown must turn out well, too.
    missing : tuple of str
        Missing facts in words.
    blocked : tuple of str
        Names of requirements that nothing the applicant does can mend.
    n_besides : int
        How many other things are open beside those.
    differing : tuple of str
        Names of requirements on which the authority's own texts differ.
    is_settled_by_now : bool
        Whether the steps would settle all that is open, whatever is still unknown.
    obstacle : str
        The deciding requirement's name.
    is_close : bool
        Whether what is missed is missed by little.
    is_dropped : bool
        Whether the edition in force no longer has the title.
    has_no_rules : bool
        Whether no edition read applies on the day.
    never_together : bool
        Whether each point can be mended, and yet there is no day on which all of them hold.
    apart : str
        The two that never hold together, in a sentence; empty where no two are found.
    """

    verdict: Verdict
    on: Day
    until: Day | None = None
    earliest: Day | None = None
    now: tuple[PlainStep, ...] = ()
    later: tuple[PlainStep, ...] = ()
    is_own_pace: bool = False
    is_conditional: bool = False
    missing: tuple[str, ...] = ()
    blocked: tuple[str, ...] = ()
    n_besides: int = 0
    differing: tuple[str, ...] = ()
    is_settled_by_now: bool = False
    obstacle: str = ""
    is_close: bool = False
    is_dropped: bool = False
    has_no_rules: bool = False
    never_together: bool = False
    apart: str = ""


def plain_answer(told: Told, edition: Edition, title: Title) -> PlainAnswer:
    """Return the answer in words a worried applicant understands; never a bare no."""
    if told.has_no_rules:
        return PlainAnswer(
            "We cannot say for that day",
            f"We have no rules of {edition.authority.name} for it. Ask us for another day, or ask "
            "them which rules they will use.",
            leads_on=False,
        )
    say = {
        Verdict.MET: _yes,
        Verdict.REFER: _refer,
        Verdict.UNKNOWN: _open,
    }.get(told.verdict, _not_yet)
    said = say(told, edition, title)
    return replace(said, after=told.later) if said.leads_on else said


def asked_for(title: Title) -> str:
    """Return what one applies for, as words: "as Dietitian", "for Practising certificate"."""
    last = title.name.rsplit(" ", maxsplit=1)[-1].casefold()
    return f"{'for' if last in INSTRUMENTS else 'as'} {title.name}"


def _yes(told: Told, edition: Edition, title: Title) -> PlainAnswer:
    end = "" if told.until is None else f"Hand in your application by {plain_day(told.until)}."
    who = edition.authority.name
    lead = f"As far as we can see, you can apply to {who} {asked_for(title)} now."
    return PlainAnswer("Yes", lead, close=end)


def _refer(told: Told, edition: Edition, _title: Title) -> PlainAnswer:
    if told.differing:
        instead = " Or do this, then the question does not arise:" if told.now else ""
        lead = (
            f"Its own texts differ on: {together(told.differing)}. "
            f"That is not a no: we help you to ask them.{instead}"
        )
    elif told.now:
        lead = "That is not a no."
    else:
        lead = (
            f"{opened(edition.authority.name)} looks at cases like yours one by one. "
            "That is not a no: we help you to write down what speaks for you."
        )
    return PlainAnswer("This is for the authority to decide", lead, told.now)


def _open(told: Told, edition: Edition, _title: Title) -> PlainAnswer:
    if told.missing:
        some = list(told.missing[:MOST_NAMED])
        rest = len(told.missing) - MOST_NAMED
        if rest > 0:
            some.append(f"{rest} more {'thing' if rest == 1 else 'things'}")
        sure = "" if told.earliest is None else f" In any case from {plain_day(told.earliest)}."
        without = (
            "Or settle it without" if told.is_settled_by_now else "Part can be settled without"
        )
        instead = f" {without}:" if told.now else ""
        lead = f"We still need to know: {together(some)}.{sure}{instead}"
        return PlainAnswer("We cannot say yet", lead, told.now)
    if not edition.wholly_read:
        return PlainAnswer(
            "So far nothing speaks against you", "We have not read all the rules yet."
        )
    return PlainAnswer("We cannot say yet", "Someone has to look at your case by hand.")


def _leading_nowhere(told: Told, edition: Edition) -> PlainAnswer | None:
    """Return the answer where no step leads to an application; None where one does."""
    if told.is_dropped:
        lead = (
            f"The rules of {edition.authority.name} now in force have dropped it. "
            "Let us look together at what else is open to you."
        )
        close = _contact(edition)
        return PlainAnswer("This title is no longer given", lead, close=close, leads_on=False)
    if not (told.obstacle or told.now):
        # No pathway of the title is meant for the person, and nothing else is in the way.
        lead = "None of its pathways is open to you. Ask us which rules are meant for you."
        return PlainAnswer("Not meant for you", lead, leads_on=False)
    if told.blocked or not told.now:
        return _barred(told, edition)
    if told.apart:
        return PlainAnswer(
            "Not as things stand", told.apart, close=_ask_them(edition), leads_on=False
        )
    if told.never_together:
        lead = (
            "Each point can be put right, but we see no day on which all of them hold together."
            f"{'' if len(told.now) <= MOST_IN_A_ROW else ' One by one:'}"
        )
        return PlainAnswer(
            "Not as things stand", lead, told.now, _ask_them(edition), leads_on=False
        )
    return None


def _not_yet(told: Told, edition: Edition, title: Title) -> PlainAnswer:
    nowhere = _leading_nowhere(told, edition)
    if nowhere is not None:
        return nowhere
    if told.earliest is None:
        close = f"We go through the next steps with you.{_near(told, edition)}"
        return PlainAnswer("Not yet", "", told.now, f"{close} {_contact(edition)}".rstrip())
    if told.earliest > told.on + FAR_OFF_DAYS:
        close = (
            f"Then you could apply to {edition.authority.name} {asked_for(title)}, "
            f"from {plain_day(told.earliest)}{_if(told)}.{_near(told, edition)}"
        )
        return PlainAnswer("Not for a while", "", told.now, f"{close} {_contact(edition)}".rstrip())
    close = f"{_then(told, edition, title)}{_near(told, edition)}"
    return PlainAnswer("Not yet", "It can be put right.", told.now, close)


def _barred(told: Told, edition: Edition) -> PlainAnswer:
    """Return the answer where something is in the way that nothing mends."""
    n_blocked = len(told.blocked)
    what = together(told.blocked) or told.obstacle
    one = (
        "One thing is"
        if n_blocked <= 1
        else f"{opened(_COUNT.get(n_blocked, 'several'))} things are"
    )
    besides = ""
    if told.n_besides:
        other = "other thing is" if told.n_besides == 1 else "other things are"
        besides = f" Besides, {_COUNT.get(told.n_besides, str(told.n_besides))} {other} open."
    lead = f"{one} in the way that nothing you do can mend: {what}.{besides}"
    close = (
        "Let us look together at what else is open to you, and whether to ask "
        f"{edition.authority.name} to look at your case.{_near(told, edition)}"
    )
    close = f"{close} {_contact(edition)}".rstrip()
    return PlainAnswer("Not as the rules stand", lead, close=close, leads_on=False)


def _ask_them(edition: Edition) -> str:
    """Return the offer to look at the case together."""
    close = (
        f"Let us look at this with you, and at whether to ask {edition.authority.name} to look at "
        "your case."
    )
    return f"{close} {_contact(edition)}".rstrip()


def _contact(edition: Edition) -> str:
    contact = edition.authority.contact
    return f"You can also write to {contact}." if contact else ""


def _near(told: Told, edition: Edition) -> str:
    """Return the offer to put the case, where little lacks and the wait is long."""
    is_long = told.earliest is None or told.earliest > told.on + LONG_DAYS
    if not (told.is_close and is_long):
        return ""
    return f" You are close: we can also help you to put your case to {edition.authority.name}."


def _then(told: Told, edition: Edition, title: Title) -> str:
    who, what = edition.authority.name, asked_for(title)
    end = "" if told.until is None else f" Hand it in by {plain_day(told.until)}."
    if told.is_own_pace or told.earliest is None:
        return f"As soon as that is done, you can apply to {who} {what}{_if(told)}.{end}"
    day = plain_day(told.earliest)
    return f"Then you can apply to {who} {what}, from {day} at the earliest{_if(told)}.{end}"


def _if(told: Told) -> str:
    return ", if what is still open turns out well" if told.is_conditional else ""
