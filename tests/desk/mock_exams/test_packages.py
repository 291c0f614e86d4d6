"""Banks taken along as QTI packages, and packages read into the editor."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from comity.desk.mock_exams import editing
from comity.files.item_bank import read_bank
from comity.store.models import AuditRecord, ItemBank
from tests.desk.mock_exams.conftest import BANK
from tests.desk.mock_exams.test_making import text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from django.http import HttpResponse
    from django.test import Client

    from comity.store.models import Account

NEW = "/exams/banks/new"
ITEM = "items/zinc-best.xml"


@pytest.fixture
def client(client_of: Callable[[Account | None], Client], adviser: Account) -> Client:
    return client_of(adviser)


@pytest.fixture
def files(client: Client, bank: ItemBank) -> dict[str, bytes]:
    """Take the files of a bank's package; the bank itself is gone afterwards."""
    taken = client.get(f"/exams/banks/{bank.pk}/package")
    assert taken.headers["Content-Type"] == "application/zip"
    assert "every-kind.zip" in taken.headers["Content-Disposition"]
    with ZipFile(BytesIO(taken.content)) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    bank.delete()
    return files


def packed(files: Mapping[str, bytes]) -> bytes:
    stream = BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return stream.getvalue()


def sent(client: Client, data: bytes, name: str = "theirs.zip") -> HttpResponse:
    return client.post(NEW, {"file": SimpleUploadedFile(name, data)})  # type: ignore[return-value]


def test_a_bank_comes_back_from_its_package_once_it_is_kept(
    client: Client, files: dict[str, bytes]
) -> None:
    read = sent(client, packed(files))
    assert read.status_code == 200
    assert "Read, not kept yet" in text(read)
    assert not ItemBank.objects.exists()
    client.post(NEW, {"text": read.context["text"]})  # type: ignore[attr-defined]
    back, sent_out = read_bank(ItemBank.objects.get().text, "a"), read_bank(BANK, "a")
    assert back.value == sent_out.value


def test_the_page_tells_what_other_programs_will_not_see(client: Client, bank: ItemBank) -> None:
    shown = text(client.get(f"/exams/banks/{bank.pk}"))
    assert "will not see 2 items" in shown
    assert "zinc-number, zinc-matching" in shown


def test_what_has_no_place_in_a_bank_is_told_with_its_file_and_line(
    client: Client, files: dict[str, bytes]
) -> None:
    own = {name: data for name, data in files.items() if name != "comity-items.yaml"}
    shape = own[ITEM].replace(b"qti-choice-interaction", b"qti-order-interaction")
    shown = sent(client, packed({**own, ITEM: shape}))
    assert shown.status_code == 200
    assert f"Items that stay outside: {ITEM}" in text(shown)
    assert '<span class="problem-place">line ' in text(shown)
    assert "without domain and level" in text(shown)
    assert "zinc-several" in shown.context["text"]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("../../out.xml", b"<x/>", "which leads out of the package"),
        ("items/inner.zip", b"PK", "which is an archive itself"),
        ("items/zeros.xml", b"0" * 900_000, "larger than one of items can be"),
    ],
)
def test_a_hostile_archive_is_refused_with_its_reason_and_nothing_is_stored(
    client: Client, files: dict[str, bytes], name: str, data: bytes, said: str
) -> None:
    before = AuditRecord.objects.count()
    refused = sent(client, packed({**files, name: data}))
    assert refused.status_code == 422
    assert "Nothing was taken from this package" in text(refused)
    assert said in text(refused)
    assert not ItemBank.objects.exists()
    assert AuditRecord.objects.count() == before


def test_an_archive_cut_off_is_refused_whatever_it_is_called(
    client: Client, files: dict[str, bytes]
) -> None:
    refused = sent(client, packed(files)[:300], "bank.yaml")
    assert refused.status_code == 422
    assert "the package cannot be unpacked" in text(refused)


def test_entities_in_an_item_are_refused(client: Client, files: dict[str, bytes]) -> None:
    evil = b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><x>&a;</x>'
    shown = text(sent(client, packed({**files, ITEM: evil})))
    assert "Nothing was taken from this package" in shown
    assert "root:" not in shown


def test_a_package_too_large_is_not_opened(
    client: Client, files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(editing, "MOST_PACKED", 200)
    refused = sent(client, packed(files))
    assert refused.status_code == 422
    assert "too large for one bank" in text(refused)
