from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.desk import clock

if TYPE_CHECKING:
    from pytest_django import Settings

NIGHT = datetime(2026, 3, 1, 23, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def at_night(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "instant", lambda: NIGHT)


@pytest.mark.parametrize(
    ("zone", "day"),
    [
        ("UTC", date(2026, 3, 1)),
        ("Asia/Tokyo", date(2026, 3, 2)),
        ("America/Lima", date(2026, 3, 1)),
        (None, date(2026, 3, 1)),
    ],
)
def test_today_is_the_day_at_the_place_asked_about(zone: str | None, day: date) -> None:
    assert clock.today_at(zone) == day_from_date(day)


def test_in_the_demo_it_is_the_demos_day_everywhere(settings: Settings) -> None:
    settings.DEMO, settings.DEMO_DAY = True, date(2026, 11, 25)
    assert clock.today_at("Asia/Tokyo") == day_from_date(date(2026, 11, 25))
    assert clock.now() == datetime(2026, 11, 25, 23, 30, tzinfo=UTC)


def test_outside_the_demo_the_demos_day_counts_for_nothing(settings: Settings) -> None:
    settings.DEMO, settings.DEMO_DAY = False, date(2026, 11, 25)
    assert clock.now() == NIGHT
    assert clock.demo_day() is None
