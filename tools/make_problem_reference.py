"""Write the reference of problem codes: ``python -m tools.make_problem_reference``.

The page is derived from the table in the core and checked by tests/unit/core/test_problem_codes.py.
"""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Final

from comity.core.problem_codes import PROBLEM_CODES, ProblemCode

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "reference" / "problems.md"
BAD = ROOT / "tests" / "assets" / "bad"
NOTE = (
    "<!-- Made by `python -m tools.make_problem_reference`;"
    " change src/comity/core/problem_codes.py instead. -->"
)
OPENING = (
    "Everything Comity can find wrong with a file, by code. A message says where it is, what was"
    " found, what was expected and how to mend it; all problems are told in one run. With `--json`"
    " the same comes as data. The examples are the messages themselves."
)
AREAS: Final = {
    "F": "Files",
    "R": "Rulebooks",
    "E": "Eligibility",
    "P": "Plans",
    "X": "Examination",
}


def reference() -> str:
    """Return the page."""
    parts = ["# Problems", NOTE, OPENING]
    for letter, codes in groupby(sorted(PROBLEM_CODES), key=lambda code: code[0]):
        parts.append(f"## {AREAS[letter]}")
        parts += [_section(code, PROBLEM_CODES[code]) for code in codes]
    return "\n\n".join(parts) + "\n"


def _section(code: str, problem: ProblemCode) -> str:
    shown = (BAD / f"{code}.txt").read_text(encoding="utf-8").rstrip("\n")
    return "\n\n".join(
        (
            f"### {code}: {problem.title}",
            problem.explanation,
            f"```text\n{shown}\n```",
            f"Mended: {problem.mending}",
        )
    )


if __name__ == "__main__":
    PAGE.write_text(reference(), encoding="utf-8")
