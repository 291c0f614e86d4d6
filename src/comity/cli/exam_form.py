"""The command ``comity exam form``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from comity.cli.exam_options import (
    Banks,
    OneBlueprint,
    bank_of,
    blueprint_of,
    in_columns,
    print_json,
    say,
)
from comity.cli.options import Json, output_of, refuse, tell
from comity.cli.progress import progress
from comity.core.exam.assembly_request import LEFT_ASIDE, Infeasible, Request
from comity.files.dumping import dump_yaml
from comity.files.item_bank import load_bank
from comity.files.qti_package import export_package
from comity.files.writing import write_all
from comity.service.exam_forms import assembled_data, form_bank, forms_of, infeasible_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.assembly_request import Assembled, Form
    from comity.core.exam.items import Bank
    from comity.core.problems import Problem

MOST_FORMS: Final = 20


def form(  # noqa: PLR0913 - each parameter is an option of the command
    *,
    bank: Banks = None,
    blueprint: OneBlueprint = None,
    forms: Annotated[
        int, typer.Option(min=1, max=MOST_FORMS, metavar="N", help="Forms that share no item.")
    ] = 1,
    items: Annotated[
        int | None,
        typer.Option(min=1, metavar="N", help="Items in each. Left out: as the blueprint says."),
    ] = None,
    minutes: Annotated[
        int | None, typer.Option(min=1, metavar="N", help="Time for each form.")
    ] = None,
    earlier: Annotated[
        list[Path] | None,
        typer.Option(metavar="FILE", help="A form given before, as YAML; may be given again."),
    ] = None,
    shared: Annotated[
        int, typer.Option(min=0, metavar="N", help="Items that may be shared with each of them.")
    ] = 0,
    without: Annotated[
        list[str] | None,
        typer.Option(metavar="ID", help="An item not to be used; may be given again."),
    ] = None,
    slack: Annotated[
        int,
        typer.Option(min=0, metavar="N", help="Items by which all but the domains may differ."),
    ] = 0,
    leave_aside: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT",
            help="A condition not to be asked for: level, part, calculating, time or writing; may"
            " be given again.",
        ),
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.1, max=3600, metavar="N", help="How long to search at most.")
    ] = 30.0,
    seed: Annotated[
        int, typer.Option(min=0, metavar="N", help="Decides between items as good as each other.")
    ] = 0,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="Write the forms: .yaml as banks, .zip as QTI packages; several get numbers.",
        ),
    ] = None,
    as_data: Json = False,
) -> None:
    """Assemble forms to a blueprint: alike, sharing no item, telling most at the pass mark.

    The domains are kept exactly. Where no form can be made, the conditions that fail are named, and
    the exit status is 1.

    Example: comity exam form --bank items.yaml --forms 2 --items 20 -o form.yaml
    """
    paths = [] if output is None else _paths(output, forms)
    for path in paths:
        output_of(
            path, inputs=[*(bank or []), *(earlier or []), *([blueprint] if blueprint else [])]
        )
    whole = bank_of(bank, as_data=as_data)
    outline = blueprint_of(blueprint, as_data=as_data)
    request = Request(
        n_forms=forms,
        n_items=items,
        minutes=minutes,
        earlier=_earlier(earlier or [], as_data=as_data),
        most_shared=shared,
        without=frozenset(without or ()),
        slack=slack,
        leave_aside=_left_aside(leave_aside or ()),
        seconds=seconds,
        seed=seed,
    )
    with progress(str) as on_progress:
        on_progress("Assembling forms")
        found = forms_of(whole, outline, request)
    if isinstance(found, Infeasible):
        _refuse(found, as_data=as_data)
        return
    names = [path.stem for path in paths] or [f"form-{n + 1}" for n in range(forms)]
    _write(found, whole, paths)
    if as_data:
        print_json(assembled_data(found, names))
    else:
        _say(found, names)


def _left_aside(named: Sequence[str]) -> frozenset[str]:
    for each in named:
        if each not in LEFT_ASIDE:
            msg = f"{each!r} is none of {', '.join(sorted(LEFT_ASIDE))}."
            raise typer.BadParameter(msg, param_hint="--leave-aside")
    return frozenset(named)


def _earlier(paths: Sequence[Path], *, as_data: bool) -> tuple[frozenset[str], ...]:
    forms: list[frozenset[str]] = []
    for path in paths:
        loaded = load_bank(path)
        if loaded.value is None or not loaded.is_sound:
            refuse(loaded.problems, {loaded.file: loaded.text}, as_data=as_data)
        forms.append(frozenset(item.id for item in loaded.value.items))
    return tuple(forms)


def _refuse(found: Infeasible, *, as_data: bool) -> None:
    if as_data:
        print_json(infeasible_data(found))
    else:
        said = "No such form can be made." if found.is_proved else "No form was found."
        say([said, *(f"  {reason}" for reason in found.reasons)])
        if found.together:
            say(["Any one of these left out would help:", *(f"  {e}" for e in found.together)])
        say(["Ask for fewer items or forms, allow --slack, or write items where they are short."])
    raise typer.Exit(1)


def _paths(output: Path, n_forms: int) -> list[Path]:
    if output.suffix.lower() not in {".yaml", ".yml", ".zip"}:
        msg = f"{output.name} must end in .yaml or .zip."
        raise typer.BadParameter(msg, param_hint="--output")
    if n_forms == 1:
        return [output]
    return [output.with_stem(f"{output.stem}-{number + 1}") for number in range(n_forms)]


def _write(found: Assembled, bank: Bank, paths: Sequence[Path]) -> None:
    contents: dict[Path, str | bytes] = {}
    warnings: list[Problem] = []
    for path, made in zip(paths, found.forms, strict=False):
        whole = form_bank(bank, made, "form")
        if path.suffix.lower() == ".zip":
            package = export_package(whole)
            warnings += package.problems
            contents[path] = package.data
        else:
            contents[path] = dump_yaml(whole)
    if contents:
        write_all(contents)
    if warnings:
        tell(warnings, {})


def _say(found: Assembled, names: Sequence[str]) -> None:
    for name, made in zip(names, found.forms, strict=True):
        say([f"{name}: {len(made.items)} items, {made.seconds / 60:.0f} minutes."])
        typer.echo("\n".join(in_columns(_rows(made), right=(1, 2, 3))))
        for number, n_shared in enumerate(made.shared, 1):
            say([f"  {n_shared} shared with earlier form {number}."])
        typer.echo()
    proved = "no forms can tell more" if found.is_proved else "others might tell more"
    say([f"Information at the pass mark: {found.objective:.2f}; {proved}.", *found.notes])


def _rows(made: Form) -> list[list[str]]:
    levels = sorted({level for _domain, level in made.counts}, key=str)
    domains = list(dict.fromkeys(domain for domain, _level in made.counts))
    head = ["  domain", *(level.value for level in levels)]
    return [
        head,
        *(
            [f"  {domain}", *(str(made.counts.get((domain, level), 0)) for level in levels)]
            for domain in domains
        ),
    ]
