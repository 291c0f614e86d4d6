"""Sittings: begun, answered, handed in and marked, each step with its record.

Every `now` is a real moment of the server's clock. Whether something may still be answered is
asked inside the transaction that keeps the answer.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Final

from comity.core.exam.scoring import Answer
from comity.core.exam.sittings import Timing
from comity.store import audit
from comity.store.errors import StaleError, StoreError
from comity.store.models import GivenAnswer, Sitting
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from comity.store.models import Account

_MARKS: Final = (0, 1)


class OverError(StoreError):
    """The sitting has ended: what came is not taken."""


class NotBegunError(StoreError):
    """The sitting has not begun: there is nothing to answer yet."""


def timing_of(sitting: Sitting) -> Timing:
    """Return the time of a sitting; practice has no limit."""
    minutes = sitting.form.minutes if sitting.mode == Sitting.Mode.EXAM else None
    return Timing(minutes, sitting.extra_percent, sitting.began_at, sitting.handed_in_at)


def take_back(sitting: Sitting, *, actor: Account | None) -> None:
    """Take a sitting back that has not begun.

    Raises
    ------
    StoreError
        When it has begun: then it stays.
    """
    with writing():
        current = _locked(sitting)
        if current.began_at is not None:
            msg = "the sitting has begun by now, so it stays"
            raise StoreError(msg)
        detail = {"name": current.form.name, "sitting": str(current.pk)}
        audit.record("exam/form taken back", actor=actor, case=current.case, detail=detail)
        current.delete()


def begin(sitting: Sitting, *, actor: Account | None, now: datetime) -> Sitting:
    """Let the time run; when it runs already, in another window, nothing changes."""
    with writing():
        current = _locked(sitting)
        if current.began_at is None:
            current.began_at = now
            current.save(update_fields=["began_at"])
            detail = {"name": current.form.name, "sitting": str(current.pk)}
            audit.record("exam/sitting begun", actor=actor, case=current.case, detail=detail)
    return current


def save_answer(
    sitting: Sitting, item: str, answer: Answer, *, base_version: int, now: datetime
) -> GivenAnswer:
    """Keep an answer; the same one sent again, after a lost network, is acknowledged again.

    Raises
    ------
    OverError
        When the sitting has ended.
    NotBegunError
        When it has not begun.
    StaleError
        When another window has answered since `base_version`; carries that answer.
    """
    with writing():
        current = _running(sitting, now)
        row, _is_new = GivenAnswer.objects.get_or_create(sitting=current, item=item)
        plain = _plain(answer)
        if row.version and row.answer == plain:
            return row
        if row.version != base_version:
            raise StaleError(row)
        row.answer = plain
        row.version += 1
        row.answered_at = now
        row.save()
    return row


def set_flag(sitting: Sitting, item: str, *, is_flagged: bool, now: datetime) -> GivenAnswer:
    """Mark an item to come back to, or no longer.

    Raises
    ------
    OverError, NotBegunError
        When nothing can be answered now.
    """
    with writing():
        current = _running(sitting, now)
        row, _is_new = GivenAnswer.objects.get_or_create(sitting=current, item=item)
        row.is_flagged = is_flagged
        row.save(update_fields=["is_flagged"])
    return row


def hand_in(sitting: Sitting, *, actor: Account | None, now: datetime) -> Sitting:
    """End a sitting; one that has ended stays as it ended."""
    with writing():
        current = _locked(sitting)
        if timing_of(current).may_answer(now):
            current.handed_in_at = now
            _settle(current, actor=actor, now=now)
    return settle(current, now=now)


def settle(sitting: Sitting, *, now: datetime) -> Sitting:
    """Write into the trail that the time of a sitting was up, once; return it as it stands."""
    if sitting.settled_at is not None or not timing_of(sitting).is_over(now):
        return sitting
    with writing():
        current = _locked(sitting)
        if current.settled_at is None:
            _settle(current, actor=None, now=now)
    return current


def _settle(sitting: Sitting, *, actor: Account | None, now: datetime) -> None:
    timing = timing_of(sitting)
    sitting.settled_at = timing.ended(now)
    sitting.save(update_fields=["handed_in_at", "settled_at"])
    answers = {row.item: row.answer for row in sitting.answers.order_by("pk") if row.version}
    detail = {
        "name": sitting.form.name,
        "sitting": str(sitting.pk),
        "n_answered": len(answers),
        "minutes": timing.minutes_taken(now),
        "answers": answers,
    }
    action = "exam/time was up" if sitting.handed_in_at is None else "exam/handed in"
    audit.record(action, actor=actor, case=sitting.case, detail=detail)


def change_mark(
    sitting: Sitting, item: str, *, mark: int | None, reason: str, actor: Account | None
) -> GivenAnswer:
    """Give an answer another mark than the key gives, with the reason; None takes that back.

    Raises
    ------
    StoreError
        Without a reason, for another mark than 0 or 1, or before the end.
    """
    if not reason.strip():
        msg = "say why the mark is changed; the reason is kept with it"
        raise StoreError(msg)
    if mark is not None and mark not in _MARKS:
        msg = f"a mark is 0 or 1, got {mark}"
        raise StoreError(msg)
    with writing():
        current = _locked(sitting)
        if current.settled_at is None:
            msg = "marks are changed after the sitting has ended"
            raise StoreError(msg)
        row, _is_new = GivenAnswer.objects.get_or_create(sitting=current, item=item)
        before = row.mark
        row.mark = mark
        row.mark_reason = reason.strip()[:300] if mark is not None else ""
        row.save(update_fields=["mark", "mark_reason"])
        detail = {
            "name": current.form.name,
            "item": item,
            "before": [["mark", _mark_word(before)]],
            "after": [["mark", _mark_word(mark)]],
            "reason": reason.strip(),
        }
        audit.record("exam/mark changed", actor=actor, case=current.case, detail=detail)
    return row


def answers_of(sitting: Sitting) -> Mapping[str, GivenAnswer]:
    """Return what is answered or flagged so far, by item."""
    # Rows that were fetched ahead for many sittings are used as they are.
    return {row.item: row for row in sitting.answers.all()}


def answer_in(row: GivenAnswer | None) -> Answer:
    """Return what a row holds; a blank answer where there is none."""
    if row is None or not row.answer:
        return Answer()
    kept: dict[str, Any] = row.answer
    return Answer(
        tuple(kept.get("chosen", ())),
        kept.get("number", ""),
        tuple((line, option) for line, option in kept.get("matched", ())),
    )


def _plain(answer: Answer) -> dict[str, Any]:
    """Return an answer as JSON keeps it: lists, and nothing that is empty."""
    kept = {name: value for name, value in asdict(answer).items() if value}
    return {
        name: value if isinstance(value, str) else [_listed(each) for each in value]
        for name, value in kept.items()
    }


def _listed(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value


def _mark_word(mark: int | None) -> str:
    return "as the key gives" if mark is None else str(mark)


def _locked(sitting: Sitting) -> Sitting:
    found = Sitting.objects.select_for_update(of=("self",)).select_related("form", "case")
    current = found.filter(pk=sitting.pk).first()
    if current is None:
        msg = "this sitting is no longer there"
        raise StoreError(msg)
    return current


def _running(sitting: Sitting, now: datetime) -> Sitting:
    current = _locked(sitting)
    timing = timing_of(current)
    if current.began_at is None:
        msg = "begin the sitting first"
        raise NotBegunError(msg)
    if not timing.may_answer(now):
        msg = "the sitting has ended; what came after the end is not counted"
        raise OverError(msg)
    return current
