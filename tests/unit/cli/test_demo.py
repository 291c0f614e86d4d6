from __future__ import annotations

from typing import TYPE_CHECKING

import typer
from typer.testing import CliRunner

from comity.cli.demo import demo

if TYPE_CHECKING:
    from pathlib import Path

app = typer.Typer()
app.command()(demo)


def test_the_command_says_what_it_laid_out_and_what_to_try(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    done = CliRunner().invoke(app, [str(folder)])
    assert done.exit_code == 0
    assert done.output.splitlines() == [
        f"19 applicants in {folder}/applicants",
        f"4 editions of three authorities' rulebooks in {folder}/rulebooks",
        "Everything in them is invented: countries, authorities, people and numbers.",
        "",
        f"Try: comity assess {folder}/applicants/*.yaml --rulebook {folder}/rulebooks",
    ]


def test_the_command_refuses_a_folder_with_other_files(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("keep me", encoding="utf-8")
    done = CliRunner().invoke(app, [str(tmp_path)])
    assert done.exit_code == 1
    assert "notes.txt, no file of the demo" in done.stderr
    assert "Traceback" not in done.output
