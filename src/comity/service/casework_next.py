"""The applicant's next three things, in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from comity.brief.plain import is_plain
from comity.core.eligibility.assessment import Assessment, Verdict
from comity.service.casework_dates import certificate_name

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.questions import Question
    from comity.core.facts.model import Applicant

ThingSort = Literal["task", "send paper", "renew", "hand in", "step", "afterwards", "question"]

N_THINGS: Final = 3
SOON_DAYS: Final = 92
"""What lapses within a quarter wants renewing now: most papers take weeks to get."""


@dataclass(frozen=True, slots=True)
class Task:
    """Something the office asked the applicant to do, and by when."""

    says: str
    due: Day | None = None


@dataclass(frozen=True, slots=True)
class NextThing:
    """One thing for the applicant to do.

    Parameters
    ----------
    sort : str
        What sort of thing; the page has words around `says` for some.
    says : str
        A sentence for a task or step, a question, or what is meant: a paper, a title.
    day : Day or None
        By when, or when it lapses.
    path : str
        Of a question: where its answer belongs.
    """

    sort: ThingSort
    says: str
    day: Day | None = None
    path: str = ""


def next_things(
    answers: Sequence[Assessment],
    *,
    applicant: Applicant,
    question: Question | None,
    tasks: Sequence[Task],
    today: Day,
) -> tuple[NextThing, ...]:
    """Return what the applicant should do next: at most three things, each said once.

    What the office asked for comes first, the earliest day ahead; then papers that are awaited or
    about to lapse; then the way to the nearest title; a question still open last.

    Parameters
    ----------
    answers : sequence of Assessment
        On all titles.
    applicant : Applicant
        Whose papers may lapse.
    question : Question or None
        What to ask next.
    tasks : sequence of Task
        What the office asked for and is not done.
    today : Day
        The day it is.
    """
    far = 1 << 20
    first = sorted(tasks, key=lambda each: far if each.due is None else each.due)
    found = [
        *(NextThing("task", each.says, each.due) for each in first),
        *_papers(applicant, today),
        *_towards(answers, today),
        *([] if question is None else [NextThing("question", question.text, path=question.path)]),
    ]
    return tuple(dict.fromkeys(found))[:N_THINGS]


def _papers(applicant: Applicant, today: Day) -> Iterator[NextThing]:
    lapsing = [
        *((each.expires, each.kind) for each in applicant.papers or ()),
        *((each.expires, certificate_name(each.of)) for each in applicant.facts.certificates or ()),
    ]
    soon = [
        NextThing("renew", name, expires.earliest)
        for expires, name in lapsing
        if expires is not None
        and not expires.is_open
        and today - SOON_DAYS <= expires.earliest <= today + SOON_DAYS
    ]
    yield from sorted(soon, key=lambda each: each.day or 0)
    for paper in applicant.papers or ():
        if paper.status == "requested":
            yield NextThing("send paper", paper.kind)


def _towards(answers: Sequence[Assessment], today: Day) -> Iterator[NextThing]:
    """Yield what leads to the nearest title."""
    answer = nearest(answers)
    if answer is None:
        return
    if answer.verdict is Verdict.MET:
        until = next((w.until for w in answer.windows if w.until and w.until >= today), None)
        yield NextThing("hand in", f"{answer.title_name}, {answer.authority_name}", until)
    for step in answer.answer.steps:
        if is_plain(step.says):
            yield NextThing("step", step.says)
    for step in answer.answer.after:
        if is_plain(step.says):
            yield NextThing("afterwards", step.says)


def nearest(answers: Sequence[Assessment]) -> Assessment | None:
    """Return the answer that leads to a title soonest; None where none leads anywhere."""
    far = 1 << 20
    order = {Verdict.MET: 0, Verdict.NOT_MET: 1, Verdict.UNKNOWN: 2, Verdict.REFER: 3}
    leading = [
        each
        for each in answers
        if each.verdict in order
        and (each.verdict is Verdict.MET or (each.answer.leads_on and each.answer.steps))
    ]
    return min(
        leading,
        key=lambda each: (order[each.verdict], far if each.earliest is None else each.earliest),
        default=None,
    )
