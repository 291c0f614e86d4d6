from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.service.demo import lay_out

if TYPE_CHECKING:
    from pathlib import Path

HOURS = "Hours of practice in recent years"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("assess") / "demo").folder


def assessed(demo: Path, name: str, *options: str) -> str:
    path = demo / "applicants" / f"{name}.yaml"
    arguments = ["assess", str(path), "--rulebook", str(demo / "rulebooks")]
    result = CliRunner().invoke(app, [*arguments, "--today", "2026-11-25", *options])
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def test_one_applicant_and_title_are_answered_in_sentences(demo: Path) -> None:
    told = assessed(demo, "kofi", "--title", "xa-council/dietitian").splitlines()
    assert told[0].endswith("Council of Nutrition Professions, on 2026-11-25")
    assert told[2].startswith("Yes.")
    assert f"✓ {HOURS}: met" in told


def test_a_title_of_several_authorities_is_answered_for_each(demo: Path) -> None:
    rows = assessed(demo, "kofi", "--title", "dietitian").splitlines()
    answers = [row.split()[2:4] for row in rows if row.startswith("kofi ")]
    assert len(answers) == 3
    assert answers[0] == ["✓", "met"]


def test_details_follow_the_table_where_they_are_asked_for(demo: Path) -> None:
    told = assessed(demo, "kofi", "--title", "dietitian", "--details")
    assert told.startswith("Applicant ")
    assert told.count(", on 2026-11-25\n") == 3


def test_the_day_of_submission_may_be_another_one(demo: Path) -> None:
    """Of February 2027 an edition applies that asks for more hours than Kofi has."""
    options = ("--title", "xa-council/dietitian", "--on", "2027-02-15")
    assert f"✗ {HOURS}: not met" in assessed(demo, "kofi", *options).splitlines()


def test_only_what_is_confirmed_counts_on_demand(demo: Path) -> None:
    title = ("--title", "xb-register/dietitian", "--json")
    stated, confirmed = (
        json.loads(assessed(demo, "hana", *title, *more))[0]["verdict"]
        for more in ((), ("--confirmed",))
    )
    assert (stated, confirmed) == ("met", "unknown")


def test_posts_may_be_taken_to_end_today(demo: Path) -> None:
    """Thư's practice will be complete in January 2027 only if she goes on."""
    title = ("--title", "xc-board/dietitian", "--json")
    goes_on, stops = (
        json.loads(assessed(demo, "thu", *title, "--assume", word))[0]
        for word in ("continues", "stops")
    )
    assert goes_on["windows"] != stops["windows"]
    assert stops["assumption"] == "stops"


def test_answers_come_as_data_to_programs(demo: Path) -> None:
    (answer,) = json.loads(assessed(demo, "kofi", "--title", "xa-council/dietitian", "--json"))
    assert (answer["applicant"], answer["verdict"]) == ("kofi", "met")
    assert answer["coming"][0]["from"] == "2027-02-01"
