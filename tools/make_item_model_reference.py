"""Write the reference of item models: ``python -m tools.make_item_model_reference``.

Keys come from the declarations, equations from the core; tests/unit/bank/test_reference.py checks
that the page is current.
"""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Final

from comity.core.exam.equations import EQUATIONS, Choice, Equation, Quantity
from comity.core.exam.item_models import ItemModel
from comity.core.exam.item_models.formula import FUNCTIONS
from tools.make_file_reference import records_below, section_of

PAGE: Final = Path(__file__).parent.parent / "docs" / "reference" / "item-models.md"
NOTE: Final = (
    "<!-- Made by `python -m tools.make_item_model_reference`; change the core instead. -->"
)
OPENING: Final = (
    "What a file about an item model may hold, the language of its formulas, and every equation"
    " that a formula may call. How to write one: [write an item"
    " model](../how-to/write-an-item-model.md)."
)
CAUTION: Final = (
    "For education and exam practice only. Nothing here is for the care of patients, and no result"
    " may be used to treat, dose or feed anyone."
)
LANGUAGE: Final = """## Formulas

Formulas are closed: they reach no file, no network and no program.

| written | means |
|---|---|
| `72`, `0.85` | numbers, with a point |
| `weight` | a parameter, or a value said before; wrong turns also know `key` |
| `'female'` | a word, in single quotes |
| `+ - * / ^` | arithmetic; `^` binds closest |
| `< <= > >= = !=` | comparisons; noise of binary fractions makes no difference |
| `and or not` | joined comparisons |
| `if(sex = 'male', 5, -161)` | the second part where the first holds, else the third |
| `round(x, 1)` | half up, to whole numbers where no places are said |
| `round_up`, `round_down` | always up, always down |
| `bmi(weight_kg = weight, height_cm = height)` | an equation by its id, each argument by name |

Functions: {functions}.

A draw is refused where arithmetic has no answer, where an equation is asked outside its range,
where a limit or guard does not hold, where a wrong answer lies within the tolerance of the key, and
where two answers look the same. Left out, the tolerance is one unit of the last place that is
shown, or half a per cent of the key, whichever is more. A wrong turn that comes to nothing for a
draw is left out of it; three have to remain.

## What every item carries

The question; the lines to go by (each equation called, with version and constants, the model's own
rules, the rounding); four options in order of their numbers; the worked solution; the cautions;
model, version, seed and draw, which make the same item again; the error behind each wrong option
and its family; and the mark that it is teaching material which no practitioner has reviewed yet.
"""
GROUPS: Final = {
    "A": "Anthropometry and growth",
    "B": "Energy",
    "C": "Protein and nitrogen",
    "D": "Fluid",
    "E": "Laboratory and minerals",
    "F": "Kidney",
    "G": "Diabetes",
    "H": "Lipids",
    "I": "Feeding by vein",
    "J": "Feeding by tube",
    "K": "Screening and diagnosis",
    "L": "Pregnancy, infants, special diets",
    "M": "Food service",
    "N": "Labels and units of nutrients",
    "O": "Statistics and public health",
}


def reference() -> str:
    """Return the page."""
    keys = [section_of(record) for record in records_below(ItemModel, elsewhere=set())]
    functions = ", ".join(f"`{name}`" for name in FUNCTIONS)
    parts = ["# Item models", NOTE, OPENING, CAUTION, *keys, LANGUAGE.format(functions=functions)]
    parts.append(
        "## Equations\n\n`confirmed`: the coefficients were seen in a source or reproduced by a"
        " reference package. `definition`: arithmetic that needs no source. `from memory, not yet"
        " opened`: to be compared with the primary publication; items that use it say so."
    )
    for group, equations in groupby(EQUATIONS.values(), key=lambda each: each.group[0]):
        parts.append(f"### {group}: {GROUPS[group]}")
        parts += [_section(each) for each in equations]
    return "\n\n".join(part.rstrip("\n") for part in parts) + "\n"


def _section(equation: Equation) -> str:
    lines = [
        f"**`{equation.id}`** {equation.title}, {equation.version} ({equation.group}).",
        f"- {equation.states}",
        f"- takes {'; '.join(_asked(each) for each in equation.inputs)}",
        f"- gives {equation.unit or 'a number or word without unit'}",
        f"- {equation.source} ({equation.year}); {equation.status}",
    ]
    return "\n".join(
        lines[:1] + [""] + lines[1:] + ([f"- {equation.note}"] if equation.note else [])
    )


def _asked(each: Quantity | Choice) -> str:
    if isinstance(each, Choice):
        return f"`{each.name}`: " + " or ".join(f"'{word}'" for word in each.words)
    unit = f" {each.unit}" if each.unit else ""
    return f"`{each.name}`: {each.low:g} to {each.high:g}{unit}"


if __name__ == "__main__":
    PAGE.write_text(reference(), encoding="utf-8")
