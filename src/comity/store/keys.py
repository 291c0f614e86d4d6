"""Ciphertext under a key for each case, so that destroying one key erases what it covers.

A case's key is random and kept wrapped by a key derived from the office's sealing key; what
concerns no case lies under another key derived from it. AES-256-GCM binds each text to its case.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Final

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from comity.store.errors import StoreError
from comity.store.home import secret
from comity.store.models import CaseKey

if TYPE_CHECKING:
    from uuid import UUID

    Buffer = bytes | memoryview[int]

_NONCE_BYTES: Final = 12
_KEY_BYTES: Final = 32
_OFFICE: Final = b"office"


class SealError(StoreError):
    """A sealed text was changed, or the office's sealing key is not the one that sealed it."""

    def __init__(self) -> None:
        super().__init__(
            "a sealed text cannot be opened: it was changed, or the sealing key of this office is "
            "another one; put back the key that belongs to this database"
        )


def seal(case_id: UUID | None, plain: bytes) -> tuple[bytes, bytes]:
    """Return a fresh nonce and the text sealed under a case's key, or the office's for None.

    The case's key is made at its first use.
    """
    nonce = secrets.token_bytes(_NONCE_BYTES)
    return nonce, AESGCM(_made(case_id)).encrypt(nonce, plain, _bound_to(case_id))


def unseal(case_id: UUID | None, nonce: Buffer, sealed: Buffer) -> bytes | None:
    """Return what was sealed; None when the case's key has been destroyed.

    Raises
    ------
    SealError
        When the text or its nonce was changed, or sealed under another key.
    """
    key = _known(case_id)
    if key is None:
        return None
    return _opened(key, bytes(nonce), sealed=bytes(sealed), case_id=case_id)


def seal_whole(case_id: UUID | None, plain: bytes) -> bytes:
    """Return nonce and sealed text in one, for a single column."""
    return b"".join(seal(case_id, plain))


def unseal_whole(case_id: UUID | None, whole: Buffer) -> bytes | None:
    """Return what `seal_whole` sealed; None when the case's key has been destroyed."""
    both = bytes(whole)
    return unseal(case_id, both[:_NONCE_BYTES], both[_NONCE_BYTES:])


def destroy(case_id: UUID) -> None:
    """Destroy a case's key: nothing sealed under it can be read again."""
    CaseKey.objects.filter(pk=case_id).delete()


def rewrap(old: bytes, new: bytes) -> int:
    """Wrap every case's key by another sealing key; return how many.

    Only the wrapping changes; what the office itself sealed stays under the old key and has to be
    read with it.
    """
    n_keys = 0
    for row in CaseKey.objects.all():
        key = _unwrapped(row, derived(old, b"wrap"))
        row.wrapped = _wrapped(row.case_id, key, derived(new, b"wrap"))
        row.save(update_fields=["wrapped"])
        n_keys += 1
    return n_keys


def unwrapped_by(sealing: bytes, row: CaseKey) -> bytes:
    """Return a case's key, opened by a sealing key.

    Raises
    ------
    SealError
        When another one wrapped it.
    """
    return _unwrapped(row, derived(sealing, b"wrap"))


def _made(case_id: UUID | None) -> bytes:
    known = _known(case_id)
    if known is not None or case_id is None:
        return known or b""
    key = secrets.token_bytes(_KEY_BYTES)
    row, is_new = CaseKey.objects.get_or_create(
        case_id=case_id,
        defaults={"wrapped": _wrapped(case_id, key, derived(secret("sealing"), b"wrap"))},
    )
    return key if is_new else _unwrapped(row, derived(secret("sealing"), b"wrap"))


def _known(case_id: UUID | None) -> bytes | None:
    if case_id is None:
        return derived(secret("sealing"), _OFFICE)
    row = CaseKey.objects.filter(pk=case_id).first()
    return None if row is None else _unwrapped(row, derived(secret("sealing"), b"wrap"))


def derived(sealing: bytes, purpose: bytes) -> bytes:
    """Return the key for one purpose that follows from a sealing key."""
    return HKDF(SHA256(), _KEY_BYTES, salt=None, info=b"comity " + purpose).derive(sealing)


def _wrapped(case_id: UUID, key: bytes, by: bytes) -> bytes:
    nonce = secrets.token_bytes(_NONCE_BYTES)
    return nonce + AESGCM(by).encrypt(nonce, key, _bound_to(case_id))


def _unwrapped(row: CaseKey, by: bytes) -> bytes:
    whole = bytes(row.wrapped)
    nonce, sealed = whole[:_NONCE_BYTES], whole[_NONCE_BYTES:]
    return _opened(by, nonce, sealed=sealed, case_id=row.case_id)


def _opened(key: bytes, nonce: bytes, *, sealed: bytes, case_id: UUID | None) -> bytes:
    try:
        return AESGCM(key).decrypt(nonce, sealed, _bound_to(case_id))
    except (InvalidTag, ValueError) as error:
        raise SealError from error


def _bound_to(case_id: UUID | None) -> bytes:
    return _OFFICE if case_id is None else case_id.bytes
