"""Who read an item again, when, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from comity.core.days.calendar import iso
from comity.core.declaring import Complaint, Date, Text, declared


class ReviewState(StrEnum):
    """How far an item has come; what the last reading of it said."""

    DRAFT = "draft"
    READ_AGAIN = "read again"
    APPROVED = "approved"
    SENT_BACK = "sent back"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """One reading of an item by somebody who is not its author."""

    on: Date = declared("Day of the reading.")
    by: Text = declared("Who read it.", example="second-reader")
    state: ReviewState = declared(
        "What came of it: read again against its source, approved by a practitioner, sent back to"
        " its author, withdrawn.",
    )
    note: Text | None = declared("What was found.", default=None)


def state_after(reviews: Sequence[Review]) -> ReviewState:
    """Return how far an item with these readings has come; a draft where there is none."""
    return reviews[-1].state if reviews else ReviewState.DRAFT


def complaints_about(reviews: Sequence[Review], *, author: str | None) -> Iterator[Complaint]:
    """Yield what cannot be: readings in another order than their days, or by the author."""
    for number, review in enumerate(reviews):
        if number and review.on < reviews[number - 1].on:
            yield Complaint(
                "X209",
                ("reviews", number, "on"),
                "the readings of an item must stand in the order of their days",
                expected=f"{iso(reviews[number - 1].on)} or later",
                hint="put the earlier reading first; the last one says how far the item has come",
            )
        if author is not None and review.by == author:
            yield Complaint(
                "X209",
                ("reviews", number, "by"),
                "an item must be read again by somebody who did not write it",
                expected=f"another name than {author}",
                hint="who wrote an item reads into it what was meant",
            )
