"""The command ``comity ask``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from comity.cli.options import Clock, Rulebooks, Title, Today, day_of, refuse
from comity.cli.sentences import MARKS, Line, laid_out
from comity.core.eligibility.assessment import Assessment
from comity.core.eligibility.questions import Question
from comity.service.answers import AnswerError, is_dont_know, readings_of
from comity.service.assessing import read_rulebooks, titles_asked
from comity.service.intake import Intake, load_or_begin

_LEAVE = {"stop", "quit", "exit", "q"}
_BACK = {"back", "undo"}
_MOST_REASONS = 2


def ask(
    applicant: Annotated[
        Path,
        typer.Argument(
            metavar="APPLICANT",
            help="An applicant file; a new one is begun where there is none.",
            show_default=False,
        ),
    ],
    *,
    rulebook: Rulebooks,
    title: Title = None,
    today: Today = None,
) -> None:
    """Ask a person only what matters, and keep each answer.

    Of all facts still unknown it asks first for the one that settles most titles, and stops when
    nothing more can change an answer. Every answer stands in the file at once: stop whenever you
    like, and type the same command to go on.

    Example: comity ask amara.yaml --rulebook rulebooks
    """
    clock = Clock(day_of(today, "--today"))
    begun = load_or_begin(applicant, today=clock.today_at())
    loaded = read_rulebooks(rulebook, today=clock.today_at(), title=title)
    problems = (*begun.problems, *loaded.problems)
    if begun.applicant is None or not (begun.is_sound and loaded.is_sound):
        refuse(problems, {**loaded.texts, begun.file: begun.text})
    intake = Intake(
        applicant,
        begun.text,
        begun.applicant,
        titles_asked(loaded.rulebooks, title),
        clock.today_at,
    )
    _converse(intake)


def _converse(intake: Intake) -> None:
    question = intake.next_question()
    if question is not None:
        typer.echo(
            "Answer as well as you know. Write ? or nothing if you do not know, back to take an\n"
            f"answer back, stop to leave. Each answer is kept in {intake.path} at once."
        )
    while question is not None:
        lines = _question_lines(question, n_titles=len(intake.titles))
        typer.echo(f"\n{laid_out(lines)}")
        if not _answered(intake, question):
            typer.echo(f"\n{_left(intake)}")
            return
        question = intake.next_question()
    typer.echo(f"\n{laid_out(_answer_lines(intake.final_assessments()))}")


def _question_lines(question: Question, *, n_titles: int) -> Iterator[Line]:
    yield Line(question.text)
    if question.kind != "listed":
        for number, (_word, read) in enumerate(question.choices, start=1):
            yield Line(read, 1, f"{number}")
        if question.choices and question.is_open:
            yield Line("or in your own words", 1)
    if question.hint:
        yield Line(question.hint, 1)
    more = len(question.because) - _MOST_REASONS
    waiting = "; ".join(question.because[:_MOST_REASONS])
    left = f" {question.n_open} of {n_titles} titles are open." if n_titles > 1 else ""
    yield Line(f"Why: {waiting}{f'; and {more} more' if more > 0 else ''}.{left}", 1)


def _answered(intake: Intake, question: Question) -> bool:
    """Ask until there is an answer, or one is taken back; False when the person leaves."""
    while True:
        typed = _typed("> ")
        word = None if typed is None else typed.casefold()
        if typed is None or word in _LEAVE:
            return False
        if word in _BACK:
            if intake.take_back():
                typer.echo("  Taken back.")
                return True
            typer.echo("  There is no answer to take back yet.")
            continue
        meant = _meant(question, typed)
        try:
            if meant is not None:
                intake.answer(question, meant)
                typer.echo(f"  {_kept(question, meant)}")
                return True
        except AnswerError as error:
            typer.echo(f"  That was not understood: {error}.")


def _meant(question: Question, typed: str) -> str | None:
    """Return what was meant, asking back where a list can be read in two ways."""
    if is_dont_know(typed):
        return typed
    readings = readings_of(question, typed)
    if len(readings) == 1:
        return readings[0]
    parts = readings[0].split("; ")
    typer.echo(f"  Are these {len(parts)}: {readings[0]}? Write yes; no if it is one.")
    answer = (_typed("> ") or "").casefold()
    if answer in {"yes", "y"}:
        return readings[0]
    if answer in {"no", "n"}:
        return f"{readings[1]};"
    typer.echo("  Please answer the question again.")
    return None


def _kept(question: Question, meant: str) -> str:
    if is_dont_know(meant):
        return "Kept: you do not know."
    words = [part.strip() for part in meant.split(";") if part.strip()]
    read = {
        key.casefold(): name
        for number, (word, name) in enumerate(question.choices, start=1)
        for key in (str(number), word)
        if question.kind != "listed"
    }
    return f"Kept: {'; '.join(read.get(word.casefold(), word) for word in words)}."


def _typed(prompt: str) -> str | None:
    """Return what the person types; None when they leave, or when there is nobody to type."""
    if sys.stdin is None:
        return None
    try:
        return input(prompt).strip()
    except (EOFError, KeyboardInterrupt):
        typer.echo()
        return None


def _left(intake: Intake) -> str:
    if not intake.n_answers:
        return "Nothing was changed."
    answers = "1 answer is" if intake.n_answers == 1 else f"{intake.n_answers} answers are"
    return f"{answers} kept in {intake.path}. Type the same command to go on."


def _answer_lines(assessments: tuple[Assessment, ...]) -> Iterator[Line]:
    yield Line("Nothing more that you could tell would change an answer. This is how you stand:")
    for assessment in assessments:
        yield Line("")
        name = f"{assessment.title_name}, {assessment.authority_name}"
        yield Line(f"{name}: {assessment.verdict.value}", 0, MARKS[assessment.verdict])
        yield Line(assessment.plain_answer, 1)
    yield Line("")
    every = dict.fromkeys(caution for each in assessments for caution in each.cautions)
    yield from (Line(caution, mark="·") for caution in every)
