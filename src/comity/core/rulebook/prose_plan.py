"""Sentences for what a plan is made from: who acts, steps, fees, examinations, renewal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from comity.core.days.calendar import iso
from comity.core.rulebook.model import Edition, Examination, Fee, Renewal, Title
from comity.core.rulebook.phrases import (
    closed,
    given,
    hours,
    lowered,
    opened,
    run_on,
    share,
    spoken,
    together,
)
from comity.core.rulebook.steps import WEEKDAYS, Gets, Party, Step, TimeLimit

_WHO: Final = {
    "applicant": "the applicant",
    "adviser": "the adviser",
    "employer": "an employer",
    "school": "a school",
    "authority": "an authority",
}
_LATE: Final = {
    "reject": "the application is rejected",
    "forfeit": "what was paid or granted is forfeited",
    "remove": "one is removed from the register",
}


@dataclass(frozen=True, slots=True)
class PlanWords:
    """Words for the steps, fees and examinations of one title.

    Parameters
    ----------
    parties, examinations : mapping
        Names by id.
    first : str
        Id of the title's first milestone.
    """

    parties: Mapping[str, str]
    examinations: Mapping[str, str]
    first: str

    def step(self, step: Step) -> str:
        """Return a step: what, by whom, after what, how long, with what result."""
        after = f"after {together(spoken(name) for name in step.after)}" if step.after else ""
        beginning = run_on(given(step.wait, lambda wait: f"{wait} at least"), after)
        said = run_on(
            f"{step.label} ({self.parties.get(step.party, step.party)})",
            beginning,
            given(step.duration, lambda time: f"takes {time}"),
            given(step.sits, lambda name: f"sits {self._examination(name)}"),
            given(step.study, lambda minutes: f"with {hours(minutes)} of study"),
            given(step.gets, self._paper),
            given(step.reaches, lambda milestone: f"which reaches {spoken(milestone)}"),
            by=", ",
        )
        proves = together(f'"{spoken(name)}"' for name in step.proves)
        more = [f"left out once {proves} {_is_met(step)} met"] if proves else []
        return "; ".join((said, *map(_limit, step.within), *more))

    def _paper(self, gets: Gets) -> str:
        lasts = given(gets.lasts, lambda time: f"good for {time}")
        used = f"used at {spoken(gets.used_at or self.first)}"
        return run_on(f"gets the {lowered(gets.paper)}", lasts, used, by=", ")

    def _examination(self, name: str) -> str:
        return f"the {self.examinations.get(name, spoken(name)).removeprefix('The ')}"

    def fee(self, fee: Fee) -> str:
        """Return a fee: how much, when due, on which days."""
        return run_on(
            run_on(
                f"{fee.label}: {fee.amount}", given(fee.most, lambda most: f"to {most}"), _each(fee)
            ),
            given(fee.at, lambda milestone: f"due at {spoken(milestone)}"),
            given(fee.step, lambda step: f'paid with "{spoken(step)}"'),
            given(fee.from_, lambda day: f"from {iso(day)}"),
            given(fee.until, lambda day: f"to {iso(day)}"),
            "paid back on refusal" if fee.refundable else "not paid back on refusal",
            by=", ",
        )

    def examination(self, examination: Examination) -> str:
        """Return an examination with its published sittings and what is known of it."""
        sittings = "; ".join(
            run_on(
                iso(each.on),
                given(each.closes, lambda day: f"(to be entered for by {iso(day)})"),
            )
            for each in examination.sittings
        )
        agreed = "on any working day that is agreed" if examination.by_appointment else ""
        marked = given(examination.marked_by, lambda name: f"of {self.parties.get(name, name)}")
        about = run_on(
            given(examination.questions, lambda n: f"{n} questions"),
            given(examination.minutes, lambda n: f"{n} minutes"),
            given(examination.to_pass, lambda part: f"passed with {share(part)}"),
            given(examination.result_time, lambda time: run_on(f"result after {time}", marked)),
            by=", ",
        )
        days = sittings or agreed or "no sittings published"
        return f"{examination.name}: {days}{f'. {opened(about)}' if about else ''}"


def plan_words(edition: Edition, title: Title) -> PlanWords:
    """Return the words for what stands under a title of an edition."""
    return PlanWords(
        {party.id: party.label for party in edition.parties},
        {each.id: each.name for each in title.examinations},
        title.milestones[0].id,
    )


def party_said(party: Party) -> str:
    """Return a party: its name, what it is, when it works."""
    holidays = [
        given(party.holidays_of, lambda country: f"the public holidays of {country}"),
        together(iso(day) for day in party.holidays),
    ]
    free = together(part for part in (weekend_said(party), *holidays) if part)
    on = "" if " to " in weekend_said(party) else "on "
    works = f"does not work {on}{free}" if free else "acts on any day"
    return closed(f"{opened(party.label)} ({party.id}), {_WHO[party.who]}: {works}")


def weekend_said(party: Party) -> str:
    """Return ``Fridays and Saturdays``, or ``from Friday to Sunday`` for more than two in a row."""
    days = [day for day in WEEKDAYS if day in party.weekend]
    in_a_row = all(WEEKDAYS.index(b) - WEEKDAYS.index(a) == 1 for a, b in pairwise(days))
    if len(days) > 2 and in_a_row:  # noqa: PLR2004  (two are a pair, not a row)
        return f"from {days[0]} to {days[-1]}"
    return together(f"{day}s" for day in days)


def renewed(renewal: Renewal) -> str:
    """Return how often a licence is renewed, and when that can be asked for."""
    return closed(
        run_on(
            f"Every {renewal.every}",
            given(renewal.opens, lambda time: f"asked for from {time} before the end on"),
            given(renewal.grace, lambda time: f"and still for {time} after it"),
            by=", ",
        )
    )


def _limit(limit: TimeLimit) -> str:
    late = _LATE[limit.late]
    return f"done within {limit.period} after {spoken(limit.after)}, else {late}"


def _each(fee: Fee) -> str:
    if fee.each == "document" and fee.documents is not None:
        return f"for each document, of which there are {fee.documents}"
    return "" if fee.each == "application" else f"for each {fee.each}"


def _is_met(step: Step) -> str:
    return "is" if len(step.proves) == 1 else "are"
