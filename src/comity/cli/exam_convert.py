"""The command ``comity exam convert``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

from comity.cli.options import output_of, refuse, tell
from comity.core.problems import Problem
from comity.files.dumping import dump_yaml
from comity.files.item_bank import load_bank
from comity.files.qti_package import export_package, load_package
from comity.files.responses import load_responses, responses_csv, responses_parquet
from comity.files.writing import write_all, write_whole

if TYPE_CHECKING:
    from collections.abc import Mapping

_SORTS: Final = {
    ".yaml": "items",
    ".yml": "items",
    ".zip": "items",
    ".csv": "answers",
    ".parquet": "answers",
}


def convert(
    source: Annotated[
        Path, typer.Argument(metavar="FROM", help="The file to read.", show_default=False)
    ],
    target: Annotated[
        Path, typer.Argument(metavar="TO", help="The file to write.", show_default=False)
    ],
    *,
    layout: Annotated[
        Literal["long", "wide"],
        typer.Option(help="Of answers: a row an answer, or a row a person."),
    ] = "long",
) -> None:
    """Turn items from YAML into a QTI 3.0 package or back, and answers from CSV into Parquet.

    The ends of the names say which: .yaml and .zip are items, .csv and .parquet are answers. What a
    package from elsewhere holds that has no place in a bank is told, and written beside it.

    Example: comity exam convert items.yaml items.zip
    """
    output_of(target, inputs=[source], option="TO")
    from_sort, to_sort = (_SORTS.get(each.suffix.lower(), "") for each in (source, target))
    if not from_sort or from_sort != to_sort:
        msg = (
            f"{source.name} cannot become {target.name}; items are .yaml or .zip, answers are .csv"
            " or .parquet."
        )
        raise typer.BadParameter(msg, param_hint="TO")
    if from_sort == "answers":
        _answers(source, target, layout)
    elif source.suffix.lower() == ".zip":
        _from_package(source, target)
    else:
        _from_bank(source, target)


def _answers(source: Path, target: Path, layout: Literal["long", "wide"]) -> None:
    loaded = load_responses(source)
    if not loaded.is_sound:
        refuse(loaded.problems, {loaded.file: loaded.text})
    write = responses_parquet if target.suffix.lower() == ".parquet" else responses_csv
    write_whole(target, write(loaded.given, layout))
    typer.echo(f"{target}: {len(loaded.given)} answers of {len(loaded.people)} people.")


def _from_bank(source: Path, target: Path) -> None:
    loaded = load_bank(source)
    if loaded.value is None or not loaded.is_sound:
        refuse(loaded.problems, {loaded.file: loaded.text})
    if target.suffix.lower() == ".zip":
        made = export_package(loaded.value)
        _tell_warnings(made.problems)
        write_whole(target, made.data)
    else:
        write_whole(target, dump_yaml(loaded.value))
    typer.echo(f"{target}: {len(loaded.value.items)} items.")


def _from_package(source: Path, target: Path) -> None:
    imported = load_package(source)
    if imported.bank is None or not imported.is_sound:
        refuse(imported.problems, imported.texts)
    _tell_warnings(imported.problems, imported.texts)
    beside = {
        target.with_name(f"{target.stem}-{Path(name).name}"): xml
        for name, xml in imported.left_out.items()
    }
    for path in beside:
        output_of(path, inputs=[source, target], option="TO")
    if target.suffix.lower() == ".zip":
        content: str | bytes = export_package(imported.bank).data
    else:
        content = dump_yaml(imported.bank)
    write_all({target: content, **beside})
    typer.echo(f"{target}: {len(imported.bank.items)} items.")
    for path in beside:
        typer.echo(f"{path}: an item that stayed outside, as it was.")


def _tell_warnings(problems: tuple[Problem, ...], texts: Mapping[str, str] | None = None) -> None:
    if problems:
        tell(problems, texts or {})
