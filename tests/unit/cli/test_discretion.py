from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.service.demo import lay_out

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("discretion") / "demo").folder


def drafted(demo: Path, name: str, title: str, *options: str) -> Result:
    path = demo / "applicants" / f"{name}.yaml"
    arguments = ["discretion", str(path), "--rulebook", str(demo / "rulebooks"), "--title", title]
    return CliRunner().invoke(app, [*arguments, "--today", "2026-11-25", *options])


def test_a_letter_is_shown_where_no_file_is_named(demo: Path) -> None:
    """Ingrid was away for eleven days more than the 29 months allowed."""
    result = drafted(demo, "ingrid", "xc-board/dietitian")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "29 months and 11 days" in result.stdout
    assert "Date and signature: ____" in result.stdout
    assert result.stdout.endswith("no such authority, rule or person exists.\n")


def test_a_letter_is_written_as_text(demo: Path, tmp_path: Path) -> None:
    out = tmp_path / "letter.txt"
    shown = drafted(demo, "ingrid", "xc-board/dietitian").stdout
    result = drafted(demo, "ingrid", "xc-board/dietitian", "-o", str(out))
    assert result.stdout.startswith(f"{out}: ")
    assert out.read_text(encoding="utf-8") == shown


@pytest.mark.parametrize("suffix", [".pdf", ".PDF"])
def test_a_letter_is_written_as_a_pdf_where_the_name_says_so(
    suffix: str, demo: Path, tmp_path: Path
) -> None:
    out = tmp_path / f"letter{suffix}"
    result = drafted(demo, "ingrid", "xc-board/dietitian", "-o", str(out))
    assert result.exit_code == 0
    assert out.read_bytes().startswith(b"%PDF-")


def test_where_a_letter_would_not_help_it_says_so_and_writes_none(
    demo: Path, tmp_path: Path
) -> None:
    result = drafted(demo, "baraka", "xa-council/dietitian", "-o", str(tmp_path / "no.pdf"))
    assert result.exit_code == 0
    assert "940 hours of practice" in result.stdout.replace("\n", " ")
    assert list(tmp_path.iterdir()) == []


def test_a_title_of_several_authorities_has_to_be_told_apart(demo: Path) -> None:
    result = drafted(demo, "ingrid", "dietitian")
    assert (result.exit_code, result.stdout) == (2, "")
    assert (
        "several authorities have it; name one of xa-council/dietitian, "
        "xb-register/dietitian, xc-board/dietitian." in result.stderr
    )
