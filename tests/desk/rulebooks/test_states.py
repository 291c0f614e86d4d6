"""Whom an edition touches; putting it in force and taking it back; dates worked out anew."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import unquote

import pytest

from comity.desk.rulebooks import impact, states
from comity.store.audit import detail_of, verify
from comity.store.models import AuditRecord, Case, StoredEdition
from comity.store.spans import out_of_date
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from comity.store.models import Account

    Opened = Callable[[Account | None], Client]

EDITION = "/rulebooks/xa-council/2027"


def state_of(edition: StoredEdition) -> str:
    """Return whether an edition counts now."""
    return str(StoredEdition.objects.get(pk=edition.pk).state)


@pytest.fixture
def people(db: None) -> dict[str, Case]:
    """Return three people of whom the new edition touches one."""
    del db
    return {name: case_of(name) for name in ("kofi", "leilani", "hana")}


# --------------------------------------------------------------------------------------- impact


@pytest.mark.usefixtures("old", "new")
def test_impact_says_who_from_what_to_what_and_why(
    people: dict[str, Case], adviser: Account, client_of: Opened
) -> None:
    page = client_of(adviser).get(f"{EDITION}/impact").content.decode()
    said = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    assert "handed in on 1 February 2027" in said
    assert "Kofi Ampadu-Brandt" in said
    assert re.search(r"Dietitian Met → becomes Not met", said)
    assert "Course in Halvenian food law: not asked before, now Not met" in said
    assert "1032 of 1120 hours of practice counted in the last 30 months" in said
    assert "The answer of 1 applicant changes. 3 applicants looked at." in said
    assert str(people["kofi"].pk) in page
    assert "Leilani" not in said


@pytest.mark.usefixtures("old", "new", "people")
def test_impact_on_another_day_is_asked_by_its_date(owner: Account, client_of: Opened) -> None:
    page = client_of(owner).get(f"{EDITION}/impact?on=2027-03-15").content.decode()
    assert "handed in on 15 March 2027" in page
    assert 'value="2027-03-15"' in page


@pytest.mark.usefixtures("old", "new", "people")
def test_many_are_looked_at_a_part_at_a_time_and_none_twice(
    owner: Account, client_of: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(impact, "AT_ONCE", 1)
    client = client_of(owner)
    page = client.get(f"{EDITION}/impact").content.decode()
    assert "1 of 3 applicants looked at" in page
    said, n_parts = page, 0
    while rest := re.search(r'hx-get="([^"]+)"', page):
        page = client.get(unquote(rest.group(1).replace("&amp;", "&"))).content.decode()
        assert "<html" not in page
        said += page
        n_parts += 1
    assert n_parts == 3
    assert said.count("Kofi Ampadu-Brandt") == 1
    assert "3 applicants looked at." in page
    assert "The answer of 1 applicant changes." in page


@pytest.mark.usefixtures("new", "people")
def test_before_any_edition_is_in_force_nobody_s_answer_changes(
    owner: Account, client_of: Opened
) -> None:
    page = client_of(owner).get(f"{EDITION}/impact").content.decode()
    assert "No edition of this authority is in force yet" in page


@pytest.mark.usefixtures("old", "new", "people")
def test_closed_cases_are_left_alone(owner: Account, client_of: Opened) -> None:
    Case.objects.filter(reference="kofi").update(closed_at="2026-11-01T00:00:00Z")
    page = client_of(owner).get(f"{EDITION}/impact").content.decode()
    assert "Kofi" not in page
    assert "Nobody's answer changes." in page.replace("&#x27;", "'")


# --------------------------------------------------------------------------------------- states


@pytest.mark.usefixtures("old", "people")
@pytest.mark.parametrize("who", ["owner", "adviser"])
def test_members_put_an_edition_in_force_and_the_history_says_who(
    who: str, new: StoredEdition, client_of: Opened, request: pytest.FixtureRequest
) -> None:
    account = request.getfixturevalue(who)
    client = client_of(account)
    page = client.get(f"{EDITION}/put-in-force").content.decode()
    assert "7 worked cases were run" in page
    assert "Course in Halvenian food law" in page
    response = client.post(f"{EDITION}/put-in-force", {"base_version": "1"})
    assert response["Location"] == "/rulebooks/refresh"
    assert state_of(new) == "in force"
    record = AuditRecord.objects.order_by("-sequence")[0]
    assert (record.action, record.actor) == ("rulebook/edition in force", f"account/{account.pk}")
    detail = detail_of(record)
    assert detail is not None
    assert (detail["before"], detail["after"]) == ("draft", "in force")
    assert verify().is_sound


def test_an_edition_with_faults_cannot_be_put_in_force(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    text = new.text.replace("wholly_read: yes", "wholly_read: perhaps", 1)
    StoredEdition.objects.filter(pk=new.pk).update(text=text)
    response = client_of(owner).post(f"{EDITION}/put-in-force", {"base_version": "1"})
    page = response.content.decode()
    assert response.status_code == 422
    assert "1 thing to mend" in page
    assert "Put this edition in force" not in page
    assert state_of(new) == "draft"


@pytest.mark.usefixtures("old")
def test_an_edition_with_a_failing_worked_case_cannot_be_put_in_force(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    text = new.text.replace("{language: not met}", "{language: met}")
    assert text != new.text
    StoredEdition.objects.filter(pk=new.pk).update(text=text)
    response = client_of(owner).post(f"{EDITION}/put-in-force", {"base_version": "1"})
    assert response.status_code == 422
    assert "gives another answer" in response.content.decode()
    assert state_of(new) == "draft"


@pytest.mark.usefixtures("old")
def test_what_was_changed_since_it_was_looked_at_is_not_put_in_force(
    new: StoredEdition, owner: Account, client_of: Opened
) -> None:
    StoredEdition.objects.filter(pk=new.pk).update(version=2)
    response = client_of(owner).post(f"{EDITION}/put-in-force", {"base_version": "1"}, follow=True)
    assert "Somebody else has changed this in the meantime" in response.content.decode()
    assert state_of(new) == "draft"


def test_an_edition_is_withdrawn(old: StoredEdition, owner: Account, client_of: Opened) -> None:
    address = "/rulebooks/xa-council/2025/withdraw"
    response = client_of(owner).post(address, {"base_version": "1"})
    assert response["Location"] == "/rulebooks/refresh"
    assert state_of(old) == "withdrawn"


def test_nothing_is_changed_by_looking(
    old: StoredEdition, owner: Account, client_of: Opened
) -> None:
    address = "/rulebooks/xa-council/2025/withdraw"
    assert client_of(owner).get(address).status_code == 405
    assert state_of(old) == "in force"


# -------------------------------------------------------------------------------------- refresh


@pytest.mark.usefixtures("old", "people")
def test_dates_are_worked_out_anew_a_little_at_a_time(
    owner: Account, client_of: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(states, "MOST_AT_ONCE", 1)
    client = client_of(owner)
    page = client.get("/rulebooks/refresh").content.decode()
    assert "0 of 3 applicants are up to date" in page
    for n_done in (1, 2):
        after = re.search(r'name="after" value="([^"]*)"', page)
        assert after is not None
        response = client.post(
            "/rulebooks/refresh", {"after": after.group(1)}, headers={"hx-request": "true"}
        )
        page = response.content.decode()
        assert "<html" not in page
        assert f"{n_done} of 3 applicants are up to date" in page
    page = client.post("/rulebooks/refresh", {"after": ""}).content.decode()
    assert "Every list rests on the editions in force." in page
    assert not out_of_date().exists()


@pytest.mark.usefixtures("old")
def test_a_case_that_cannot_be_read_does_not_hold_the_others_up(
    people: dict[str, Case], owner: Account, client_of: Opened
) -> None:
    Case.objects.filter(pk=people["kofi"].pk).update(document="applicant: [")
    client = client_of(owner)
    page, after = "", ""
    for _turn in range(4):
        page = client.post("/rulebooks/refresh", {"after": after}).content.decode()
        found = re.search(r'name="after" value="([^"]*)"', page)
        if found is None:
            break
        after = found.group(1)
    assert "Every list rests on the editions in force." in page
    assert set(out_of_date().values_list("reference", flat=True)) == {"kofi"}
