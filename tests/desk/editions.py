"""The demo's editions as rows, without the way through the pages that put them in force."""

from __future__ import annotations

from typing import Final

from comity.demo.caseload import demo_files
from comity.store.converters import digest_of
from comity.store.models import StoredEdition

AUTHORITIES: Final = {"XA": "xa-council", "XB": "xb-register", "XC": "xc-board"}


def demo_text(folder: str, edition: str) -> str:
    """Return the text of one of the demo's editions."""
    return demo_files()[f"rulebooks/{folder}/{edition}.yaml"]


def kept(folder: str, edition: str, *, state: str = "in force", text: str = "") -> StoredEdition:
    """Return a row with one of the demo's editions, or with another text in its name."""
    text = text or demo_text(folder, edition)
    return StoredEdition.objects.create(
        authority=AUTHORITIES[folder],
        edition=edition,
        text=text,
        digest=digest_of(text),
        state=state,
    )


def all_kept() -> tuple[StoredEdition, ...]:
    """Return rows with every edition of the demo, in force."""
    names = [path.split("/")[1:] for path in demo_files() if path.startswith("rulebooks/")]
    return tuple(kept(folder, file.removesuffix(".yaml")) for folder, file in names)
