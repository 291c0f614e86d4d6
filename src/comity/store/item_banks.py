"""Banks of items and item models that tutors write: every change with the text before it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from django.db import IntegrityError

from comity.files.item_bank import read_bank
from comity.files.item_models import load_item_models
from comity.store import audit
from comity.store.converters import digest_of
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.models import BankVersion, ItemBank, StoredItemModel
from comity.store.writing import writing

if TYPE_CHECKING:
    from comity.core.exam.item_models import ItemModel
    from comity.core.exam.items import Bank
    from comity.files.item_bank import Loaded
    from comity.store.models import Account


@lru_cache(maxsize=32)
def loaded_bank(text: str) -> Loaded[Bank]:
    """Return what stands in a bank's text, read once for the same text."""
    return read_bank(text, "bank.yaml")


def bank_in(text: str) -> Bank:
    """Return the bank of a text.

    Raises
    ------
    UnreadableError
        When it has faults; carries them all.
    """
    loaded = loaded_bank(text)
    if loaded.value is None or not loaded.is_sound:
        raise UnreadableError(loaded.problems, text)
    return loaded.value


def add_bank(text: str, *, actor: Account | None) -> ItemBank:
    """Keep a new bank.

    Raises
    ------
    UnreadableError
        When the text has faults.
    StoreError
        When the office has a bank of this id.
    """
    bank = bank_in(text)
    stored = ItemBank(bank=bank.bank, changed_by=actor)
    _fill(stored, bank, text)
    try:
        with writing():
            stored.save(force_insert=True)
            _record("exam/bank added", stored, actor=actor, n_items=len(bank.items))
    except IntegrityError as error:
        msg = f"the office has a bank with the id {bank.bank} already; give this one another"
        raise StoreError(msg) from error
    return stored


def change_bank(
    stored: ItemBank, text: str, *, base_version: int, actor: Account | None
) -> ItemBank:
    """Replace a bank's text; the one before is kept as a version.

    Raises
    ------
    UnreadableError
        When the text has faults.
    StaleError
        When somebody else has changed it since `base_version`.
    StoreError
        When it is the text of another bank.
    """
    bank = bank_in(text)
    if bank.bank != stored.bank:
        msg = f"this is the bank {stored.bank}; import {bank.bank} as a bank of its own"
        raise StoreError(msg)
    with writing():
        current = ItemBank.objects.select_for_update().get(pk=stored.pk)
        if current.version != base_version:
            raise StaleError(current)
        if current.text == text:
            return current
        BankVersion.objects.create(
            bank=current,
            version=current.version,
            text=current.text,
            changed_by=current.changed_by,
        )
        _fill(current, bank, text)
        current.changed_by = actor
        current.version += 1
        current.save()
        _record("exam/bank changed", current, actor=actor, n_items=len(bank.items))
    return current


def _fill(stored: ItemBank, bank: Bank, text: str) -> None:
    stored.title = (bank.title or "")[:300]
    stored.text, stored.digest = text, digest_of(text)


def _record(action: str, stored: ItemBank, *, actor: Account | None, n_items: int) -> None:
    detail = {
        "bank": stored.bank,
        "version": stored.version,
        "sha256": stored.digest,
        "n_items": n_items,
    }
    audit.record(action, actor=actor, detail=detail)


def model_in(text: str) -> ItemModel:
    """Return the item model of a text.

    Raises
    ------
    UnreadableError
        When it has faults, or no draw of it gives an item.
    """
    loaded = load_item_models({"model.yaml": text})
    if not loaded.models or not loaded.is_sound:
        raise UnreadableError(loaded.problems, text)
    return loaded.models[0].model


def add_model(text: str, *, actor: Account | None) -> StoredItemModel:
    """Keep a new item model.

    Raises
    ------
    UnreadableError
        When the text has faults.
    StoreError
        When the office has a model of this name.
    """
    model = model_in(text)
    stored = StoredItemModel(
        model=model.model, title=model.title[:300], text=text, changed_by=actor
    )
    try:
        with writing():
            stored.save(force_insert=True)
            detail = {"model": stored.model, "version": 1, "sha256": digest_of(text)}
            audit.record("exam/model added", actor=actor, detail=detail)
    except IntegrityError as error:
        msg = f"the office has a model with the name {model.model} already; give this one another"
        raise StoreError(msg) from error
    return stored


def change_model(
    stored: StoredItemModel, text: str, *, base_version: int, actor: Account | None
) -> StoredItemModel:
    """Replace a model's text.

    Raises
    ------
    UnreadableError, StaleError, StoreError
        When it has faults, was changed meanwhile, or is another model.
    """
    model = model_in(text)
    if model.model != stored.model:
        msg = f"this is the model {stored.model}; keep {model.model} as a model of its own"
        raise StoreError(msg)
    with writing():
        current = StoredItemModel.objects.select_for_update().get(pk=stored.pk)
        if current.version != base_version:
            raise StaleError(current)
        before = current.text
        current.text, current.title = text, model.title[:300]
        current.changed_by = actor
        current.version += 1
        current.save()
        # The text before stays readable in the trail.
        detail = {"model": current.model, "version": current.version, "before": before}
        audit.record("exam/model changed", actor=actor, detail=detail)
    return current
