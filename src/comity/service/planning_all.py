"""Plans for every title that is open to an applicant, or can be opened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import iso
from comity.core.plan.exchange import MissingRateError
from comity.core.problems import Problem
from comity.core.rulebook.editions import title_of
from comity.core.rulebook.phrases import either
from comity.files.public_holidays import UnknownCountryError
from comity.service.assessing import titles_asked
from comity.service.planning import OnProgress, Plan, Wishes, plan

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Rulebook
    from comity.service.assessing import Inputs, TodayAt
    from comity.service.planning_limits import OnRefining

_N_NAMED: Final = 6
"""How many published sittings a message names."""


@dataclass(frozen=True, slots=True)
class Planned:
    """Plans made, and what kept others from being made."""

    plans: tuple[Plan, ...]
    problems: tuple[Problem, ...]


def plan_all(  # noqa: PLR0913 - two of them only listen
    inputs: Inputs,
    wishes: Callable[[Day], Wishes],
    *,
    today_at: TodayAt,
    title: str | None = None,
    start: Day | None = None,
    on_progress: OnProgress | None = None,
    on_refining: OnRefining | None = None,
) -> Planned:
    """Return the plans of all applicants for all titles asked for, in file order.

    Parameters
    ----------
    inputs : Inputs
        Sound files of applicants and of rulebooks.
    wishes : callable
        From the first day of a plan to what is wished.
    today_at : callable
        Gives the day it is at an authority's seat.
    title : str or None
        Id of a title, or authority/title; None for all.
    start : Day or None
        The first day of every plan; None for today at the authority's seat.
    on_progress : callable, optional
        Told what is being worked on.
    on_refining : callable, optional
        Told of every better plan within limits; returns whether to go on.
    """
    plans, problems = [], list[Problem]()
    problems += _unknown_sittings(inputs, title, wished=wishes(start or today_at(None)))
    if problems:
        return Planned((), tuple(problems))
    for each in inputs.applicants:
        if each.applicant is None:
            continue
        for rulebook, title_id in titles_asked(inputs.rulebooks, title):
            first = today_at(rulebook.authority.time_zone) if start is None else start
            wished = wishes(first)
            try:
                plans.append(
                    plan(
                        each.applicant,
                        rulebook,
                        title_id,
                        wishes=wished,
                        on_progress=on_progress,
                        on_refining=on_refining,
                    )
                )
            except MissingRateError as error:
                problems.append(_missing_rate(error))
            except UnknownCountryError as error:
                problems += _unknown_country(str(error), rulebook, inputs)
    return Planned(tuple(plans), tuple(dict.fromkeys(problems)))


def _unknown_sittings(inputs: Inputs, title: str | None, *, wished: Wishes) -> Iterator[Problem]:
    """Yield what is wrong with sittings that are named: none of the titles asked for has them."""
    named = (() if wished.sitting is None else (wished.sitting,)) + wished.skipped_sittings
    if not named:
        return
    found = [
        examination
        for rulebook, title_id in titles_asked(inputs.rulebooks, title)
        for edition in rulebook.editions
        if (listed := title_of(edition, title_id)) is not None
        for examination in listed.examinations
    ]
    if any(each.by_appointment for each in found):
        return
    known = sorted({s.on for each in found for s in each.sittings if s.on >= wished.start})
    for day in named:
        if day not in known:
            yield Problem(
                "P206",
                f"no sitting of an examination is published on {iso(day)}",
                got=iso(day),
                expected=either(iso(each) for each in known[:_N_NAMED])
                if known
                else "an examination with sittings that lie ahead",
                hint="name a published day, or take the first from a day on with --sittings-from",
            )


def _missing_rate(error: MissingRateError) -> Problem:
    return Problem(
        "P204",
        f"no exchange rate is known for {error.currency} on or before {iso(error.day)}",
        got=error.currency,
        expected="a file of rates that has it, or another currency to count in",
        hint="name one with --rates, as eurofxref-hist.csv of the European Central Bank",
    )


def _unknown_country(country: str, rulebook: Rulebook, inputs: Inputs) -> Iterator[Problem]:
    for file in inputs.loaded.files:
        if file.edition not in rulebook.editions:
            continue
        for index, party in enumerate(file.edition.parties):
            if party.holidays_of == country:
                yield Problem(
                    "P205",
                    "no public holidays are known for this country",
                    place=file.place_of(("parties", index, "holidays_of")),
                    got=repr(country),
                    expected="a country that the calendar of public holidays has",
                    hint="list the days under `holidays`",
                )
