"""The items that come with Comity, as one bank."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from comity.bank.resources import texts_in
from comity.core.exam.items import Bank
from comity.files.dumping import dump_yaml
from comity.files.item_bank import read_bank

_HEAD: Final = (
    "# Teaching material, not reviewed by a practitioner. Check each key at its source.\n"
)


@lru_cache(maxsize=1)
def starter_bank_text() -> str:
    """Return the starter bank as a bank file: the items of all its files under one id.

    The written items come first, then one drawn from each item model.
    """
    banks = [
        bank
        for folder in ("items", "drawn")
        for name, text in texts_in(folder).items()
        if (bank := read_bank(text, name).value) is not None
    ]
    whole = Bank(
        bank="starter-dietetics",
        title="Starter items in nutrition and dietetics",
        author=banks[0].author,
        licence=banks[0].licence,
        cases=tuple(case for bank in banks for case in bank.cases),
        items=tuple(item for bank in banks for item in bank.items),
    )
    return _HEAD + dump_yaml(whole)
