"""What the store cannot do, in sentences that the desk shows as they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from comity.core.problems import Problem
    from comity.store.models import (
        Action,
        Case,
        GivenAnswer,
        ItemBank,
        StoredEdition,
        StoredItemModel,
    )

    Changed = Action | Case | GivenAnswer | ItemBank | StoredEdition | StoredItemModel


class StoreError(Exception):
    """Nothing was changed; the message says why and what to do."""


class UnreachableError(StoreError):
    """The database cannot be written or read now: disk full, read-only, away, busy."""


class UnreadableError(StoreError):
    """A text is no applicant file or no edition; carries the problems to show."""

    def __init__(self, problems: tuple[Problem, ...], text: str) -> None:
        super().__init__(problems[0].message if problems else "the text cannot be read")
        self.problems = problems
        self.text = text


class StaleError(StoreError):
    """Somebody else has changed it in the meantime; carries what stands there now."""

    def __init__(self, current: Changed) -> None:
        super().__init__("somebody else has changed this in the meantime; nothing was saved")
        self.current = current
