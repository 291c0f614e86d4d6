from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from comity.desk.keeping.forms import PURPOSES
from comity.store import audit
from comity.store.consents import consent, withdraw_consent
from comity.store.given import give
from comity.store.models import Account, AuditRecord, Case, Consent, Given
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from pytest_django.fixtures import Settings

    ClientOf = Callable[[Account | None], Client]

NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)
HEALTH, ABROAD, EMPLOYER = map(str, PURPOSES)


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)


def data_of(case: Case, *more: str) -> str:
    return "/".join((f"/cases/{case.pk}/data", *more))


def text(answer: object) -> str:
    content: bytes = answer.content  # type: ignore[attr-defined]  # (a response of the client)
    return content.decode()


def gave(case: Case, sort: str, adviser: Account) -> Given:
    return give(
        case, sort=sort, content=b"as it was", media_type="text/plain", recipient="Hana",
        assessments=(), actor=adviser,
    )  # fmt: skip


# Who, and what each address answers them.
WHO = [("owner", 200), ("adviser", 200), ("applicant", 200), ("outsider", 404)]


@pytest.mark.parametrize(("who", "status"), WHO)
def test_members_and_the_applicant_see_what_is_kept(
    who: str, status: int, case: Case, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).get(data_of(case)).status_code == status


@pytest.mark.parametrize(("who", "status"), WHO)
def test_members_and_the_applicant_take_the_whole_file_along(
    who: str, status: int, case: Case, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    answer = client_of(person).post(data_of(case, "export"))
    assert answer.status_code == status
    assert Given.objects.filter(case=case, sort="export").count() == (status == 200)


@pytest.mark.parametrize(
    ("who", "status"), [("owner", 302), ("adviser", 302), ("applicant", 404), ("outsider", 404)]
)
def test_members_set_a_legal_hold(
    who: str, status: int, case: Case, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    answer = client_of(person).post(data_of(case, "legal-hold"), {"reason": "a claim"})
    assert answer.status_code == status
    assert Case.objects.get(pk=case.pk).legal_hold == ("a claim" if status == 302 else "")


@pytest.mark.parametrize(
    ("who", "status"), [("owner", 302), ("adviser", 302), ("applicant", 302), ("outsider", 404)]
)
def test_a_consent_is_noted_and_taken_back_by_members_or_the_applicant(
    who: str, status: int, case: Case, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    client = client_of(request.getfixturevalue(who))
    sent = {"purpose": HEALTH, "day": "2026-11-25"}
    assert client.post(data_of(case, "consents"), sent).status_code == status
    assert case.consents.count() == (status == 302)
    row = case.consents.first() or consent(case, HEALTH, actor=None, now=NOW)
    answer = client.post(data_of(case, "consents", str(row.pk), "withdraw"))
    assert answer.status_code == status
    assert (Consent.objects.get(pk=row.pk).withdrawn_at is not None) == (status == 302)


@pytest.mark.parametrize("more", ["", "/export", "/consents", "/consents/1/withdraw"])
def test_nobody_in_particular_is_sent_to_sign_in(
    more: str, case: Case, client_of: ClientOf
) -> None:
    answer = client_of(None).post(f"{data_of(case)}{more}")
    assert answer.headers["Location"].startswith("/sign-in?next=/cases/")


def test_the_file_is_a_zip_with_what_the_applicant_gave(
    case: Case, applicant: Account, client_of: ClientOf
) -> None:
    consent(case, HEALTH, actor=applicant, now=NOW)
    answer = client_of(applicant).post(data_of(case, "export"), {"recipient": "somebody else"})
    assert answer.headers["Content-Disposition"] == 'attachment; filename="data-hana.zip"'
    with zipfile.ZipFile(io.BytesIO(answer.content)) as file:
        assert file.read("applicant.yaml").decode() == case.document
        assert [each["purpose"] for each in json.loads(file.read("consents.json"))] == [HEALTH]
    row = Given.objects.get(sort="export")
    assert (row.recipient, row.given_by) == (case.name, applicant)


def test_no_reference_breaks_the_header_of_a_download(
    case: Case, adviser: Account, client_of: ClientOf
) -> None:
    # RFC 9110, 5.6.4: a quotation mark within a quoted string is escaped.
    Case.objects.filter(pk=case.pk).update(reference='a"; x="b')
    kept = gave(case, "message", adviser)
    client = client_of(adviser)
    named = [
        client.post(data_of(case, "export")).headers["Content-Disposition"],
        client.get(f"/cases/{case.pk}/given/{kept.pk}").headers["Content-Disposition"],
    ]
    quoted = r"a\"; x=\"b"
    assert named == [
        f'attachment; filename="data-{quoted}.zip"',
        f'attachment; filename="message-{quoted}-{kept.pk}.txt"',
    ]


def test_a_member_says_who_gets_the_file(case: Case, owner: Account, client_of: ClientOf) -> None:
    client = client_of(owner)
    client.post(data_of(case, "export"), {"recipient": "Another Office"})
    assert Given.objects.get(sort="export").recipient == "Another Office"
    assert "Another Office" in text(client.get(data_of(case)))


def test_an_applicant_agrees_to_a_sentence_offered_and_it_is_offered_no_more(
    case: Case, applicant: Account, client_of: ClientOf
) -> None:
    client = client_of(applicant)
    shown = text(client.post(data_of(case, "consents"), {"purpose": ABROAD}, follow=True))
    assert "by you, here" in shown
    assert f'value="{ABROAD}"' not in shown
    assert f'value="{EMPLOYER}"' in shown
    row = Consent.objects.get()
    assert (row.purpose, row.recorded_by, row.given_at.date()) == (
        ABROAD, applicant, date(2026, 11, 25),
    )  # fmt: skip


def test_an_applicant_agrees_to_nothing_nobody_offered(
    case: Case, applicant: Account, client_of: ClientOf
) -> None:
    answer = client_of(applicant).post(data_of(case, "consents"), {"purpose": "Anything"})
    assert answer.status_code == 422
    assert Consent.objects.count() == 0


def test_what_was_taken_back_is_offered_again_and_stays_in_the_list(
    case: Case, applicant: Account, client_of: ClientOf
) -> None:
    row = consent(case, HEALTH, actor=applicant, now=NOW)
    withdraw_consent(row, actor=applicant, now=NOW)
    shown = text(client_of(applicant).get(data_of(case)))
    assert "taken back on 24 November 2026" in shown
    assert f'value="{HEALTH}"' in shown


def test_an_adviser_notes_what_was_signed_earlier(
    case: Case, adviser: Account, client_of: ClientOf
) -> None:
    sent = {"purpose": "Photo on the website", "day": "2026-11-20"}
    shown = text(client_of(adviser).post(data_of(case, "consents"), sent, follow=True))
    assert "noted by Ade Okonjo" in shown
    assert Consent.objects.get().given_at == datetime(2026, 11, 20, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"purpose": "", "day": "2026-11-20"}, "This field is required."),
        ({"purpose": "Photo", "day": "2026-11-26"}, "This day is still to come"),
    ],
)
def test_what_is_amiss_is_said_beside_its_field(
    sent: dict[str, str], said: str, case: Case, adviser: Account, client_of: ClientOf
) -> None:
    answer = client_of(adviser).post(data_of(case, "consents"), sent)
    assert answer.status_code == 422
    assert said in text(answer)
    assert Consent.objects.count() == 0


def test_a_closed_case_takes_no_new_consent_but_lets_one_be_taken_back(
    case: Case, adviser: Account, applicant: Account, client_of: ClientOf
) -> None:
    row = consent(case, HEALTH, actor=applicant, now=NOW)
    Case.objects.filter(pk=case.pk).update(closed_at=timezone.now())
    client = client_of(applicant)
    assert client.post(data_of(case, "consents"), {"purpose": ABROAD}).status_code == 403
    assert client.post(data_of(case, "consents", str(row.pk), "withdraw")).status_code == 302
    assert "Agree to something more" not in text(client.get(data_of(case)))


def test_a_consent_of_another_case_is_not_there(
    case: Case, adviser: Account, client_of: ClientOf
) -> None:
    other = consent(case_of("thu"), HEALTH, actor=adviser, now=NOW)
    answer = client_of(adviser).post(data_of(case, "consents", str(other.pk), "withdraw"))
    assert answer.status_code == 404


def test_the_log_tells_who_got_what_and_opens_what_its_reader_may_open(
    case: Case, adviser: Account, applicant: Account, client_of: ClientOf
) -> None:
    brief, letter = gave(case, "brief", adviser), gave(case, "letter", adviser)
    paths = [f"/cases/{case.pk}/given/{each.pk}" for each in (brief, letter)]
    seen = {
        who.role: [f'href="{path}"' in text(client_of(who).get(data_of(case))) for path in paths]
        for who in (adviser, applicant)
    }
    assert seen == {"adviser": [True, True], "applicant": [True, False]}
    assert "Letter" in text(client_of(applicant).get(data_of(case)))


def test_lifting_a_hold_is_recorded_with_what_it_was(
    case: Case, adviser: Account, client_of: ClientOf
) -> None:
    client = client_of(adviser)
    client.post(data_of(case, "legal-hold"), {"reason": "a claim"})
    assert "Lift the legal hold" in text(client.get(data_of(case)))
    client.post(data_of(case, "legal-hold"), {"do": "lift"})
    assert Case.objects.get(pk=case.pk).legal_hold == ""
    last = AuditRecord.objects.order_by("sequence").last()
    assert last is not None
    assert audit.detail_of(last) == {"before": "a claim", "after": ""}


def test_a_hold_needs_a_reason(case: Case, adviser: Account, client_of: ClientOf) -> None:
    answer = client_of(adviser).post(data_of(case, "legal-hold"), {"reason": " "})
    assert answer.status_code == 422
    assert Case.objects.get(pk=case.pk).legal_hold == ""


def test_an_applicant_reads_that_a_hold_is_there_and_not_why(
    case: Case, applicant: Account, client_of: ClientOf
) -> None:
    Case.objects.filter(pk=case.pk).update(legal_hold="claim of the employer")
    shown = text(client_of(applicant).get(data_of(case)))
    assert "has to be kept for a legal reason" in shown
    assert "claim of the employer" not in shown
    assert "once it is closed: 6 years." in shown


def test_the_history_tells_of_consents(case: Case, adviser: Account, client_of: ClientOf) -> None:
    withdraw_consent(consent(case, HEALTH, actor=adviser, now=NOW), actor=adviser, now=NOW)
    shown = text(client_of(adviser).get(f"/cases/{case.pk}/history"))
    assert f"<strong>Noted a consent</strong>: {HEALTH}" in shown
    assert f"<strong>Noted that a consent was taken back</strong>: {HEALTH}" in shown


def test_the_case_leads_to_the_data_and_to_inviting_its_applicant(
    case: Case, adviser: Account, client_of: ClientOf
) -> None:
    client = client_of(adviser)
    alone = case_of("thu")
    pages = [text(client.get(f"/cases/{each.pk}")) for each in (case, alone)]
    assert data_of(case) in pages[0]
    assert [f"/office/applicants/{case.pk}/invite" in pages[0],
            f"/office/applicants/{alone.pk}/invite" in pages[1]] == [False, True]  # fmt: skip
