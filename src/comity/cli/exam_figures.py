"""The command ``comity exam figures``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from comity.cli.exam_options import (
    Banks,
    Responses,
    bank_of,
    in_columns,
    marked_of,
    percent,
    print_json,
    refuse_sentence,
    say,
)
from comity.cli.options import Json, output_of
from comity.cli.progress import progress
from comity.core.exam.responses import ResponsesError
from comity.files.writing import write_all
from comity.service.exam_figures import ClassFigures, figures_data, figures_of_class

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.exam.classical import Figure
    from comity.service.exam_figures import ItemLine

MOST_REMARKS: Final = 12


def figures(
    responses: Responses,
    *,
    bank: Banks = None,
    scored: Annotated[
        bool,
        typer.Option("--scored", help="The table tells right from wrong itself; no bank is read."),
    ] = False,
    charts: Annotated[
        Path | None,
        typer.Option(
            "--chart",
            metavar="FILE",
            help="Draw the options of the items to look at into this SVG, and, where items lie on a"
            " scale, their information into FILE-information.",
        ),
    ] = None,
    as_data: Json = False,
) -> None:
    """Say what answers tell of items and people: which items to look at first, and why.

    With few people there are plain shares and what cannot be known yet; correlations come with a
    caution below 30 people, places on a common scale only for items with 100 answers or more.

    Example: comity exam figures class.csv --bank items.yaml --chart options.svg
    """
    if charts is not None:
        output_of(charts, inputs=[responses, *(bank or [])], option="--chart")
    marked = marked_of(
        responses, None if scored else bank_of(bank, as_data=as_data), as_data=as_data
    )
    with progress(str) as on_progress:
        on_progress("Working out figures")
        try:
            table = marked.responses()
            found = figures_of_class(table, marked.asked(table), marked.items)
        except ResponsesError as error:
            refuse_sentence(error, as_data=as_data)
    if charts is not None:
        _draw(found, charts)
    if as_data:
        print_json(figures_data(found))
    else:
        _say(found)


def _draw(found: ClassFigures, path: Path) -> None:
    from comity.service.exam_charts import information_chart, options_chart  # noqa: PLC0415

    made = {path: options_chart(found)}
    information = information_chart(found)
    if information:
        made[path.with_stem(f"{path.stem}-information")] = information
    written = {each: svg for each, svg in made.items() if svg}
    write_all(written)
    for each in written:
        typer.echo(f"{each}: drawn.", err=True)
    if path not in written:
        typer.echo("No options were drawn: too few people answered.", err=True)


def _say(found: ClassFigures) -> None:
    say([f"{found.n_people} people, {len(found.items)} items.", *_score_lines(found)])
    say(["", "Look at first:" if found.look_at else "No item stands out as bad."])
    say(f"  {item}: {'; '.join(whys)}." for item, whys in _by_item(found).items())
    typer.echo("\nItems:")
    typer.echo("\n".join(in_columns(list(_rows(found)), right=(1, 2, 3, 4))))
    if found.remarks:
        say(["", "What is odd, and what is done about it:"])
        say(
            f"  {each.subject}: {each.oddity}; {each.rule}."
            for each in found.remarks[:MOST_REMARKS]
        )
        if len(found.remarks) > MOST_REMARKS:
            say([f"  and {len(found.remarks) - MOST_REMARKS} more."])
    if found.not_known:
        say(["", "What cannot be known yet:"])
        say(f"  {each}." for each in found.not_known)


def _by_item(found: ClassFigures) -> dict[str, list[str]]:
    """Return what is suspected of each item, the worst first."""
    by_item: dict[str, list[str]] = {}
    for each in found.look_at:
        by_item.setdefault(each.item, []).append(each.why)
    return by_item


def _score_lines(found: ClassFigures) -> Iterator[str]:
    scores = found.scores
    if scores.mean.value is None:
        yield f"No scores of the whole: {scores.mean.reason}."
        return
    yield (
        f"Right answers of the {scores.n_people} who answered everything: {scores.mean.value:.1f}"
        f" on average, spread {_number(scores.deviation, 1)}."
    )
    yield _told("Reliability (KR-20)", scores.kr20)
    yield _told("Standard error of measurement, in items", scores.standard_error)


def _told(what: str, figure: Figure) -> str:
    if figure.value is None:
        return f"{what}: none; {figure.reason}."
    caution = f" ({figure.reason})" if figure.reason else ""
    return f"{what}: {figure.value:.2f}{caution}."


def _number(figure: Figure, places: int) -> str:
    return "" if figure.value is None else f"{figure.value:.{places}f}"


def _rows(found: ClassFigures) -> Iterator[list[str]]:
    has_rest = any(line.figures.item_rest.value is not None for line in found.items)
    has_scale = any(line.scale for line in found.items)
    yield [
        "item",
        "answers",
        "right",
        "with the rest" if has_rest else "",
        "difficulty" if has_scale else "",
        "",
    ]
    for line in found.items:
        yield [line.id, *_cells(line, has_rest=has_rest), _marks(line)]


def _cells(line: ItemLine, *, has_rest: bool) -> list[str]:
    return [
        str(line.figures.n_answers),
        percent(line.figures.difficulty.value),
        _number(line.figures.item_rest, 2) if has_rest else "",
        "" if line.scale is None else f"{line.scale.difficulty:.2f}",
    ]


def _marks(line: ItemLine) -> str:
    return ", ".join(dict.fromkeys(each.suspicion for each in line.suspicions))
