"""Options that several commands share, and how they read what was typed."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Final, Literal, NoReturn
from zoneinfo import ZoneInfo

import typer

from comity.core.days.calendar import Day, day_from_date
from comity.core.problems import Problem
from comity.files.rendering import as_json, render

Applicants = Annotated[
    list[Path],
    typer.Argument(metavar="APPLICANT…", help="Applicant files.", show_default=False),
]
OneApplicant = Annotated[
    Path, typer.Argument(metavar="APPLICANT", help="An applicant file.", show_default=False)
]
Rulebooks = Annotated[
    list[Path],
    typer.Option(
        "--rulebook",
        metavar="PATH",
        help="An edition, an authority's folder, or a folder of them; may be given again.",
        show_default=False,
    ),
]
Title = Annotated[
    str | None,
    typer.Option(metavar="TITLE", help="Only this title, as dietitian or authority/dietitian."),
]
On = Annotated[
    str | None,
    typer.Option(metavar="DATE", help="The day of submission asked about; today if left out."),
]
Today = Annotated[
    str | None,
    typer.Option(
        metavar="DATE",
        envvar="COMITY_TODAY",
        help="The day that counts as today; the real one at the authority's seat if left out.",
    ),
]
Assume = Annotated[
    Literal["continues", "stops"],
    typer.Option(help="Whether posts which go on are taken to go on, or to end today."),
]
Confirmed = Annotated[
    bool, typer.Option("--confirmed", help="Count only what its issuer has confirmed.")
]
Json = Annotated[bool, typer.Option("--json", help="Answer as JSON, for programs.")]

_FIRST_YEAR: Final = 1900
_LAST_YEAR: Final = 2250


def day_of(text: str | None, option: str) -> Day | None:
    """Return the day typed after an option; wrong usage ends the command with status 2."""
    if text is None:
        return None
    try:
        value = date.fromisoformat(text.strip())
    except ValueError:
        msg = f"{text!r} is no day; write year-month-day, as 2026-11-25."
        raise typer.BadParameter(msg, param_hint=option) from None
    if not _FIRST_YEAR <= value.year <= _LAST_YEAR:
        msg = f"{text} is too far away; days go from {_FIRST_YEAR} to {_LAST_YEAR}."
        raise typer.BadParameter(msg, param_hint=option)
    return day_from_date(value)


def output_of(path: Path, *, inputs: Iterable[Path], option: str = "--output") -> Path:
    """Return where to write; a file that is read is never written over (status 2)."""
    for each in inputs:
        if os.path.realpath(path) == os.path.realpath(each):
            msg = f"{path} is the file that is read; name another one."
            raise typer.BadParameter(msg, param_hint=option)
    return path


class Clock:
    """Tells the day it is, once for each time zone."""

    def __init__(self, fixed: Day | None) -> None:
        """Take the day that counts as today, or None for the real one."""
        self.fixed = fixed
        self._known: dict[str | None, Day] = {}

    def today_at(self, time_zone: str | None = None) -> Day:
        """Return the day it is at an authority's seat, or here."""
        if self.fixed is not None:
            return self.fixed
        known = self._known.get(time_zone)
        if known is None:
            zone = None if time_zone is None else ZoneInfo(time_zone)
            now = datetime.now(zone) if zone else datetime.now().astimezone()
            known = self._known[time_zone] = day_from_date(now.date())
        return known


def tell(problems: Iterable[Problem], texts: Mapping[str, str], *, as_data: bool = False) -> None:
    """Say on standard error what is wrong, as text or as JSON."""
    if as_data:
        data = {"problems": as_json(problems)}
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2), err=True)
    else:
        typer.echo(render(problems, texts), err=True)


def refuse(
    problems: Iterable[Problem], texts: Mapping[str, str], *, as_data: bool = False
) -> NoReturn:
    """Say what is wrong and end the command with status 1."""
    tell(problems, texts, as_data=as_data)
    raise typer.Exit(1)
