"""Item models from their files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.exam.item_models.checking import Flaw, ReadyModel, make_ready
from comity.core.exam.item_models.model import ItemModel
from comity.core.exam.item_models.trying import MAX_REFUSED, Trial, try_out
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.files.reading import Reading, read
from comity.files.rulebooks import SORTS as OTHER_SORTS
from comity.files.yaml import read_text, read_tree

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

SORTS: Final = {**OTHER_SORTS, "an item model": ItemModel}


@dataclass(frozen=True, slots=True)
class LoadedModels:
    """What stood in the files.

    Parameters
    ----------
    models : tuple of ReadyModel
        Those without an error, in the order of the files.
    problems : tuple of Problem
        By place.
    texts : mapping
        From files to what stands in them, to show problems.
    """

    models: tuple[ReadyModel, ...]
    problems: tuple[Problem, ...]
    texts: Mapping[str, str]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work; warnings do not."""
        return not has_errors(self.problems)


def load_item_models(sources: Mapping[str, bytes | str]) -> LoadedModels:
    """Return the item models that stand in some texts, given by the names of their files."""
    models: list[ReadyModel] = []
    problems: list[Problem] = []
    texts: dict[str, str] = {}
    places: dict[str, Place] = {}
    for file, source in sources.items():
        data = source.encode("utf-8") if isinstance(source, str) else source
        texts[file], _ = read_text(data, file)
        ready, found, place = _read(data, file, texts[file])
        problems += found
        if ready is None:
            continue
        name = ready.model.model
        if name in places:
            problems.append(_twice(name, place, places[name]))
            continue
        places[name] = place
        models.append(ready)
    return LoadedModels(tuple(models), sorted_by_place(problems), texts)


def _read(data: bytes, file: str, text: str) -> tuple[ReadyModel | None, list[Problem], Place]:
    node, tree_problems = read_tree(data, file)
    problems = list(tree_problems)
    if node is None:
        return None, problems, Place(file)
    reading = read(node, ItemModel, sorts=SORTS)
    problems += reading.problems
    place = reading.place_of(("model",)) or Place(file)
    if reading.value is None:
        return None, problems, place
    ready, flaws = make_ready(reading.value)
    problems += [_problem(flaw, reading, text) for flaw in flaws]
    if ready is None:
        return None, problems, place
    found = list(_trial_problems(try_out(ready), place))
    return (None if has_errors(found) else ready), [*problems, *found], place


def _problem(flaw: Flaw, reading: Reading[ItemModel], text: str) -> Problem:
    place = reading.place_of(flaw.path) or Place("")
    return Problem(
        flaw.code,
        flaw.message,
        place=_inside(place, flaw, text),
        got=flaw.got,
        expected=flaw.expected,
        hint=flaw.hint,
    )


def _inside(place: Place, flaw: Flaw, text: str) -> Place:
    """Return the place of the part that a flaw speaks of, where the text stands on one line."""
    lines = text.split("\n")
    if flaw.span is None or place.line > len(lines):
        return place
    start, end = flaw.span
    rest = lines[place.line - 1][place.column - 1 :]
    # Text over several lines keeps the place of its beginning: lines are folded there.
    if rest[:1] in (">", "|"):
        return place
    shift = 1 if rest[:1] in ("'", '"') else 0
    if start + shift > len(rest):
        return place
    column = place.column + shift
    return Place(place.file, place.line, column + start, column + end)


def _trial_problems(trial: Trial, place: Place) -> Iterator[Problem]:
    if not trial.items:
        reason, n = trial.reasons[0]
        yield Problem(
            "X109",
            "no draw gives an item",
            place=place,
            got=f"{n} of {sum(n for _, n in trial.reasons)} draws refused: {reason}",
            hint="narrow the ranges, or mend the formula that the reason names",
        )
    elif trial.refused_share > MAX_REFUSED:
        reason, _ = trial.reasons[0]
        yield Problem(
            "X110",
            "most draws are refused",
            place=place,
            severity="warning",
            got=f"{trial.refused_share:.0%} refused, most often: {reason}",
            hint="narrow the ranges, or work values out of one another",
        )


def _twice(name: str, place: Place, first: Place) -> Problem:
    return Problem(
        "X111",
        "two models have the same name",
        place=place,
        got=f"'{name}'",
        expected="a name of its own",
        related=((first, "first model of this name"),),
    )
