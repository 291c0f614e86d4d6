"""Calendars at secret addresses; the feed is read by icalendar, which parses RFC 5545."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from icalendar import Calendar

from comity.desk.plans import throttle
from comity.store.cases import change_document, close_case
from comity.store.feeds import feed_of_account, feed_of_case
from comity.store.models import CalendarFeed, Case, PlannedDay

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from pytest_django.fixtures import Settings

    from comity.store.models import Account

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("rules")]

GRANTED = """
progress:
  - {id: p1, milestone: xb-register/dietitian/decision, on: 2026-10-01}
"""


def read(client: Client, secret: str) -> list[Any]:
    answer = client.get(f"/calendar/{secret}.ics")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Cache-Control"] == "no-store"
    return list(Calendar.from_ical(answer.content).walk("VEVENT"))


def granted(case: Case) -> Case:
    text = case.document.rstrip() + "\n" + GRANTED
    return change_document(case, text, base_version=case.version, actor=None)


def test_the_applicants_calendar_needs_no_sign_in_and_names_nobody(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    _feed, secret = feed_of_case(case, label="phone", actor=owner)
    events = read(client_of(None), secret)
    labels = [str(each["SUMMARY"]) for each in events]
    assert labels
    text = "\n".join(each.to_ical().decode() for each in events)
    for word in ("Hana", "Kwon", "hana", case.reference, "passport number"):
        assert word not in text, word
    for each in events:
        assert each.decoded("DTEND") - each.decoded("DTSTART") == timedelta(days=1)
        (alarm,) = each.walk("VALARM")
        assert alarm["ACTION"] == "DISPLAY"
        # Three days before, at nine: RFC 5545, 3.8.6.3, counted from the start of the day.
        assert alarm.decoded("TRIGGER") == timedelta(hours=9) - timedelta(days=3)


def test_uids_stay_when_the_plan_moves(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client], settings: Settings
) -> None:
    _feed, secret = feed_of_case(case, label="phone", actor=owner)
    before = {str(e["UID"]): e for e in read(client_of(None), secret)}
    settings.DEMO_DAY = date(2026, 12, 25)
    after = {str(e["UID"]): e for e in read(client_of(None), secret)}
    both = before.keys() & after.keys()
    assert both
    moved = [uid for uid in both if before[uid].decoded("DTSTART") != after[uid].decoded("DTSTART")]
    assert moved
    assert all(int(after[uid]["SEQUENCE"]) > int(before[uid]["SEQUENCE"]) for uid in moved)


def test_an_advisers_calendar_holds_the_cases_in_their_care_with_a_short_name(
    case: Case,
    outsider: Account,
    adviser: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    assert outsider.own_case.adviser is None
    _feed, secret = feed_of_account(adviser, label="desk")
    labels = [str(each["SUMMARY"]) for each in read(client_of(None), secret)]
    assert labels
    assert all(label.startswith("Hana K.: ") for label in labels)
    close_case(case, actor=adviser)
    assert read(client_of(None), secret) == []


def test_days_after_the_licence_stand_in_the_calendar(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    case = granted(case)
    _feed, secret = feed_of_case(case, label="phone", actor=owner)
    days = {str(e["SUMMARY"]): e.decoded("DTSTART") for e in read(client_of(None), secret)}
    # Rulebook of the demo: to be taken up within 3 months, lasts 30 months from the decision.
    assert days["Last day to take up the registration"] == date(2027, 1, 1)
    assert days["Last day of the registration"] == date(2029, 4, 1)


def test_an_address_that_opens_nothing_tells_nothing(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(None)
    feed, secret = feed_of_case(case, label="phone", actor=owner)
    take_back = f"/cases/{case.pk}/plan/calendars/{feed.pk}/take-back"
    assert client_of(owner).post(take_back).status_code == 302
    assert client.get(f"/calendar/{secret}.ics").status_code == 404
    assert client.get("/calendar/guessed.ics").status_code == 404


def test_guessing_is_slowed_down(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    _feed, secret = feed_of_case(case, label="phone", actor=owner)
    client = client_of(None)
    for number in range(throttle.MOST_FAILURES):
        assert client.get(f"/calendar/guess-{number}.ics").status_code == 404
    answer = client.get(f"/calendar/{secret}.ics")
    assert answer.status_code == 429
    assert answer.headers["Retry-After"] == "900"
    elsewhere = client.get(f"/calendar/{secret}.ics", REMOTE_ADDR="192.0.2.7")
    assert elsewhere.status_code == 200


@pytest.mark.parametrize(
    ("who", "status"), [("owner", 200), ("adviser", 200), ("applicant", 200), ("outsider", 404)]
)
def test_who_makes_addresses_of_a_case(
    who: str,
    status: int,
    case: Case,
    client_of: Callable[[Account | None], Client],
    request: pytest.FixtureRequest,
) -> None:
    client = client_of(request.getfixturevalue(who))
    answer = client.post(f"/cases/{case.pk}/plan/calendars", {"label": "phone"})
    assert answer.status_code == status
    assert case.feeds.count() == (1 if status == 200 else 0)
    if status == 200:
        page = answer.content.decode()
        secret = page.split("/calendar/")[1].split(".ics")[0]
        assert secret not in client.get(f"/cases/{case.pk}/plan/calendars").content.decode()
        assert secret not in str(CalendarFeed.objects.values().get())


@pytest.mark.parametrize(("who", "status"), [("owner", 200), ("adviser", 200), ("applicant", 404)])
def test_members_make_and_take_back_addresses_of_their_own(
    who: str,
    status: int,
    client_of: Callable[[Account | None], Client],
    request: pytest.FixtureRequest,
) -> None:
    account = request.getfixturevalue(who)
    client = client_of(account)
    assert client.get("/me/calendars").status_code == status
    assert client.post("/me/calendars", {"label": "desk"}).status_code == status
    assert account.feeds.count() == (1 if status == 200 else 0)
    for feed in account.feeds.all():
        client.post(f"/me/calendars/{feed.pk}/take-back")
        assert client.get("/me/calendars").content.decode().count("Take back") == 0


def test_nobody_takes_back_anothers_address(
    owner: Account, adviser: Account, client_of: Callable[[Account | None], Client]
) -> None:
    feed, _secret = feed_of_account(owner, label="desk")
    assert client_of(adviser).post(f"/me/calendars/{feed.pk}/take-back").status_code == 404
    assert CalendarFeed.objects.get().revoked_at is None


def test_days_are_kept_once_a_day_and_go_when_the_document_changes(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    _feed, secret = feed_of_case(case, label="phone", actor=owner)
    client = client_of(None)
    read(client, secret)
    kept = set(PlannedDay.objects.values_list("pk", flat=True))
    read(client, secret)
    assert set(PlannedDay.objects.values_list("pk", flat=True)) == kept
    granted(Case.objects.get(pk=case.pk))
    read(client, secret)
    plain = PlannedDay.objects.filter(is_after_licence=False)
    assert not kept & set(plain.values_list("pk", flat=True))
