from __future__ import annotations

from uuid import uuid4

import pytest
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from comity.store.keys import SealError, destroy, rewrap, seal, seal_whole, unseal, unseal_whole
from comity.store.models import CaseKey

pytestmark = pytest.mark.django_db


def test_what_was_sealed_can_be_read_until_the_key_is_destroyed() -> None:
    case_id = uuid4()
    nonce, sealed = seal(case_id, b"hours of practice")
    assert b"practice" not in sealed
    assert unseal(case_id, nonce, sealed) == b"hours of practice"
    destroy(case_id)
    assert unseal(case_id, nonce, sealed) is None


def test_what_concerns_no_case_lies_under_the_offices_key() -> None:
    assert unseal(None, *seal(None, b"the office")) == b"the office"
    assert not CaseKey.objects.exists()


def test_the_same_text_never_looks_the_same_twice() -> None:
    case_id = uuid4()
    assert seal_whole(case_id, b"text") != seal_whole(case_id, b"text")


def test_every_case_has_a_key_of_its_own() -> None:
    first, second = uuid4(), uuid4()
    seal(second, b"")
    with pytest.raises(SealError, match="a sealed text cannot be opened"):
        unseal(second, *seal(first, b"text"))


def test_a_changed_bit_is_found() -> None:
    case_id = uuid4()
    nonce, sealed = seal(case_id, b"text")
    with pytest.raises(SealError):
        unseal(case_id, nonce, bytes([sealed[0] ^ 1]) + sealed[1:])


def test_keys_are_wrapped_and_useless_without_the_sealing_key(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    case_id = uuid4()
    whole = seal_whole(case_id, b"text")
    row = CaseKey.objects.get()
    with pytest.raises(InvalidTag):
        AESGCM(bytes(row.wrapped)[:32]).decrypt(whole[:12], whole[12:], case_id.bytes)
    monkeypatch.setenv("COMITY_SEALING_KEY", "01" * 32)
    with pytest.raises(SealError):
        unseal_whole(case_id, whole)


def test_keys_wrapped_anew_open_under_the_new_sealing_key(monkeypatch: pytest.MonkeyPatch) -> None:
    case_id = uuid4()
    whole = seal_whole(case_id, b"text")
    assert rewrap(bytes.fromhex("a5" * 32), bytes.fromhex("01" * 32)) == 1
    monkeypatch.setenv("COMITY_SEALING_KEY", "01" * 32)
    assert unseal_whole(case_id, whole) == b"text"
