"""What the answers to a form say of its items and of those who sat it, in figures and sentences.

With few answers there are plain shares and the items to look at, and what cannot be known yet is
said; a place on a common scale is told only of items that enough people answered.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.exam.calibrating import place_items
from comity.core.exam.classical import describe_items, describe_scores
from comity.core.exam.classical_options import option_curves
from comity.core.exam.items import BestAnswer
from comity.core.exam.responses import Responses, ResponsesError, responses_from_table
from comity.core.exam.suspects import Asked, items_to_look_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.exam.classical import Figure, ScoreFigures
    from comity.core.exam.items import Bank, Item
    from comity.core.exam.scoring import Answer
    from comity.core.exam.suspects import Suspect


@dataclass(frozen=True, slots=True)
class OptionFigures:
    """How often an option was chosen, over all and among the weaker and the stronger half."""

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
    doubts = items_to_look_at(responses, asked)
    difficulties, not_known = _placed(responses, bank)
    rows = [
        ItemRow(
            number=number,
            item=item,
            n_answers=figures.n_answers,
            share=figures.difficulty,
            item_rest=figures.item_rest,
            options=tuple(_options(responses, item, asked)),
            doubts=tuple(each for each in doubts if each.item == item.id),
            difficulty=difficulties.get(item.id),
        )
        for number, (item, figures) in enumerate(
            zip(bank.items, describe_items(responses), strict=True), 1
        )
    ]
    return FormFigures(len(sheets), describe_scores(responses), tuple(rows), not_known)


def _asked(item: BestAnswer, sheets: Sequence[Sheet]) -> Asked:
    answers = [sheet.answers.get(item.id) for sheet in sheets]
    chosen = tuple(each.chosen[0] if each is not None and each.chosen else None for each in answers)
    return Asked(tuple(item.options), item.answer, chosen)


def _options(
    responses: Responses, item: Item, asked: Mapping[str, Asked]
) -> Sequence[OptionFigures]:
    offered = asked.get(item.id)
    if offered is None or all(each is None for each in offered.chosen):
        return ()
    curves = {
        each.option: each for each in option_curves(responses, item.id, offered.chosen, n_groups=2)
    }
    rows = []
    for option in item.choices:
        curve = curves.get(option.id)
        weaker, stronger = (None, None) if curve is None else curve.by_group
        rows.append(
            OptionFigures(
                option.text,
                option.id in item.keys,
                0 if curve is None else curve.n_chosen,
                0.0 if curve is None else curve.share,
                weaker,
                stronger,
            )
        )
    return rows


def _placed(responses: Responses, bank: Bank) -> tuple[Mapping[str, float], tuple[str, ...]]:
    judged = {item.id: float(item.judged) for item in bank.items if item.judged is not None}
    usable = {id_: share for id_, share in judged.items() if 0 < share < 1}
    try:
        placed = place_items(responses, usable)
    except ResponsesError as error:
        return {}, (str(error),)
    if placed.calibration is None:
        return {}, placed.not_known
    parameters = placed.calibration.parameters
    by_item = zip(parameters.items, parameters.b, strict=True)
    shown = set(placed.shown)
    return {id_: float(b) for id_, b in by_item if id_ in shown}, placed.not_known
