"""How long the office keeps what, and what is due to go."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING, Any, Final

from axes.models import AccessAttempt, AccessFailureLog, AccessLog

from comity.core.days.calendar import Day, day_from_date
from comity.core.days.period import Period, parse_period
from comity.store import audit
from comity.store.erasing import erase
from comity.store.errors import StoreError
from comity.store.models import (
    ApiToken,
    CalendarFeed,
    Case,
    Invitation,
    Office,
    Sitting,
    UploadedTable,
)
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import datetime

    from django.db import models

    from comity.store.models import Account

FOREVER: Final = "for ever"


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of record with its timer.

    Parameters
    ----------
    name : str
        By which the office's settings call it.
    keeps : str
        Until when it is kept unless the office says otherwise.
    since : str
        What the time counts from, in words.
    rows : callable
        Gives the rows that have a timer running.
    started : callable
        Gives the moment from which a row's time counts.
    """

    name: str
    keeps: str
    since: str
    rows: Callable[[], models.QuerySet[Any]]
    started: Callable[[Any], datetime]


KINDS: Final = (
    Kind(
        "closed cases",
        "6 years",
        "the case was closed",
        lambda: Case.objects.exclude(closed_at=None),
        lambda row: row.closed_at,
    ),
    Kind(
        "invitations",
        "30 days",
        "the link ended",
        Invitation.objects.all,
        lambda row: row.expires_at,
    ),
    Kind(
        "tokens",
        "30 days",
        "the token ended",
        ApiToken.objects.all,
        lambda row: row.revoked_at or row.expires_at,
    ),
    Kind(
        "calendar addresses",
        "30 days",
        "the address was taken back",
        lambda: CalendarFeed.objects.exclude(revoked_at=None),
        lambda row: row.revoked_at,
    ),
    Kind(
        "sittings",
        "3 years",
        "the form was given",
        Sitting.objects.all,
        lambda row: row.given_at,
    ),
    Kind(
        "uploaded tables",
        "1 day",
        "the table was uploaded",
        UploadedTable.objects.all,
        lambda row: row.created_at,
    ),
    Kind(
        "sign-in attempts",
        "12 months",
        "somebody tried to sign in",
        AccessAttempt.objects.all,
        lambda row: row.attempt_time,
    ),
    Kind(
        "sign-in log",
        "12 months",
        "somebody signed in",
        AccessLog.objects.all,
        lambda row: row.attempt_time,
    ),
    Kind(
        "failed sign-ins",
        "12 months",
        "somebody failed to sign in",
        AccessFailureLog.objects.all,
        lambda row: row.attempt_time,
    ),
)


@dataclass(frozen=True, slots=True)
class Due:
    """A row whose time is over; `held` is the reason for which it stays nevertheless."""

    kind: Kind
    row: models.Model
    day: Day
    held: str = ""


def periods(office: Office | None = None) -> Mapping[str, Period | None]:
    """Return how long each kind is kept in this office; None for ever.

    Raises
    ------
    StoreError
        When the office's settings name an unknown kind or no time.
    """
    office = Office.objects.first() if office is None else office
    return checked({} if office is None else office.retention)


def checked(settings: Mapping[str, str]) -> Mapping[str, Period | None]:
    """Return all timers, with an office's own in the place of ours.

    Parameters
    ----------
    settings : mapping
        From names of kinds to times as people write them: ``10 years``, ``90 days``, ``for ever``.

    Raises
    ------
    StoreError
        For an unknown kind, or what is no time; says what is expected.
    """
    names = {kind.name for kind in KINDS}
    unknown = sorted(set(settings) - names)
    if unknown:
        msg = f"nothing is kept under the name {unknown[0]!r}; expected {', '.join(sorted(names))}"
        raise StoreError(msg)
    return {kind.name: _period(settings.get(kind.name, kind.keeps)) for kind in KINDS}


def due(today: Day) -> tuple[Due, ...]:
    """Return what should go by today, oldest first within each kind."""
    timers = periods()
    return tuple(
        each
        for kind in KINDS
        if (period := timers[kind.name]) is not None
        for each in sorted(_due(kind, period, today), key=lambda found: found.day)
    )


def apply(today: Day, *, actor: Account | None) -> Mapping[str, int]:
    """Let go what is due and not held; return how many rows of each kind went.

    Cases are erased with a tombstone each; of the rest one record says how many.
    """
    counts: dict[str, int] = {}
    for each in due(today):
        if not each.held:
            if isinstance(each.row, Case):
                erase(each.row, reason="its time was over", actor=actor)
            else:
                each.row.delete()
            counts[each.kind.name] = counts.get(each.kind.name, 0) + 1
    if counts:
        with writing():
            audit.record("office/time was over", actor=actor, detail=counts)
    return counts


def _due(kind: Kind, period: Period, today: Day) -> Iterator[Due]:
    for row in kind.rows():
        started = day_from_date(kind.started(row).astimezone(UTC).date())
        day = int(period.after(started)) + 1
        if day <= today:
            yield Due(kind, row, day, held=getattr(row, "legal_hold", ""))


def _period(text: str) -> Period | None:
    if text.strip().casefold() == FOREVER:
        return None
    try:
        return parse_period(text)
    except ValueError as error:
        msg = f"{text!r} is no time to keep something; write it as 6 years, 90 days or {FOREVER}"
        raise StoreError(msg) from error
