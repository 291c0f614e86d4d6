from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from axes.models import AccessAttempt, AccessLog
from django.apps import apps

from comity.core.days.calendar import day_from_date
from comity.files.applicants import read_applicant
from comity.store import audit
from comity.store.backup import backup
from comity.store.cases import (
    add_action,
    add_case,
    add_note,
    change_document,
    close_case,
    set_legal_hold,
)
from comity.store.consents import consent, disclosures, withdraw_consent
from comity.store.converters import digest_of
from comity.store.erasing import LegalHoldError, erase
from comity.store.errors import StoreError
from comity.store.exporting import export
from comity.store.feeds import feed_of_case
from comity.store.given import give
from comity.store.invitations import accept, invite
from comity.store.models import (
    Account,
    AuditRecord,
    Case,
    CaseKey,
    Given,
    Invitation,
    Office,
    Role,
    Tombstone,
    UploadedTable,
)
from comity.store.restoring import restore
from comity.store.retention import KINDS, apply, checked, due, periods
from comity.store.tokens import issue
from tests.store.conftest import file_of

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db

DAY = date(2026, 11, 25)
TODAY = day_from_date(DAY)
NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def fill(case: Case, owner: Account) -> Case:
    """Put a row of everything into a case, with words that would betray the person."""
    add_note(case, "Hana calls in the evening", actor=owner)
    add_action(case, "Hana sends the degree", actor=owner, is_for_applicant=True)
    add_action(case, "ask the Register", actor=owner)
    _row, token = invite(
        "hana@example.org", name="Hana", role=Role.APPLICANT, case=case, actor=owner, now=NOW
    )
    accept(token, password="a long enough password", name="Hana", now=NOW)  # noqa: S106
    consent(case, "sending my file to Tamorra", actor=owner, now=NOW)
    feed_of_case(case, label="Hana's phone", actor=owner)
    letter(case, owner)
    return Case.objects.get(pk=case.pk)


def letter(case: Case, owner: Account) -> Given:
    return give(
        case,
        sort="letter",
        content=b"Dear Hana",
        media_type="text/plain",
        recipient="Hana",
        assessments=(),
        actor=owner,
    )


def everything_kept() -> str:
    """Return every row of every table of the database, as text."""
    rows = []
    for model in apps.get_models():
        for row in model._default_manager.all().values():
            values = [bytes(v) if isinstance(v, memoryview) else v for v in row.values()]
            rows.append(f"{model.__name__} {values!r}")
    return "\n".join(rows)


# ------------------------------------------------------------------------------------ erasing


def test_nothing_of_an_erased_person_stays_readable(case: Case, owner: Account) -> None:
    case = fill(case, owner)
    AccessLog.objects.create(username="hana@example.org", attempt_time=NOW)
    for word in ("Hana", "hana@example.org", "Saebom"):
        assert word in everything_kept()
    erase(case, reason="asked for by the person", actor=owner)
    left = everything_kept()
    for word in ("Hana", "hana", "Saebom"):
        assert word not in left
    assert not Account.objects.filter(role=Role.APPLICANT).exists()
    assert not CaseKey.objects.exists()


def test_a_tombstone_says_that_it_was(case: Case, owner: Account) -> None:
    document = case.document
    erase(case, reason="asked for by the person", actor=owner)
    stone = Tombstone.objects.get()
    assert (stone.case_id, stone.reason) == (case.pk, "asked for by the person")
    assert stone.digest == digest_of(document)
    assert stone.erased_by == f"account/{owner.pk}"


def test_the_trail_still_verifies_and_says_nothing_of_the_case(case: Case, owner: Account) -> None:
    case = fill(case, owner)
    erase(case, reason="asked for by the person", actor=owner)
    assert audit.verify().is_sound
    records = AuditRecord.objects.filter(case_id=case.pk)
    assert records.count() > 5
    assert {str(audit.detail_of(each)) for each in records} == {"None"}
    last = AuditRecord.objects.latest("sequence")
    assert last.action == "case/erased"
    assert (audit.detail_of(last) or {})["reason"] == "asked for by the person"


def test_a_case_under_legal_hold_is_kept(case: Case, owner: Account) -> None:
    set_legal_hold(case, "a complaint is open", actor=owner)
    with pytest.raises(LegalHoldError, match="must be kept: a complaint is open; lift the legal"):
        erase(case, reason="asked for", actor=owner)
    assert Case.objects.get() == case
    set_legal_hold(case, "", actor=owner)
    erase(case, reason="asked for", actor=owner)
    assert not Case.objects.exists()


def test_a_case_is_not_erased_without_a_reason_or_twice(case: Case, owner: Account) -> None:
    with pytest.raises(StoreError, match="say why the case is erased"):
        erase(case, reason=" ", actor=owner)
    erase(case, reason="asked for", actor=owner)
    with pytest.raises(StoreError, match="no longer there"):
        erase(case, reason="asked for", actor=owner)
    with pytest.raises(StoreError, match="no longer there"):
        change_document(case, case.document + "#\n", base_version=1, actor=owner)


@pytest.mark.django_db(transaction=True)
def test_an_old_backup_does_not_bring_an_erased_person_back(
    case: Case, owner: Account, tmp_path: Path
) -> None:
    other = add_case(file_of("kofi"), actor=owner)
    backup(tmp_path / "old.zip")
    erase(case, reason="asked for", actor=owner)
    restore(tmp_path / "old.zip", replace=True)
    assert Case.objects.get() == other
    assert Tombstone.objects.get().case_id == case.pk
    assert audit.verify().is_sound
    assert "Hana" not in everything_kept()


# ---------------------------------------------------------------------------------- retention


def test_what_is_kept_how_long_unless_the_office_says_otherwise() -> None:
    assert {kind.name: kind.keeps for kind in KINDS} == {
        "closed cases": "6 years",
        "invitations": "30 days",
        "tokens": "30 days",
        "calendar addresses": "30 days",
        "sittings": "3 years",
        "uploaded tables": "1 day",
        "sign-in attempts": "12 months",
        "sign-in log": "12 months",
        "failed sign-ins": "12 months",
    }
    assert set(periods()) == {kind.name for kind in KINDS}


def test_the_office_may_keep_longer_or_for_ever() -> None:
    office = Office.objects.create(
        pk=1, name="x", retention={"closed cases": "10 years", "tokens": "for ever"}
    )
    timers = periods(office)
    assert timers["tokens"] is None
    closed = timers["closed cases"]
    assert closed is not None
    assert closed.months == 120


def test_settings_that_mean_nothing_are_refused_with_what_is_expected() -> None:
    with pytest.raises(StoreError, match="'a while' is no time to keep something; write it as 6"):
        checked({"tokens": "a while"})
    with pytest.raises(StoreError, match="nothing is kept under the name 'letters'; expected "):
        checked({"letters": "1 year"})


def closed_on(case: Case, owner: Account, day: date) -> Case:
    close_case(case, actor=owner)
    moment = datetime.combine(day, datetime.min.time(), tzinfo=UTC)
    Case.objects.filter(pk=case.pk).update(closed_at=moment)
    return Case.objects.get(pk=case.pk)


@pytest.mark.parametrize(
    ("closed", "is_due"),
    [(date(2020, 11, 24), True), (date(2020, 11, 25), False), (date(2026, 1, 1), False)],
)
def test_a_closed_case_goes_the_day_after_its_six_years(
    case: Case, owner: Account, closed: date, *, is_due: bool
) -> None:
    closed_on(case, owner, closed)
    assert [each.row for each in due(TODAY)] == ([case] if is_due else [])
    assert apply(TODAY, actor=owner) == ({"closed cases": 1} if is_due else {})
    assert Case.objects.exists() is not is_due
    assert Tombstone.objects.exists() is is_due


def test_an_open_case_has_no_timer(case: Case, owner: Account) -> None:
    Case.objects.filter(pk=case.pk).update(created_at=NOW - timedelta(days=9000))
    assert apply(TODAY, actor=owner) == {}


def test_a_legal_hold_stops_the_timer_and_is_told(case: Case, owner: Account) -> None:
    closed_on(case, owner, date(2015, 1, 1))
    set_legal_hold(case, "a complaint is open", actor=owner)
    (found,) = due(TODAY)
    assert found.held == "a complaint is open"
    assert apply(TODAY, actor=owner) == {}
    assert Case.objects.get() == case


def test_what_is_only_in_passing_goes_soon(owner: Account) -> None:
    old = NOW - timedelta(days=500)
    invite("k@example.org", name="K", role=Role.ADVISER, actor=owner, now=old)
    issue(owner, label="x", scopes=("read",), days=1, now=old)
    UploadedTable.objects.create(name="a.csv", content=b"x", uploaded_by=owner)
    UploadedTable.objects.update(created_at=NOW - timedelta(days=2))
    AccessAttempt.objects.create(username="a", failures_since_start=1, get_data="", post_data="")
    AccessAttempt.objects.update(attempt_time=old)
    assert apply(TODAY, actor=None) == {
        "invitations": 1,
        "tokens": 1,
        "uploaded tables": 1,
        "sign-in attempts": 1,
    }
    assert not Invitation.objects.exists()
    assert due(TODAY) == ()
    assert AuditRecord.objects.latest("sequence").action == "office/time was over"


# ----------------------------------------------------------------------------------- exporting


def exported(case: Case, owner: Account) -> dict[str, bytes]:
    content = export(case, recipient="Hana", actor=owner, now=NOW)
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        return {name: file.read(name) for name in file.namelist()}


def test_an_export_holds_everything_the_applicant_gave_and_got(case: Case, owner: Account) -> None:
    files = exported(fill(case, owner), owner)
    assert files["applicant.yaml"].decode() == file_of("hana")
    assert read_applicant(files["applicant.yaml"].decode(), "x").is_sound
    facts = json.loads(files["applicant.json"])
    assert facts["facts"]["practice"][0]["employer"] == "Saebom Medical Centre"
    assert facts["facts"]["practice"][1]["end"] == ".."
    assert facts["facts"]["qualifications"][0]["completed"] == "2016-02-19"
    assert facts["facts"]["declarations"] == [{"id": "conviction", "answer": False}]
    assert json.loads(files["account.json"])["email"] == "hana@example.org"
    assert [each["text"] for each in json.loads(files["actions.json"])] == ["Hana sends the degree"]
    assert json.loads(files["consents.json"])[0]["purpose"] == "sending my file to Tamorra"
    assert json.loads(files["disclosures.json"])[0]["to"] == "Hana"
    assert [each["label"] for each in json.loads(files["calendars.json"])] == ["Hana's phone"]
    assert b"digest" not in files["calendars.json"]
    assert [files[name] for name in files if name.startswith("given/")] == [b"Dear Hana"]
    assert not any(b"evening" in content for content in files.values())


def test_an_export_is_noted_as_given_out_and_not_nested(case: Case, owner: Account) -> None:
    for _ in range(3):
        files = exported(case, owner)
    assert not [name for name in files if name.startswith("given/")]
    assert [each.what for each in disclosures(case)] == ["export"] * 3
    assert AuditRecord.objects.latest("sequence").action == "given/export"


# ------------------------------------------------------------------------ consent and disclosure


def test_a_consent_can_be_taken_back_once(case: Case, owner: Account) -> None:
    row = consent(case, "sending my file", actor=owner, now=NOW)
    later = NOW + timedelta(days=3)
    row = withdraw_consent(row, actor=owner, now=later)
    row = withdraw_consent(row, actor=owner, now=later + timedelta(days=1))
    assert row.withdrawn_at == later
    actions = [each.action for each in AuditRecord.objects.order_by("sequence")]
    assert actions == ["case/added", "consent/given", "consent/withdrawn"]
    with pytest.raises(StoreError, match="say what the applicant agreed to"):
        consent(case, " ", actor=owner, now=NOW)


def test_disclosures_say_who_got_what_from_whom(case: Case, owner: Account) -> None:
    given = letter(case, owner)
    (found,) = disclosures(case)
    assert (found.what, found.recipient, found.by) == ("letter", "Hana", owner.name)
    assert found.sha256 == given.sha256
