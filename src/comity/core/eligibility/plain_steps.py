"""What the applicant is told to do: each thing once, in order of time."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from comity.core.days.calendar import Day
from comity.core.eligibility.assessment import PlainStep
from comity.core.eligibility.remedies import Mended
from comity.core.eligibility.results import Judged
from comity.core.eligibility.view import plain_day
from comity.core.rulebook.phrases import lowered, opened, together, unstopped

_DAY: Final = re.compile(r"\b\d{1,2} [A-Z][a-z]+ \d{4}\b")


def plain_steps(
    failing: Sequence[Judged], *, on: Day, again: Sequence[str] = ()
) -> tuple[PlainStep, ...]:
    """Return what to do in plain sentences, what waits for a day last.

    Parameters
    ----------
    failing : sequence of Judged
        What is not met, in the order in which it decides.
    on : Day
        The day from which the steps begin.
    again : sequence of str
        What to do shortly before applying, because it would lapse if it were done now.
    """
    done = _latest_of_each([each.mended for each in failing if each.mended is not None])
    repeated = {_as_if_first(sentence) for text in again for sentence in _sentences(text)}
    kept = [each for each in done if not _is_idle_wait(each, done)]
    kept = [each for each in kept if not _is_repeated(each.remedy.plain, repeated)]
    steps = [_step(each, on) for each in sorted(kept, key=lambda each: _order(each, on))]
    if again:
        steps.append(PlainStep(_shortly_before(again)))
    return tuple(dict.fromkeys(steps))


def _latest_of_each(done: Sequence[Mended]) -> list[Mended]:
    """Return the ways to mend, of those that differ in their day alone the one that ends last."""
    kept: dict[str, Mended] = {}
    for each in done:
        key = _DAY.sub("", each.remedy.plain)
        before = kept.get(key)
        if before is None or (each.remedy.earliest or 0) > (before.remedy.earliest or 0):
            kept[key] = each
    return list(kept.values())


def _is_idle_wait(mended: Mended, done: Sequence[Mended]) -> bool:
    """Tell whether one waits anyway, because something else takes as long."""
    return mended.is_idle and any(
        not each.is_idle and (each.remedy.earliest or 0) >= (mended.remedy.earliest or 0)
        for each in done
    )


def _order(mended: Mended, on: Day) -> tuple[bool, Day]:
    return mended.is_idle, max(mended.remedy.earliest or on, on)


def _step(mended: Mended, on: Day) -> PlainStep:
    """Return a step with its day, where the sentence does not tell it already."""
    says, day = opened(mended.remedy.plain), mended.remedy.earliest
    if day is None or day <= on or mended.is_own_pace:
        return PlainStep(says)
    if _DAY.search(says) is None:
        says = f"{says} This can be done by {plain_day(day)} at the earliest."
    return PlainStep(says, day)


def _sentences(text: str) -> list[str]:
    return [f"{unstopped(part)}." for part in text.split(". ") if part]


def _as_if_first(sentence: str) -> str:
    """Return a sentence without the word that tells a second paper from a first."""
    return sentence.replace(" a new ", " a ")


def _is_repeated(text: str, repeated: set[str]) -> bool:
    """Tell whether all of it is to be done shortly before applying, so that now is too soon."""
    return all(_as_if_first(sentence) in repeated for sentence in _sentences(text))


def _shortly_before(again: Sequence[str]) -> str:
    said = [lowered(unstopped(sentence)) for text in again for sentence in _sentences(text)]
    return (
        f"Shortly before you apply, {together(dict.fromkeys(said))}; "
        "done earlier, it would have lapsed by then."
    )
