"""What an item of QTI says is right, and whether it gives its point for that alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.files.qti_xml import Element


def option_id(identifier: str) -> str:
    """Return the id of an option: ours where it had to be written with a sign before it."""
    rest = identifier.removeprefix("_")
    return rest if rest != identifier and rest and not rest[0].isalpha() else identifier


def keys_of(declaration: Element) -> Iterator[str]:
    """Yield the ids of the right options: named so, or worth points in a mapping."""
    right = declaration.first("qti-correct-response")
    if right is not None:
        yield from (option_id(e.all_text()) for e in right.elements if e.name == "qti-value")
        return
    for key, points in _mapped(declaration):
        if points > 0:
            yield key


def _mapped(declaration: Element) -> Iterator[tuple[str, float]]:
    mapping = declaration.first("qti-mapping")
    for entry in mapping.elements if mapping is not None else ():
        if entry.name == "qti-map-entry":
            points = entry.attributes.get("mapped-value", "")
            yield option_id(entry.attributes.get("map-key", "")), _number(points)


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return 0.0


def is_parted(declaration: Element) -> bool:
    """Tell whether right answers give different points, as no item of ours does."""
    points = {value for _, value in _mapped(declaration) if value > 0}
    return len(points) > 1


def is_single(declaration: Element, choice: Element) -> bool:
    """Tell whether one option may be chosen."""
    cardinality = declaration.attributes.get("cardinality", "single")
    return cardinality == "single" and choice.attributes.get("max-choices", "1") != "0"


def is_match_correct(processing: Element) -> bool:
    """Tell whether rules written out are the common ones: points for the right answer, else none.

    What else they do (feedback that follows the answer) gives no points.
    """
    conditions = [e for e in processing.elements if e.name == "qti-response-condition"]
    scoring = [e for e in processing.walk() if _sets_score(e)]
    parts = [part for condition in conditions for part in condition.elements]
    if len(conditions) != 1 or not parts or parts[0].name != "qti-response-if":
        return False
    if_right, *others = parts
    test = next(if_right.elements, None)
    is_match = test is not None and test.name == "qti-match"
    names = sorted(e.name for e in test.elements) if test is not None else []
    gives = [e for e in if_right.elements if _sets_score(e) and not _is_nothing(e)]
    elsewhere = [e for e in scoring if not any(e is each for each in if_right.elements)]
    return (
        is_match
        and names == ["qti-correct", "qti-variable"]
        and len(gives) == 1
        and all(other.name == "qti-response-else" for other in others)
        and all(_is_nothing(e) for e in elsewhere)
    )


def _sets_score(element: Element) -> bool:
    is_set = element.name == "qti-set-outcome-value"
    return is_set and element.attributes.get("identifier") == "SCORE"


def _is_nothing(element: Element) -> bool:
    """Tell whether an outcome is set to 0."""
    value = element.first("qti-base-value")
    return value is not None and _number(value.all_text()) == 0
