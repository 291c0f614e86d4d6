"""Tables brought in and taken along: looked at first, all or nothing, noted in each history."""

from __future__ import annotations

import io
import re
from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from comity.files.tables import read_table
from comity.store import audit
from comity.store.audit import detail_of
from comity.store.cases import add_case, change_document, close_case
from comity.store.models import AuditRecord, Case, Span, UploadedTable
from tests.desk.conftest import account, case_of
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer

    from comity.store.models import Account

    Open = Callable[[Account | None], Client]

TWO = (
    "reference,name,born,post employer,post start\na-1,Lu Li,May 1990,North Ward,2019\na-2,Mei,,,\n"
)


def sent(client: Client, content: bytes | str, name: str = "people.csv") -> Answer:
    data = content.encode() if isinstance(content, str) else content
    upload = SimpleUploadedFile(name, data)
    return client.post("/applicants/import", {"table": upload})


def address_of(answer: Answer) -> str:
    assert answer.status_code == 302, answer.content.decode()[:2000]
    return answer.headers["Location"]


def confirmed(client: Client, address: str, **ticked: str) -> Answer:
    page = client.get(address).content.decode()
    basis = re.search(r'name="basis" value="([0-9a-f]+)"', page)
    assert basis is not None
    return client.post(address, {"basis": basis[1], **ticked})


def test_nothing_is_kept_until_it_is_confirmed(adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    page = client.get(address).content.decode()
    assert "Lu Li" in page
    assert "Nothing is kept yet" in page
    assert Case.objects.count() == 0
    assert AuditRecord.objects.count() == 0
    answer = confirmed(client, address, is_mine="on")
    assert answer.headers["Location"] == "/applicants"
    assert list(Case.objects.order_by("reference").values_list("name", "adviser")) == [
        ("Lu Li", adviser.pk),
        ("Mei", adviser.pk),
    ]
    assert UploadedTable.objects.count() == 0
    assert client.get(address).status_code == 404


def test_each_new_case_has_its_record_spans_and_marks(adviser: Account, client_of: Open) -> None:
    all_kept()
    client = client_of(adviser)
    confirmed(client, address_of(sent(client, TWO)))
    case = Case.objects.get(reference="a-1")
    assert case.adviser is None
    record = AuditRecord.objects.get(case_id=case.pk)
    detail = detail_of(record) or {}
    assert (record.action, record.actor) == ("case/added", f"account/{adviser.pk}")
    assert (detail["after"], detail["name"]) == (case.document, "people.csv")
    assert Span.objects.filter(case=case).exists() == case.spans.exists()
    assert case.spans_of == detail["rests_on"]
    assert AuditRecord.objects.filter(action="case/added").count() == 2
    assert AuditRecord.objects.filter(action="office/table taken in").count() == 1
    assert audit.verify().is_sound
    assert client.get(f"/cases/{case.pk}").status_code == 200
    assert "Took the case in" in client.get(f"/cases/{case.pk}/history").content.decode()


def test_a_table_with_faults_is_not_even_put_aside(adviser: Account, client_of: Open) -> None:
    answer = sent(client_of(adviser), "reference,born\na-1,03/05/1990\nA 2,1990\n")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "2 things to mend; nothing was kept" in page
    assert "row 2, born" in page
    assert "found: 03/05/1990" in page
    assert UploadedTable.objects.count() == 0


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"%PDF-1.7 ...", "people.xlsx", "the file is no table"),
        (b"PK\x03\x04 nonsense", "people.xlsx", "the workbook is damaged"),
        ("reference\nL\u00fc\n".encode("latin-1"), "people.csv", "not written in UTF-8"),
        (b"reference,name,name\na-1,x,y\n", "people.csv", "the column stands twice"),
        (b"," * 1_000_000, "people.csv", "the table is empty"),
        (b"\n", "people.csv", "the table is empty"),
        (b"x" * 5_000_001, "people.csv", "the file is too large"),
        (b"", "people.csv", "The file is empty."),
    ],
    ids=["pdf", "damaged", "latin-1", "doubled", "commas", "blank", "large", "nothing"],
)
def test_hostile_files_are_refused_in_a_sentence(
    content: bytes, name: str, said: str, adviser: Account, client_of: Open
) -> None:
    answer = sent(client_of(adviser), content, name)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert UploadedTable.objects.count() == 0


def test_formulas_in_a_table_are_shown_as_text_and_kept_as_text(
    adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    address = address_of(sent(client, "reference,name\na-1,=1+1<script>\n"))
    assert "=1+1&lt;script&gt;" in client.get(address).content.decode()
    confirmed(client, address)
    assert Case.objects.get().name == "=1+1<script>"


# --------------------------------------------------------------------------------- whose, how long


def test_a_table_is_there_for_who_sent_it_only(
    adviser: Account, owner: Account, outsider: Account, client_of: Open
) -> None:
    address = address_of(sent(client_of(adviser), TWO))
    for other in (owner, outsider):
        assert client_of(other).get(address).status_code == 404
        assert client_of(other).post(address, {"basis": "x"}).status_code == 404
    assert client_of(None).get(address).headers["Location"].startswith("/sign-in")
    assert client_of(adviser).get(address).status_code == 200
    assert client_of(adviser).get(f"/applicants/import/{uuid4()}").status_code == 404


def test_a_table_is_forgotten_after_a_day(adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    UploadedTable.objects.update(created_at=timezone.now() - timedelta(hours=23))
    assert client.get(address).status_code == 200
    UploadedTable.objects.update(created_at=timezone.now() - timedelta(hours=25))
    assert client.get(address).status_code == 404
    assert UploadedTable.objects.count() == 0


def test_a_table_is_forgotten_when_one_says_so(adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    assert client.post(address, {"leave": "yes"}).headers["Location"] == "/applicants/import"
    assert UploadedTable.objects.count() == 0
    assert Case.objects.count() == 0


# ------------------------------------------------------------------------- people who are there


def test_who_is_there_stays_as_they_are_unless_ticked(adviser: Account, client_of: Open) -> None:
    one = add_case("applicant: a-1\nname: Lu   # by hand\n", actor=adviser)
    two = add_case("applicant: a-2\nname: May\n", actor=adviser)
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    page = client.get(address).content.decode()
    assert re.search(r"<dt>post employer</dt><dd>.*not known.*<ins>North Ward</ins>", page)
    assert "<del>May</del>" in page
    confirmed(client, address, change=str(one.pk))
    one.refresh_from_db()
    two.refresh_from_db()
    assert (one.name, one.version) == ("Lu Li", 2)
    assert "by hand" in one.document
    assert (two.name, two.version) == ("May", 1)
    record = AuditRecord.objects.filter(case_id=one.pk).order_by("sequence").last()
    assert record is not None
    assert record.action == "case/facts changed"
    detail = detail_of(record) or {}
    assert dict(detail["before"])["name"] == "Lu"
    assert dict(detail["after"])["name"] == "Lu Li"
    assert "North Ward" in client.get(f"/cases/{one.pk}/history").content.decode()


def test_all_may_be_ticked_at_once(adviser: Account, client_of: Open) -> None:
    for reference in ("a-1", "a-2"):
        add_case(f"applicant: {reference}\n", actor=adviser)
    client = client_of(adviser)
    confirmed(client, address_of(sent(client, TWO)), all="on")
    assert set(Case.objects.values_list("name", "version")) == {("Lu Li", 2), ("Mei", 2)}


def test_a_table_that_says_nothing_new_is_said_to(adviser: Account, client_of: Open) -> None:
    add_case("applicant: a-1\nname: Lu\n", actor=adviser)
    client = client_of(adviser)
    page = client.get(address_of(sent(client, "reference,name\na-1,Lu\n"))).content.decode()
    assert "nothing is different" in page
    assert ">Keep it<" not in page


def test_a_case_changed_since_the_preview_is_looked_at_again(
    adviser: Account, client_of: Open
) -> None:
    case = add_case("applicant: a-1\nname: Lu\n", actor=adviser)
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    basis = re.search(r'name="basis" value="([0-9a-f]+)"', client.get(address).content.decode())
    assert basis is not None
    change_document(case, "applicant: a-1\nname: Lou\n", base_version=1, actor=adviser)
    answer = client.post(address, {"basis": basis[1], "all": "on"})
    assert answer.status_code == 409
    assert "<del>Lou</del>" in answer.content.decode()
    assert set(Case.objects.values_list("name", flat=True)) == {"Lou"}


def test_somebody_taken_in_meanwhile_stops_the_whole_table(
    adviser: Account, client_of: Open
) -> None:
    client = client_of(adviser)
    address = address_of(sent(client, TWO))
    basis = re.search(r'name="basis" value="([0-9a-f]+)"', client.get(address).content.decode())
    assert basis is not None
    add_case("applicant: a-2\nname: Other\n", actor=adviser)
    assert client.post(address, {"basis": basis[1]}).status_code == 409
    assert Case.objects.count() == 1


def test_closed_cases_are_not_changed_by_a_table(adviser: Account, client_of: Open) -> None:
    close_case(add_case("applicant: a-1\nname: Lu\n", actor=adviser), actor=adviser)
    answer = sent(client_of(adviser), TWO)
    assert answer.status_code == 422
    assert "the case of this applicant is closed" in answer.content.decode()


# ------------------------------------------------------------------------------------------- out


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_table_is_given_to_members_only(
    form: str, owner: Account, adviser: Account, outsider: Account, client_of: Open
) -> None:
    address = f"/applicants/export.{form}"
    for member in (owner, adviser):
        answer = client_of(member).post(address)
        assert answer.status_code == 200
        assert answer.headers["Content-Disposition"] == (
            f'attachment; filename="applicants-2026-11-25.{form}"'
        )
        assert answer.headers["Cache-Control"] == "no-store"
    assert client_of(owner).get(address).status_code == 405
    assert client_of(outsider).post(address).status_code == 404
    assert client_of(None).post(address).headers["Location"].startswith("/sign-in")


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_goes_out_can_come_in_again(form: str, adviser: Account, client_of: Open) -> None:
    for name in ("hana", "kofi", "leilani"):
        case_of(name)
    client = client_of(adviser)
    content = client.post(f"/applicants/export.{form}").content
    assert len(read_table(content).rows) == 3
    page = client.get(address_of(sent(client, content, f"again.{form}"))).content.decode()
    assert "nothing is different" in page


def test_only_the_list_looked_at_goes_out_and_each_history_says_so(
    adviser: Account, client_of: Open
) -> None:
    hana, kofi = case_of("hana", adviser=adviser), case_of("kofi")
    client = client_of(adviser)
    content = client.post("/applicants/export.csv", {"care": "mine"}).content.decode()
    assert "Hana" in content
    assert "kofi" not in content
    record = AuditRecord.objects.get(case_id=hana.pk)
    assert (record.action, record.actor) == ("given/export", f"account/{adviser.pk}")
    assert (detail_of(record) or {})["recipient"] == "Ade Okonjo"
    assert AuditRecord.objects.filter(case_id=kofi.pk).count() == 0
    office = AuditRecord.objects.get(action="office/table given out")
    assert (detail_of(office) or {})["n_cases"] == 1
    assert "Gave out an export" in client.get(f"/cases/{hana.pk}/history").content.decode()
    assert audit.verify().is_sound


def test_a_search_goes_along_without_standing_in_the_address(
    adviser: Account, client_of: Open
) -> None:
    case_of("hana")
    case_of("kofi")
    client = client_of(adviser)
    location = client.post("/applicants", {"words": "hana"}).headers["Location"]
    search = location.partition("search=")[2]
    content = client.post("/applicants/export.csv", {"search": search}).content.decode()
    assert len(content.splitlines()) == 2


def test_a_name_that_is_a_formula_goes_out_as_text(adviser: Account, client_of: Open) -> None:
    add_case('applicant: a-1\nname: "=HYPERLINK(1)"\n', actor=adviser)
    content = client_of(adviser).post("/applicants/export.csv").content.decode("utf-8-sig")
    assert "a-1,'=HYPERLINK(1)," in content


def test_the_empty_table_has_headings_that_are_all_known(adviser: Account, client_of: Open) -> None:
    client = client_of(adviser)
    content = b"".join([client.get("/applicants/import/columns.xlsx").content])
    table = read_table(content)
    assert table.rows == ()
    assert "post 3 employer" in table.headings
    assert io.BytesIO(content).read(2) == b"PK"


def test_a_member_may_be_anybody_of_the_office(client_of: Open) -> None:
    second = account("bo@lantern.example", "Bo", "owner")
    assert client_of(second).get("/applicants/import").status_code == 200
