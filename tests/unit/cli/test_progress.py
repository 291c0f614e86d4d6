from __future__ import annotations

import os
import sys
from io import StringIO
from typing import TYPE_CHECKING

from comity.cli.progress import progress

if TYPE_CHECKING:
    import pytest


class Terminal(StringIO):
    """Somebody looks at it."""

    def isatty(self) -> bool:
        return True


def test_a_terminal_is_shown_what_is_worked_on(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(os, "isatty", lambda _number: True)
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with progress("Assessing {}".format) as show:
        show("xa-council/nurse")
    assert "Assessing xa-council/nurse" in terminal.getvalue()


def test_no_progress_is_shown_to_programs(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(os, "isatty", lambda _number: False)
    with progress("Assessing {}".format) as show:
        show("xa-council/nurse")
    assert capsys.readouterr() == ("", "")
