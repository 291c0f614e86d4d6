"""What the answers to a form say of its items and of those who sat it, in figures and sentences.

With few answers there are plain shares and the items to look at, and what cannot be known yet is
said; a place on a common scale is told only of items that enough people answered.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.exam.items import BestAnswer
from comity.core.exam.responses import responses_from_table
from comity.core.exam.suspects import Asked
from comity.service.exam_figures import figures_of_class

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.exam.classical import Figure, ScoreFigures
    from comity.core.exam.items import Bank, Item
    from comity.core.exam.scoring import Answer
    from comity.core.exam.suspects import Suspect
    from comity.service.exam_figures import ItemLine


@dataclass(frozen=True, slots=True)
class OptionFigures:
    """How often an option was chosen, over all and among the weakest and the strongest people."""

    text: str
    is_key: bool
    n_chosen: int
    share: float
    weaker: float | None
    stronger: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemRow:
    """One item: figures, suspicions and, where enough is known, its place on a common scale."""

    number: int
    item: Item
    n_answers: int
    share: Figure
    item_rest: Figure
    options: tuple[OptionFigures, ...]
    doubts: tuple[Suspect, ...]
    difficulty: float | None

    @property
    def says(self) -> str:
        """The figures in a sentence, for who does not read tables."""
        if self.share.value is None:
            return f"Question {self.number}: {self.share.reason}."
        told = f"Question {self.number}: {self.share.value:.0%} of {self.n_answers} were right"
        if self.item_rest.value is not None:
            told += f", correlation with the other questions {self.item_rest.value:.2f}"
        return f"{told}."


@dataclass(frozen=True, slots=True)
class FormFigures:
    """A form by its answers.

    Parameters
    ----------
    n_people : int
        Whose sittings have ended.
    scores : ScoreFigures or None
        None where nobody has.
    items : tuple of ItemRow
        In the order of the form.
    not_known : tuple of str
        What cannot be known yet, a sentence each.
    """

    n_people: int
    scores: ScoreFigures | None
    items: tuple[ItemRow, ...]
    not_known: tuple[str, ...]

    @property
    def doubtful(self) -> tuple[ItemRow, ...]:
        """The items to look at, in the order of the form."""
        return tuple(row for row in self.items if row.doubts)


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one person made of a form: by item, what was answered and whether it was right."""

    person: str
    answers: Mapping[str, Answer]
    right: Mapping[str, bool]


def figures_of(bank: Bank, sheets: Sequence[Sheet]) -> FormFigures:
    """Return the figures of a form; an open question of a sitting that ended counts as wrong.

    Parameters
    ----------
    bank : Bank
        The form's own items.
    sheets : sequence of Sheet
        Of sittings that have ended, each person once.
    """
    if not sheets:
        return FormFigures(0, None, (), ("nobody has sat it to the end yet",))
    ids = [item.id for item in bank.items]
    table = [[float(sheet.right.get(id_, False)) for id_ in ids] for sheet in sheets]
    responses = responses_from_table(table, people=[s.person for s in sheets], items=ids)
    asked = {item.id: _asked(item, sheets) for item in bank.items if isinstance(item, BestAnswer)}
    found = figures_of_class(responses, asked, bank.items)
    rows = (
        _row(number, item, line, offered=asked.get(item.id))
        for number, (item, line) in enumerate(zip(bank.items, found.items, strict=True), 1)
    )
    return FormFigures(len(sheets), found.scores, tuple(rows), found.not_known)


def _row(number: int, item: Item, line: ItemLine, *, offered: Asked | None) -> ItemRow:
    return ItemRow(
        number=number,
        item=item,
        n_answers=line.figures.n_answers,
        share=line.figures.difficulty,
        item_rest=line.figures.item_rest,
        options=() if offered is None else tuple(_options(item, line, offered)),
        doubts=line.suspicions,
        difficulty=None if line.scale is None else line.scale.difficulty,
    )


def _asked(item: BestAnswer, sheets: Sequence[Sheet]) -> Asked:
    answers = [sheet.answers.get(item.id) for sheet in sheets]
    chosen = tuple(each.chosen[0] if each is not None and each.chosen else None for each in answers)
    return Asked(tuple(item.options), item.answer, chosen)


def _options(item: Item, line: ItemLine, offered: Asked) -> Iterator[OptionFigures]:
    """Yield how often each option was chosen; by halves only where enough people sat it."""
    n_chosen = Counter(each for each in offered.chosen if each is not None)
    curves = {each.option: each.by_group for each in line.curves}
    nobody = (0.0, 0.0) if line.curves else (None, None)
    for option in item.choices if n_chosen else ():
        groups = curves.get(option.id, nobody)
        yield OptionFigures(
            option.text,
            option.id in item.keys,
            n_chosen[option.id],
            n_chosen[option.id] / n_chosen.total(),
            groups[0],
            groups[-1],
        )
