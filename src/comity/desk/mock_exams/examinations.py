"""Examinations that the rulebooks in force name, whose time and pass mark a form may take over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.declaring.quantities import SHARE
from comity.store.rulebooks import rulebooks_in_force

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.rulebook.model import Examination, Title

SECONDS_A_QUESTION: Final = 90
"""Where no examination says it: about 100 questions in 150 minutes; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Named:
    """An examination of a title, and how it is called here."""

    key: str
    label: str
    examination: Examination
    title: Title

    @property
    def to_pass(self) -> str:
        """The share that passes; empty where none is said."""
        share = self.examination.to_pass
        return "" if share is None else str(SHARE.write(share))


def examinations() -> tuple[Named, ...]:
    """Return the examinations of the editions in force, those of the newest edition."""
    return tuple({each.key: each for each in _examinations()}.values())


def _examinations() -> Iterator[Named]:
    for rulebook in rulebooks_in_force():
        for edition in rulebook.editions:
            for title in edition.titles:
                for each in title.examinations:
                    key = f"{edition.authority.id}/{title.id}/{each.id}"
                    yield Named(key, f"{each.name} ({edition.authority.name})", each, title)


def examination_of(key: str) -> Named | None:
    """Return the examination of a key; None for none."""
    return next((each for each in examinations() if each.key == key), None)


def minutes_for(n_items: int, named: Named | None) -> int:
    """Return the time for so many questions: as much for each as the examination gives."""
    examination = None if named is None else named.examination
    if examination is not None and examination.minutes and examination.questions:
        return -(-n_items * examination.minutes // examination.questions)
    return -(-n_items * SECONDS_A_QUESTION // 60)
