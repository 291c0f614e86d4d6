"""The commands ``comity exam …``, each loaded when it is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import typer

from comity.cli.lazy import LazyGroup

if TYPE_CHECKING:
    from collections.abc import Mapping


class ExamGroup(LazyGroup):
    """The commands about examinations, by the places of their functions."""

    places: ClassVar[Mapping[str, str]] = {
        "check": "comity.cli.exam_items:check",
        "draw": "comity.cli.exam_items:draw",
        "bank": "comity.cli.exam_items:bank",
        "convert": "comity.cli.exam_convert:convert",
        "form": "comity.cli.exam_form:form",
        "figures": "comity.cli.exam_figures:figures",
        "standard": "comity.cli.exam_standard:standard",
        "practise": "comity.cli.exam_practise:practise",
        "ready": "comity.cli.exam_ready:ready",
    }


app = typer.Typer(
    cls=ExamGroup,
    add_completion=False,
    help="Write items, make forms, read figures, and tell who is ready.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


@app.callback()
def _exam() -> None:
    """Write items, make forms, read figures, and tell who is ready."""
