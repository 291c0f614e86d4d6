from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from tests.cli_files import APPLICANT, RULEBOOK

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result

TWO_TITLES = RULEBOOK + RULEBOOK.partition("titles:\n")[2].replace("dietitian", "nurse")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(APPLICANT, encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(TWO_TITLES, encoding="utf-8")
    return tmp_path


def briefed(*options: str) -> Result:
    arguments = ["brief", "good.yaml", "--rulebook", "rules.yaml", "--today", "2026-11-25"]
    return CliRunner().invoke(app, [*arguments, *options])


def test_a_brief_of_every_title_goes_to_a_file_of_the_usual_name(folder: Path) -> None:
    result = briefed()
    assert (result.stdout, result.stderr) == ("brief.pdf: the brief of Amara N., 2 titles.\n", "")
    assert (folder / "brief.pdf").read_bytes().startswith(b"%PDF-")


def test_a_brief_may_be_of_one_title(folder: Path) -> None:
    result = briefed("--title", "nurse", "-o", "a b.pdf", "--contact", "Mei, room 3")
    assert result.stdout == "a b.pdf: the brief of Amara N., 1 title.\n"
    assert (folder / "a b.pdf").stat().st_size > 10_000


def test_the_same_facts_on_the_same_day_give_the_same_file(folder: Path) -> None:
    briefed("-o", "one.pdf")
    briefed("-o", "two.pdf")
    assert (folder / "one.pdf").read_bytes() == (folder / "two.pdf").read_bytes()


def test_a_brief_with_plans_is_longer_and_says_what_is_missing_for_them(folder: Path) -> None:
    briefed("-o", "plain.pdf")
    result = briefed("--plan", "-o", "planned.pdf")
    assert (result.exit_code, result.stderr) == (0, "")
    assert (folder / "planned.pdf").stat().st_size > (folder / "plain.pdf").stat().st_size
    (folder / "rates.csv").write_text("Date,USD\n2026-11-24,much\n", encoding="utf-8")
    refused = briefed("--plan", "--rates", "rates.csv")
    assert refused.exit_code == 1
    assert "rates.csv:2:12: error P203" in refused.stderr
