"""Run Typst with our typefaces only; data goes in as JSON, never as markup."""

from __future__ import annotations

import json
from datetime import UTC, datetime, time
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from comity.brief.typeface import FONT_FOLDER
from comity.core.days.calendar import date_from_day

if TYPE_CHECKING:
    from collections.abc import Mapping

    import typst

    from comity.core.days.calendar import Day

TEMPLATE_FOLDER: Final = Path(__file__).parent / "templates"


def typeset(template: str, *, data: Mapping[str, Any], on: Day) -> bytes:
    """Return the PDF of a template.

    The document is tagged (PDF/UA-1) and bears the given day as its date, never the clock's, so
    that the same input gives the same bytes.

    Parameters
    ----------
    template : str
        File name in the templates' folder.
    data : mapping
        What the template reads from ``sys.inputs.data``; texts are shown, never run.
    on : Day
        The document's date.
    """
    created = datetime.combine(date_from_day(on), time(), tzinfo=UTC)
    pdf = _compiler(template, data).compile(format="pdf", pdf_standards=["ua-1"], timestamp=created)
    if not isinstance(pdf, bytes):
        message = f"expected one PDF from Typst, got {type(pdf).__name__}"
        raise TypeError(message)
    return pdf


def _compiler(template: str, data: Mapping[str, Any]) -> typst.Compiler:
    """Return a compiler that sees the templates, our typefaces and nothing else."""
    import typst  # noqa: PLC0415  # loaded only when a document is made: commands start fast

    return typst.Compiler(
        TEMPLATE_FOLDER / template,
        root=TEMPLATE_FOLDER,
        font_paths=_fonts(),
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )


@cache
def _fonts() -> typst.Fonts:
    """Return our typefaces, without the system's and without Typst's own."""
    import typst  # noqa: PLC0415  # see above

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONT_FOLDER)]
    )
