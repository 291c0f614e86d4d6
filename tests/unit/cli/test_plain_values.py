from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import pytest
import typer

from comity.cli.plain_values import PlainValue, read_plainly

app = typer.Typer(add_completion=False)


@app.command()
def show(
    first: Path,
    *,
    more: Annotated[list[Path] | None, typer.Option()] = None,
    names: Annotated[list[str], typer.Option()] = [],  # noqa: B006 - as Typer wants it
    word: Annotated[Literal["one", "two"], typer.Option()] = "one",
    text: Annotated[str | None, typer.Option()] = None,
    flag: Annotated[bool, typer.Option("--flag")] = False,
    number: Annotated[int, typer.Option()] = 3,
) -> tuple[object, ...]:
    return first, more, names, word, text, flag, number


def given(*arguments: str) -> object:
    """Return what the command is given for what was typed."""
    command = typer.main.get_command(app)
    read_plainly(command, typer.Context(command))
    return command.main(list(arguments), standalone_mode=False)


def test_values_are_read_as_the_command_declares_them() -> None:
    typed = "a.yaml --more b --more c --names d --word two --text e --flag --number 4"
    read = (Path("a.yaml"), [Path("b"), Path("c")], ["d"], "two", "e", True, 4)
    assert given(*typed.split()) == read


def test_what_is_left_out_has_its_default() -> None:
    assert given("a.yaml") == (Path("a.yaml"), None, [], "one", None, False, 3)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("a", "--word", "three"), "'three' is not one of 'one', 'two'."),
        (("",), "a path is expected, and nothing stands here."),
        (("a", "--more", ""), "a path is expected, and nothing stands here."),
    ],
)
def test_what_was_typed_wrongly_is_told(arguments: tuple[str, ...], message: str) -> None:
    with pytest.raises(typer.BadParameter) as refused:
        given(*arguments)
    assert refused.value.message == message


def test_a_list_may_be_empty_and_a_value_missing() -> None:
    assert PlainValue(is_path=True, is_list=True).coerce(None, None, None) == []
    assert PlainValue(is_path=True, is_list=False).coerce(None, None, None) is None
