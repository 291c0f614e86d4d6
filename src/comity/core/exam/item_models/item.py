"""What is drawn from a model: an item with its key, or a refusal with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from comity.core.exam.item_models.model import Family, Group, Level, LifeStage

REVIEW: Final = "teaching material, not yet reviewed by a practitioner"
Cause = Literal["limit", "guard", "range", "collision"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a draw gives no item."""

    cause: Cause
    reason: str


@dataclass(frozen=True, slots=True)
class GeneratedOption:
    """One of the answers to choose from; the key has no error.

    Parameters
    ----------
    text : str
        With its unit.
    value : float or str
        Before rounding.
    family, error : str or None
        The family of the error and the error in words.
    """

    text: str
    value: float | str
    family: Family | None = None
    error: str | None = None

    @property
    def is_key(self) -> bool:
        """Whether this is the answer."""
        return self.error is None


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneratedItem:
    """An item with everything that an export or a page shows.

    Parameters
    ----------
    id : str
        Model, version, seed and draw: enough to make it again.
    model, version, seed, draw : str, int
        Provenance; the seed is None where the caller's generator had none to tell.
    given : tuple of (str, float or str)
        What was drawn.
    stem, use : str, tuple of str
        The question, and the lines to go by: equation, version, constants, rounding.
    options : tuple of GeneratedOption
        By number, or in the order of the model's answers.
    tolerance : float or None
        How near a number still counts; None for words.
    solution, cautions : tuple of str
        Steps and lines of caution, to be shown with the item wherever it goes.
    equations : tuple of str
        Ids of the equations behind the key.
    """

    id: str
    model: str
    version: int
    seed: int | None
    draw: int
    title: str
    group: Group
    domain: str
    level: Level
    life_stage: LifeStage
    given: tuple[tuple[str, float | str], ...]
    stem: str
    use: tuple[str, ...]
    options: tuple[GeneratedOption, ...]
    tolerance: float | None
    solution: tuple[str, ...]
    cautions: tuple[str, ...]
    equations: tuple[str, ...]
    source: str
    author: str
    review: str = REVIEW

    @property
    def key(self) -> GeneratedOption:
        """The answer."""
        return next(option for option in self.options if option.is_key)
