"""The command ``comity exam standard``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Final, Literal

import typer

from comity.cli.exam_options import print_json, refuse_sentence, say
from comity.cli.options import Json, refuse
from comity.core.exam.standards import StandardSettingError, angoff
from comity.files.ratings import load_ratings

_RULES: Final = {"means": "item means", "complete": "complete judges"}


def standard(
    ratings: Annotated[
        Path,
        typer.Argument(
            metavar="RATINGS",
            help="CSV: judge in the first column, then a column an item; shares as 0.7 or 70 %.",
            show_default=False,
        ),
    ],
    *,
    missing: Annotated[
        Literal["means", "complete"],
        typer.Option(
            help="Where ratings are missing: add up the means of the items, or leave out judges who"
            " did not rate everything."
        ),
    ] = "means",
    as_data: Json = False,
) -> None:
    """Set a pass mark from what judges expect of somebody only just good enough (modified Angoff).

    Each judge says for each item how many of a hundred such people would know it. The pass mark is
    the sum over the items, with its standard error over judges.

    Example: comity exam standard ratings.csv
    """
    loaded = load_ratings(ratings)
    if loaded.problems:
        refuse(loaded.problems, {loaded.file: loaded.text}, as_data=as_data)
    try:
        found = angoff(
            loaded.shares, missing="item means" if missing == "means" else "complete judges"
        )
    except StandardSettingError as error:
        refuse_sentence(error, as_data=as_data)
    n_items = len(loaded.items)
    share = None if found.cut is None else found.cut / n_items
    if as_data:
        print_json(
            {
                "judges": len(loaded.judges),
                "items": n_items,
                "cut": found.cut,
                "share": share,
                "standard_error": found.standard_error,
                "rule": found.rule,
                "reason": found.reason,
            }
        )
        return
    say([f"{len(loaded.judges)} judges, {n_items} items."])
    if found.cut is None:
        say([f"No pass mark: {found.reason}."])
        return
    say([f"Pass mark: {found.cut:.2f} of {n_items} right ({found.cut / n_items:.1%})."])
    if found.standard_error is None:
        say([f"No standard error: {found.reason}."])
    else:
        low, high = (found.cut + step * found.standard_error for step in (-1, 1))
        said = (
            f"Standard error over judges: {found.standard_error:.2f} items; other judges would"
            f" often set it between {low:.2f} and {high:.2f}."
        )
        say([said])
    say([f"Rule: {found.rule}."])
