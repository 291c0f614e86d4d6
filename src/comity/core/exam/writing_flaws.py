"""A flaw in how an item is written, and an item as the checks see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from comity.core.exam.writing_text import quantity, question_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from comity.core.exam.items import Item, Option
    from comity.core.exam.writing_text import Quantity

Weight = Literal["error", "warning", "info"]
Path = tuple[str | int, ...]


class Flaw(NamedTuple):
    """What is amiss with how an item is written.

    All are advice: the author decides. An error is a fault by every guideline, a warning mostly
    one, and an info worth a look.
    """

    code: str
    weight: Weight
    path: Path
    message: str
    got: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """An item as the checks see it."""

    item: Item
    options: tuple[Option, ...]
    quantities: Mapping[str, Quantity | None]

    @property
    def stem(self) -> str:
        """The question with what is told before it."""
        return self.item.stem

    @property
    def question(self) -> str:
        """The sentence that asks."""
        return question_of(self.item.stem)

    @property
    def key(self) -> Option | None:
        """The one option that is right; None where there are several or none."""
        found = [option for option in self.options if option.id in self.item.keys]
        return found[0] if len(found) == 1 else None

    @property
    def distractors(self) -> tuple[Option, ...]:
        """The options that are wrong."""
        return tuple(option for option in self.options if option.id not in self.item.keys)

    @property
    def are_numbers(self) -> bool:
        """Whether every option is a number with or without a unit."""
        return bool(self.options) and None not in self.quantities.values()


if TYPE_CHECKING:
    Check = Callable[[Draft], Iterator[Flaw]]


def draft_of(item: Item) -> Draft:
    """Return an item as the checks see it."""
    options = item.choices
    return Draft(item, options, {option.id: quantity(option.text) for option in options})
