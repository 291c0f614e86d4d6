"""Turn Vega-Lite specifications into SVG."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from comity.brief.typeface import FONT_FOLDER

if TYPE_CHECKING:
    from types import ModuleType

    from comity.charts.palette import Spec


def drawn(spec: Spec) -> str:
    """Return the SVG of a specification, its texts kept as text in our typefaces.

    Nothing is fetched: a specification that names an address is refused by the converter.
    """
    svg: str = _converter().vegalite_to_svg(spec, allowed_base_urls=[])
    return svg


@cache
def _converter() -> ModuleType:
    """Return the converter, told once where our typefaces are."""
    import vl_convert  # noqa: PLC0415  # loaded only when a picture is made: commands start fast

    vl_convert.register_font_directory(str(FONT_FOLDER))
    return vl_convert
