"""Write which characters the shipped typefaces can show, as ranges of code points.

Run after the fonts change: ``python tools/font_coverage.py``; needs fontTools.
"""

from __future__ import annotations

from pathlib import Path

from fontTools.ttLib import TTFont

FOLDER = Path(__file__).parent.parent / "src/comity/brief/fonts"
FAMILIES = ("IBMPlexSans", "IBMPlexSansArabic")


def covered() -> set[int]:
    """Return the code points which every weight of at least one family has."""
    families = [
        [set(TTFont(path).getBestCmap()) for path in sorted(FOLDER.glob(f"{family}_*.ttf"))]
        for family in FAMILIES
    ]
    return set.union(*(set.intersection(*weights) for weights in families))


def ranges(codes: set[int]) -> list[str]:
    """Return the code points as hexadecimal ranges, in order."""
    lines: list[list[int]] = []
    for code in sorted(codes):
        if lines and code == lines[-1][1] + 1:
            lines[-1][1] = code
        else:
            lines.append([code, code])
    return [f"{low:04X}-{high:04X}" for low, high in lines]


def main() -> None:
    """Write the file."""
    head = "# Code points the typefaces in this folder can show; made by tools/font_coverage.py"
    text = "\n".join([head, *ranges(covered())]) + "\n"
    (FOLDER / "coverage.txt").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
