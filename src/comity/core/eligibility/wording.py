"""The sentences of an assessment: for the applicant in plain words, for all the cautions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import Verdict
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
    is_conditional : bool
        Whether something that is still unknown must turn out well, too.
    missing : tuple of str
        Missing facts in words.
    blocked : tuple of str
        Names of requirements that nothing the applicant does can mend.
    differing : tuple of str
        Names of requirements on which the authority's own texts differ.
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
    """

    verdict: Verdict
    on: Day
    until: Day | None = None
    earliest: Day | None = None
    now: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    is_own_pace: bool = False
    anew: tuple[str, ...] = ()
    is_conditional: bool = False
    missing: tuple[str, ...] = ()
    blocked: tuple[str, ...] = ()
    differing: tuple[str, ...] = ()
    obstacle: str = ""
    is_close: bool = False
    is_dropped: bool = False
    has_no_rules: bool = False
    never_together: bool = False


def plain_answer(told: Told, edition: Edition, title: Title) -> str:
    """Return the answer in words a worried applicant understands; never a bare no."""
    if told.has_no_rules:
        return (
            f"We have no rules of {edition.authority.name} for that day, so we cannot say. "
            "Ask us for another day, or ask them which rules they will use."
        )
    say = {
        Verdict.MET: _yes,
        Verdict.REFER: _refer,
        Verdict.UNKNOWN: _open,
    }.get(told.verdict, _not_yet)
    goes_on = told.later and not told.blocked
    after = f" After you have applied: {' '.join(told.later)}" if goes_on else ""
    return f"{say(told, edition, title)}{after}"


def asked_for(title: Title) -> str:
    """Return what one applies for, as words: "as Dietitian", "for Practising certificate"."""
    last = title.name.rsplit(" ", maxsplit=1)[-1].casefold()
    return f"{'for' if last in INSTRUMENTS else 'as'} {title.name}"


def _yes(told: Told, edition: Edition, title: Title) -> str:
    end = "" if told.until is None else f" Hand in your application by {plain_day(told.until)}."
    who = edition.authority.name
    return f"Yes. As far as we can see, you can apply to {who} {asked_for(title)} now.{end}"


def _refer(told: Told, edition: Edition, _title: Title) -> str:
    steps = " ".join(told.now)
    if told.differing:
        instead = f" Or do this, then the question does not arise: {steps}" if steps else ""
        return (
            f"The authority's own texts differ on: {together(told.differing)}. "
            f"That is not a no: we help you to ask them.{instead}"
        )
    if steps:
        return f"This is for the authority to decide. That is not a no. {steps}"
    return (
        f"{opened(edition.authority.name)} looks at cases like yours one by one. "
        "That is not a no: we help you to write down what speaks for you."
    )


def _open(told: Told, edition: Edition, _title: Title) -> str:
    if told.missing:
        some = list(told.missing[:MOST_NAMED])
        rest = len(told.missing) - MOST_NAMED
        if rest > 0:
            some.append(f"{rest} more {'thing' if rest == 1 else 'things'}")
        sure = "" if told.earliest is None else f" In any case from {plain_day(told.earliest)}."
        return f"We cannot say yet. We still need to know: {together(some)}.{sure}"
    if not edition.wholly_read:
        return "So far nothing speaks against you. We have not read all the rules yet."
    return "We cannot say yet; someone has to look at your case by hand."


def _not_yet(told: Told, edition: Edition, title: Title) -> str:
    who, what = edition.authority.name, asked_for(title)
    contact = edition.authority.contact
    ask = f" You can also write to {contact}." if contact else ""
    is_long = told.earliest is None or told.earliest > told.on + LONG_DAYS
    near = ""
    if told.is_close and is_long:
        near = f" You are close: we can also help you to put your case to {who}."
    if told.is_dropped:
        return (
            f"This title is no longer given: the rules of {who} now in force have dropped it. "
            f"Let us look together at what else is open to you.{ask}"
        )
    if told.blocked or not told.now:
        what_is = together(told.blocked) or told.obstacle
        one = "one thing is" if len(told.blocked) < 2 else "some things are"  # noqa: PLR2004
        return (
            f"As the rules stand, {one} in the way that nothing you do can mend: {what_is}. "
            f"Let us look together at what else is open to you, and whether to ask {who} "
            f"to look at your case.{near}{ask}"
        )
    steps = " ".join(told.now)
    if told.never_together:
        return (
            f"Not as things stand. Each point can be put right, but we see no day on which all "
            f"of them hold together. {steps} Let us look at this with you, and at whether to ask "
            f"{who} to look at your case.{ask}"
        )
    if told.earliest is None:
        return f"Not yet. {steps} We go through the next steps with you.{near}{ask}"
    if told.earliest > told.on + FAR_OFF_DAYS:
        return (
            f"Not for a while. {steps} Then you could apply to {who} {what}, "
            f"from {plain_day(told.earliest)}{_if(told)}.{near}{ask}"
        )
    return f"Not yet, but it can be put right. {steps} {_then(told, who, what)}{near}"


def _then(told: Told, who: str, what: str) -> str:
    anew = f" By then you need anew: {together(told.anew)}." if told.anew else ""
    end = "" if told.until is None else f" Hand it in by {plain_day(told.until)}."
    if told.is_own_pace or told.earliest is None:
        can = f"As soon as that is done, you can apply to {who} {what}{_if(told)}."
    else:
        day = plain_day(told.earliest)
        can = f"Then you can apply to {who} {what}, from {day} at the earliest{_if(told)}."
    return f"{can}{end}{anew}"


def _if(told: Told) -> str:
    return ", if what is still open turns out well" if told.is_conditional else ""
