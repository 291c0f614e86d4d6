"""The command ``comity exam practise``."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from comity.cli.exam_options import (
    Banks,
    OneBlueprint,
    Person,
    bank_of,
    blueprint_of,
    marked_of,
    print_json,
    refuse_sentence,
    say,
)
from comity.cli.options import Clock, Json, Today, day_of, output_of
from comity.core.exam.cautions import cautions_beside
from comity.core.exam.items import Matching, NumberAnswer, SeveralAnswers
from comity.core.exam.responses import ResponsesError
from comity.core.exam.scoring import AnswerError, score
from comity.core.exam.selecting import SelectingError
from comity.core.problems import Place
from comity.files.responses import GivenAnswer, load_responses, responses_csv
from comity.files.writing import write_whole
from comity.service.exam_practice import Practising, practising
from comity.service.exam_responses import answer_in

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.items import Bank, Item
    from comity.core.exam.practice import DatedAnswer

MOST: Final = 200
WHY: Final = {
    "tells most": "tells most about where you stand",
    "about to be forgotten": "to be looked at again before it is forgotten",
}


def practise(  # noqa: PLR0913 - each parameter is an option of the command
    responses: Annotated[
        Path | None,
        typer.Argument(
            metavar="[RESPONSES]",
            help="Answers so far, as CSV or Parquet. Left out: nobody has answered yet.",
            show_default=False,
        ),
    ] = None,
    *,
    person: Person,
    bank: Banks = None,
    blueprint: OneBlueprint = None,
    count: Annotated[int, typer.Option(min=1, max=MOST, metavar="N", help="How many items.")] = 10,
    on: Annotated[
        str | None, typer.Option(metavar="DATE", help="Day of the examination, where it is known.")
    ] = None,
    only_list: Annotated[
        bool, typer.Option("--list", help="Only name the next items, and do not ask them.")
    ] = False,
    keep: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write all answers, old and new, into this CSV."),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, metavar="N", help="Another number, other items.")] = 1,
    as_data: Json = False,
    today: Today = None,
) -> None:
    """Practise: the next items for a person, asked one by one and explained after each answer.

    Items are chosen by what the answers so far tell, kept to the shares of the blueprint, and mixed
    with what is about to be forgotten. An empty line passes an item over; end of input stops.

    Example: comity exam practise class.csv --person p07 --keep after.csv
    """
    if keep is not None:
        output_of(
            keep, inputs=[*(bank or []), *([responses] if responses else [])], option="--keep"
        )
    today_is, exam_on = Clock(day_of(today, "--today")).today_at(), day_of(on, "--on")
    whole = bank_of(bank, as_data=as_data)
    outline = blueprint_of(blueprint, as_data=as_data)
    ahead = _ahead(
        whole, outline, responses, person=person, today=today_is, exam_on=exam_on, seed=seed,
        as_data=as_data,
    )  # fmt: skip
    if only_list or as_data:
        _list(ahead, count, as_data=as_data)
        return
    new = _asked(ahead, count, person=person, today=today_is)
    if keep is not None:
        old = () if responses is None else load_responses(responses).given
        write_whole(keep, responses_csv((*old, *new)))
        typer.echo(f"{keep}: {len(old) + len(new)} answers.", err=True)


def _ahead(  # noqa: PLR0913 - what a practice begins with
    bank: Bank,
    blueprint: Blueprint,
    responses: Path | None,
    *,
    person: str,
    today: Day,
    exam_on: Day | None,
    seed: int,
    as_data: bool,
) -> Practising:
    answers: tuple[DatedAnswer, ...] = ()
    if responses is not None:
        marked = marked_of(responses, bank, as_data=as_data, today=today)
        answers = marked.dated(default=today)
    try:
        return practising(
            answers, bank, blueprint, person=person, today=today, exam_on=exam_on, seed=seed
        )
    except (ResponsesError, SelectingError) as error:
        refuse_sentence(error, as_data=as_data)


def _list(ahead: Practising, count: int, *, as_data: bool) -> None:
    turns = [turn for _ in range(count) if (turn := ahead.next()) is not None]
    if as_data:
        print_json([{"item": t.item, "domain": t.domain, "why": t.why} for t in turns])
        return
    say(f"{turn.item} ({turn.domain}): {WHY[turn.why]}." for turn in turns)
    if len(turns) < count:
        say(["That is all there is."])


def _asked(ahead: Practising, count: int, *, person: str, today: Day) -> tuple[GivenAnswer, ...]:
    """Ask items until there are enough, or the input ends; return the answers."""
    given: list[GivenAnswer] = []
    n_right = 0
    if sys.stdin is None:  # there is nobody to type
        return ()
    with suppress(EOFError, KeyboardInterrupt, typer.Abort):
        for number in range(1, count + 1):
            turn = ahead.next()
            if turn is None:
                say(["There are no more items."])
                break
            item = ahead.items[turn.item]
            _say_item(item, f"{number} of {count}")
            text, is_right = _answer(item)
            if text:
                n_right += is_right
                given.append(
                    GivenAnswer(person, item.id, text, float(is_right), today, Place("", 0, 0))
                )
            _say_after(item, is_right=is_right if text else None)
    typer.echo()
    say([f"{n_right} of {len(given)} right."])
    return tuple(given)


def _say_item(item: Item, place: str) -> None:
    say(["", f"{place}: {item.domain}", *item.stem.splitlines()])
    if isinstance(item, Matching):
        say(f"  {id_}  {text}" for id_, text in item.lines.items())
        say(["Each with one of:"])
    say(f"  {option.id}  {option.text}" for option in item.choices)


def _answer(item: Item) -> tuple[str, bool]:
    """Return what was typed, and whether it is right; empty where the item was passed over."""
    while True:
        text = input(f"{_prompt(item)}: ").strip()
        if not text:
            return "", False
        try:
            return text, score(item, answer_in(item, text)).is_right
        except AnswerError as error:
            say([f"{error}."])


def _prompt(item: Item) -> str:
    if isinstance(item, NumberAnswer):
        return f"Your number{f' in {item.unit}' if item.unit else ''}"
    if isinstance(item, Matching):
        return "Your matches, as a=x b=y"
    return "All that are right, as a c" if isinstance(item, SeveralAnswers) else "Your answer"


def _say_after(item: Item, *, is_right: bool | None) -> None:
    if is_right is not None:
        say(["Right." if is_right else f"Not right: {_key_of(item)}."])
    say([line for line in (item.explanation or "").splitlines() if line])
    say([f"  Read: {each}" for each in item.study])
    say([f"  Source: {item.source}"])
    say(f"  {line}" for line in cautions_beside(item, names_source=True))


def _key_of(item: Item) -> str:
    if isinstance(item, NumberAnswer):
        return f"{float(item.number):g}{f' {item.unit}' if item.unit else ''}"
    if isinstance(item, Matching):
        return ", ".join(f"{line}={option}" for line, option in item.matches.items())
    return ", ".join(f"{each.id}, {each.text}" for each in item.choices if each.id in item.keys)
