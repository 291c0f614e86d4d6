from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from comity.desk.office.keeping import WORDS, field_of
from comity.store.models import Account, AuditRecord, Case, Office
from comity.store.retention import KINDS
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    ClientOf = Callable[[Account | None], Client]

PATH = "/office/keeping"
GIVEN = {**{field_of(kind): kind.keeps for kind in KINDS}, "base_version": "1"}


@pytest.mark.parametrize(
    ("who", "status"),
    [("owner", 200), ("adviser", 403), ("applicant", 404), ("outsider", 404)],
)
def test_the_owner_sees_how_long_things_are_kept(
    who: str, status: int, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).get(PATH).status_code == status


@pytest.mark.parametrize("who", ["adviser", "applicant"])
def test_others_let_nothing_go(
    who: str, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).post(f"{PATH}/let-go").status_code in {403, 404}


def test_nobody_in_particular_is_sent_to_sign_in(owner: Account, client_of: ClientOf) -> None:
    assert client_of(None).get(PATH).headers["Location"] == f"/sign-in?next={PATH}"


def test_every_kind_of_record_is_told_in_words() -> None:
    assert list(WORDS) == [kind.name for kind in KINDS]


def test_only_times_of_ones_own_are_kept(owner: Account, client_of: ClientOf) -> None:
    client = client_of(owner)
    client.post(PATH, {**GIVEN, "closed-cases": "10 years", "tokens": "for ever"})
    assert Office.objects.get().retention == {"closed cases": "10 years", "tokens": "for ever"}
    assert 'value="10 years"' in client.get(PATH).content.decode()
    assert AuditRecord.objects.get().action == "office/settings changed"


def test_what_is_no_time_is_said_beside_its_field(owner: Account, client_of: ClientOf) -> None:
    answer = client_of(owner).post(PATH, {**GIVEN, "closed-cases": "a while"})
    assert answer.status_code == 422
    assert "is no time to keep something; write it as 6 years" in answer.content.decode()
    assert Office.objects.get().retention == {}


def test_who_saves_second_is_told(owner: Account, client_of: ClientOf) -> None:
    Office.objects.update(version=2)
    answer = client_of(owner).post(PATH, GIVEN)
    assert "somebody else has changed these settings" in answer.content.decode()


def closed(name: str, years: int, *, hold: str = "") -> Case:
    case = case_of(name)
    case.closed_at = timezone.now() - timedelta(days=366 * years)
    case.legal_hold = hold
    case.save()
    return case


def test_what_has_had_its_time_goes_and_what_is_held_stays(
    owner: Account, client_of: ClientOf
) -> None:
    gone, held, young = closed("hana", 7), closed("soren", 7, hold="a claim"), closed("thu", 2)
    client = client_of(owner)
    shown = client.get(PATH).content.decode()
    assert "Let it go" in shown
    assert "soren</a>: a claim" in shown
    answer = client.post(f"{PATH}/let-go", follow=True)
    assert "1 record is gone." in answer.content.decode()
    assert set(Case.objects.values_list("pk", flat=True)) == {held.pk, young.pk}
    assert gone.pk not in {held.pk, young.pk}


def test_where_nothing_is_due_nothing_is_offered(owner: Account, client_of: ClientOf) -> None:
    shown = client_of(owner).get(PATH).content.decode()
    assert "Nothing today." in shown
    assert "Let it go" not in shown
