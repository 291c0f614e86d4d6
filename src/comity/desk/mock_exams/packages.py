"""Banks as QTI 3.0 packages: taken along for other programs, and read from them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Final
from urllib.parse import quote

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from comity.desk.access import members_only
from comity.files.dumping import dump_yaml
from comity.files.qti_package import export_package, import_package
from comity.files.qti_writing import can_be_written
from comity.store.item_banks import loaded_bank
from comity.store.models import ItemBank

if TYPE_CHECKING:
    from collections.abc import Iterator
    from uuid import UUID

    from django.http import HttpRequest

    from comity.core.exam.items import Bank
    from comity.core.problems import Problem
    from comity.files.qti_package import Imported

MOST_PACKED: Final = 10_000_000
"""Bytes of a package that the desk reads; the command reads larger ones."""
MOST_SHOWN: Final = 100
_BEGINS: Final = b"PK"


@dataclass(frozen=True, slots=True)
class Amiss:
    """A problem of a package: in which file of it, and the line it stands in."""

    file: str
    problem: Problem
    line: str


@dataclass(frozen=True, slots=True)
class Package:
    """What was read from a package.

    Parameters
    ----------
    text : str
        The bank file for the editor; empty when the package is refused.
    amiss : tuple of Amiss
        Why it is refused, or what could not be carried; the first hundred.
    n_more : int
        How many more there are.
    left_out : tuple of str
        Files of items that stay outside.
    """

    text: str
    amiss: tuple[Amiss, ...]
    n_more: int
    left_out: tuple[str, ...]

    @property
    def is_refused(self) -> bool:
        """Whether nothing could be taken from it."""
        return not self.text


def is_package(data: bytes) -> bool:
    """Tell whether a file is packed, whatever its name ends in."""
    return data.startswith(_BEGINS)


def read_package(data: bytes, name: str) -> Package:
    """Return a package's items as a bank file, or why it is refused."""
    file = PurePosixPath(name).name or "package.zip"
    imported = import_package(data, file)
    text = dump_yaml(imported.bank) if imported.bank is not None and imported.is_sound else ""
    amiss = tuple(_amiss(imported, file))
    more = max(0, len(amiss) - MOST_SHOWN)
    return Package(text, amiss[:MOST_SHOWN], more, tuple(sorted(imported.left_out)))


def _amiss(imported: Imported, file: str) -> Iterator[Amiss]:
    for problem in imported.problems:
        place = problem.place
        if place is None or not place.line:
            named = "" if place is None else place.file.removeprefix(f"{file}/")
            yield Amiss(named, replace(problem, place=None), "")
            continue
        lines = imported.texts.get(place.file, "").splitlines()
        line = lines[place.line - 1].strip() if place.line <= len(lines) else ""
        yield Amiss(place.file.removeprefix(f"{file}/"), problem, line)


@members_only
@require_safe
def bank_package(request: HttpRequest, bank_id: UUID) -> HttpResponse:
    """Return a bank as a QTI 3.0 package."""
    del request
    stored = get_object_or_404(ItemBank, pk=bank_id)
    held = loaded_bank(stored.text).value
    if held is None:  # only what was sound is kept; a later version may read less
        raise Http404
    response = HttpResponse(export_package(held).data, content_type="application/zip")
    name = quote(f"{stored.bank}.zip")
    response.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{name}"
    return response


def not_carried(bank: Bank) -> tuple[str, ...]:
    """Return the ids of items that other programs will not see in the package."""
    return tuple(item.id for item in bank.items if not can_be_written(item))
