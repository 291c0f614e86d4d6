"""The commands ``comity exam check|draw|bank``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from comity.cli.exam_options import in_columns, print_json, say
from comity.cli.options import Json, output_of, refuse, tell
from comity.cli.progress import progress
from comity.core.exam.cautions import cautions_beside
from comity.core.problems import Problem
from comity.files.dumping import dump_yaml
from comity.files.rendering import as_json, render
from comity.files.writing import write_whole
from comity.service.exam_inputs import read_exam_files, shipped_models, starter_files
from comity.service.exam_items import draw_items, overview_data, overview_of

if TYPE_CHECKING:
    from comity.core.exam.items import Item
    from comity.service.exam_inputs import ExamFiles
    from comity.service.exam_items import Drawn

Paths = Annotated[
    list[Path],
    typer.Argument(
        metavar="PATH", help="Banks, blueprints and item models, or folders.", show_default=False
    ),
]
MOST_EACH = 200


def check(
    paths: Paths,
    *,
    no_advice: Annotated[
        bool, typer.Option("--no-advice", help="Only mistakes, no advice on how items are written.")
    ] = False,
    as_data: Json = False,
) -> None:
    """Look for mistakes in banks, blueprints and item models.

    Everything wrong is told at once, each with its line and how to mend it; advice on how items are
    written comes as warnings, which do no harm. Exit status 1 if something has to be mended.

    Example: comity exam check items
    """
    with progress(str) as on_progress:
        on_progress("Looking through")
        found = read_exam_files(paths, with_warnings=not no_advice)
    n_items = sum(len(bank.items) for bank in found.banks)
    if as_data:
        print_json(
            {
                "items": n_items,
                "blueprints": len(found.blueprints),
                "models": len(found.models),
                "problems": as_json(found.problems),
            }
        )
    else:
        if found.problems:
            typer.echo(render(found.problems, found.texts))
        typer.echo(_summary(found, n_items))
    raise typer.Exit(0 if found.is_sound else 1)


def _summary(found: ExamFiles, n_items: int) -> str:
    looked_at = ", ".join(
        (
            _counted(n_items, "item"),
            _counted(len(found.blueprints), "blueprint"),
            _counted(len(found.models), "item model"),
        )
    )
    n_errors = sum(problem.severity == "error" for problem in found.problems)
    n_warnings = len(found.problems) - n_errors
    verdict = f"{_counted(n_errors, 'thing')} to mend" if n_errors else "nothing to mend"
    advice = f", {_counted(n_warnings, 'warning')}" if n_warnings else ""
    return f"{looked_at} looked at: {verdict}{advice}."


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def draw(
    models: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[MODEL]…",
            help="Files of item models, or names of models that come with Comity.",
            show_default=False,
        ),
    ] = None,
    *,
    every: Annotated[
        bool, typer.Option("--all", help="From all models that come with Comity; takes longer.")
    ] = False,
    count: Annotated[
        int, typer.Option(min=1, max=MOST_EACH, metavar="N", help="Items of each model.")
    ] = 1,
    seed: Annotated[
        int, typer.Option(min=0, metavar="N", help="Another number gives other items.")
    ] = 1,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", metavar="FILE", help="Write them as a bank into this file."),
    ] = None,
    as_data: Json = False,
) -> None:
    """Draw items from item models; the same seed gives the same items.

    Each comes with its key, its worked solution, the error behind each wrong answer, and what to be
    careful about.

    Example: comity exam draw bmi tube-rate --count 2 --seed 7
    """
    if not models and not every:
        msg = "name models, or say --all."
        raise typer.BadParameter(msg, param_hint="MODEL")
    if output is not None:
        output_of(output, inputs=[Path(each) for each in models or ()])
    with progress(str) as on_progress:
        on_progress("Reading item models")
        found = _models(models or [])
        if not found.is_sound:
            refuse(found.problems, found.texts, as_data=as_data)
        on_progress("Drawing items")
        drawn = draw_items(found.models, n_each=count, seed=seed)
    if drawn.problems:
        tell(drawn.problems, {}, as_data=as_data)
    if output is not None and drawn.items:
        write_whole(output, dump_yaml(drawn.as_bank()))
        typer.echo(f"{output}: {_counted(len(drawn.items), 'item')}.", err=True)
    elif as_data:
        print_json([_item_data(item, drawn) for item in drawn.items])
    else:
        for item in drawn.items:
            _say_item(item, drawn)
    raise typer.Exit(1 if drawn.problems else 0)


def _models(named: list[str]) -> ExamFiles:
    files = [each for each in named if each.endswith((".yaml", ".yml")) or Path(each).exists()]
    if files and len(files) < len(named):
        msg = "name either files or models that come with Comity, not both."
        raise typer.BadParameter(msg, param_hint="MODEL")
    if not files:
        return shipped_models(named)
    found = read_exam_files(Path(each) for each in files)
    if found.is_sound and not found.models:
        problem = Problem(
            "X509",
            "the file is neither a bank, a blueprint nor an item model",
            got=", ".join(files),
            expected="an item model here",
        )
        refuse([problem], found.texts)
    return found


def _item_data(item: Item, drawn: Drawn) -> dict[str, object]:
    return {
        "id": item.id,
        "domain": item.domain,
        "level": item.level.value,
        "stem": item.stem,
        "options": [
            {"id": each.id, "text": each.text, "is_key": each.id in item.keys, "error": each.error}
            for each in item.choices
        ],
        "explanation": item.explanation,
        "source": item.source,
        "cautions": list(drawn.cautions[item.id]),
    }


def _say_item(item: Item, drawn: Drawn) -> None:
    say([f"{item.id} ({item.domain}, {item.level.value})", *item.stem.splitlines(), ""])
    for option in item.choices:
        mark = "*" if option.id in item.keys else " "
        error = f"  ({option.error})" if option.error else ""
        say([f" {mark}{option.id}  {option.text}{error}"])
    say(["", *(f"  {line}" for line in (item.explanation or "").splitlines())])
    say([f"  Source: {item.source}"])
    cautions = cautions_beside(item, drawn.cautions, names_source=True)
    say([*(f"  {line}" for line in cautions), ""])


def bank(
    paths: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[PATH]…",
            help="Banks, or folders of them. Left out: the starter bank.",
            show_default=False,
        ),
    ] = None,
    *,
    as_data: Json = False,
) -> None:
    """Say what a bank holds: items by domain, level, kind, and how far they were read.

    Example: comity exam bank
    """
    found = read_exam_files(paths) if paths else starter_files()
    if not found.is_sound:
        refuse(found.problems, found.texts, as_data=as_data)
    seen = overview_of(found.banks)
    if as_data:
        print_json(overview_data(seen))
        return
    typer.echo(f"{_counted(seen.n_items, 'item')}, {_counted(seen.n_cases, 'case')}.")
    for what, counts in seen.counts.items():
        typer.echo(f"\nBy {what}:")
        rows = [[f"  {name}", str(n)] for name, n in counts.items()]
        typer.echo("\n".join(in_columns(rows, right=(1,))))
    typer.echo(
        f"\nWith an explanation: {seen.n_with_explanation}. Drawn from models: {seen.n_drawn}."
        f" Judged beforehand: {seen.n_judged}. About what harms: {seen.n_high_risk}."
    )
