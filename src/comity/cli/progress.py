"""What a command is working on, shown on a terminal while it lasts."""

from __future__ import annotations

import os
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


@contextmanager
def progress(said: Callable[[str], str]) -> Iterator[Callable[[str], None]]:
    """Give what shows on a terminal the words for what is being worked on; nothing elsewhere."""
    if not os.isatty(2):
        yield lambda _what: None
        return
    from rich.console import Console  # noqa: PLC0415 - Rich is slow to load

    with Console(stderr=True).status("Reading") as status:
        yield lambda what: status.update(said(what))
