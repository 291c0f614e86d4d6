"""Ink, type and measures shared by all charts; nothing here carries meaning by colour alone."""

from __future__ import annotations

from typing import Any, Final

Spec = dict[str, Any]
"""A Vega-Lite specification, or a part of one."""

SCHEMA: Final = "https://vega.github.io/schema/vega-lite/v6.json"
FONT: Final = "IBM Plex Sans, IBM Plex Sans Arabic, sans-serif"

INK: Final = "#1c2a35"
MUTED: Final = "#55626d"
HAIRLINE: Final = "#d3d9de"
BAR: Final = "#27566b"
PAPER: Final = "#ffffff"


def base_config() -> Spec:
    """Return the configuration every chart starts from."""
    return {
        "font": FONT,
        "background": PAPER,
        "view": {"stroke": None},
        "text": {"font": FONT, "fontSize": 10.5, "fill": INK},
    }
