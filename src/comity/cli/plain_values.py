"""Values of options and arguments, read without a library for validation.

Typer asks pydantic to read each of them; that takes longer to load than a whole answer takes. Ours
are texts, paths and words to choose from, so they are read here. Should a later Typer no longer
look for `_runtime_param`, it reads them in its own way, only slower.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import typer


@dataclass(frozen=True, slots=True)
class PlainValue:
    """How one option or argument is read."""

    is_path: bool
    is_list: bool
    choices: tuple[str, ...] = ()

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:  # noqa: ANN401 - as Typer calls it
        """Return what the command is given for what was typed."""
        if self.is_list:
            return [self._one(each, param, ctx) for each in value or ()]
        return None if value is None else self._one(value, param, ctx)

    def _one(self, value: Any, param: Any, ctx: Any) -> Any:  # noqa: ANN401 - see above
        if self.choices and value not in self.choices:
            words = ", ".join(map(repr, self.choices))
            msg = f"{value!r} is not one of {words}."
            raise typer.BadParameter(msg, ctx=ctx, param=param)
        if self.is_path and not value:
            msg = "a path is expected, and nothing stands here."
            raise typer.BadParameter(msg, ctx=ctx, param=param)
        return Path(value) if self.is_path else value


def read_plainly(command: Any, ctx: Any) -> None:  # noqa: ANN401 - Typer's classes are private
    """Let the values of a command, and of the commands below it, be read here."""
    for each in (command, *getattr(command, "commands", {}).values()):
        for param in each.get_params(ctx):
            value = _plain_value(getattr(param, "type_descriptor", None))
            if value is not None:
                param._runtime_param = value


def _plain_value(descriptor: Any) -> PlainValue | None:  # noqa: ANN401 - see above
    """Return how values of a type are read; None for types that are not ours."""
    annotation = getattr(descriptor, "annotation", None)
    is_list = get_origin(annotation) is list
    inner = get_args(annotation)[0] if is_list else annotation
    if get_origin(inner) is Literal:
        return PlainValue(is_path=False, is_list=is_list, choices=get_args(inner))
    if inner in {Path, str, bool}:
        return PlainValue(is_path=inner is Path, is_list=is_list)
    return None
