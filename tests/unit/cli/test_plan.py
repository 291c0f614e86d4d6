"""The command ``comity plan``, as people type it and as programs read it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.service.demo import lay_out

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("plan") / "demo").folder


def run(demo: Path, name: str, *options: str) -> Result:
    path = demo / "applicants" / f"{name}.yaml"
    arguments = ["plan", str(path), "--rulebook", str(demo / "rulebooks"), "--draws", "300"]
    return CliRunner().invoke(app, [*arguments, "--today", "2026-11-25", *options])


def planned(demo: Path, name: str, *options: str) -> str:
    result = run(demo, name, *options)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def data(demo: Path, name: str, *options: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(planned(demo, name, "--json", *options))
    return found


def test_a_plan_comes_in_sentences_with_what_to_do_next_first(demo: Path) -> None:
    told = planned(demo, "zdenka", "--title", "xa-council/dietitian")
    headings = [line for line in told.splitlines() if line.endswith(":") and line[0] != " "]
    assert headings == [
        "To do next:",
        "Step by step, as things will most likely go:",
        "Papers that run out, when to ask for them:",
        "Have it ready by month (enough in four of five cases):",
        "Look out:",
        "After the licence:",
    ]
    assert "Still to be paid: " in told
    assert "▶ holds everything up" in told


def test_json_has_an_object_for_each_title_that_can_be_opened(demo: Path) -> None:
    found = data(demo, "thu")
    titles = {(each["authority"], each["title"]) for each in found}
    assert ("xb-register", "dietitian") in titles
    assert ("xa-council", "dietitian") not in titles  # nobody can say when the hours are made up
    assert all(each["steps"] for each in found)


def test_titles_that_cannot_be_opened_are_named_with_where_to_read_why(demo: Path) -> None:
    told = " ".join(planned(demo, "thu").split())
    assert "No plan for Dietitian at Halvenian Council of Nutrition Professions" in told


def test_a_failed_examination_moves_the_plan_and_is_counted(demo: Path, tmp_path: Path) -> None:
    before = data(demo, "zdenka", "--title", "xa-council/dietitian", "--hours-a-week", "60")[0]
    source = demo / "applicants" / "zdenka.yaml"
    failed = "[{id: one, examination: halvenian-dietetics, taken: 2026-10-17, outcome: failed}]"
    text = source.read_text("utf-8").replace("examinations: []", f"examinations: {failed}")
    (demo / "applicants" / "zdenka-2.yaml").write_text(text, encoding="utf-8")
    options = ("--title", "xa-council/dietitian", "--hours-a-week", "60")
    after = data(demo, "zdenka-2", *options)[0]
    sat = [next(step for step in each["steps"] if step["id"] == "sit") for each in (before, after)]
    # 45 days after 17 October are 1 December, before entry for March closes on the 11th.
    assert sat[1]["start"] >= "2026-12-01"
    assert sat[1]["finish"] >= sat[0]["finish"]
    (demo / "applicants" / "zdenka-2.yaml").unlink()


def test_the_first_day_may_be_a_later_one(demo: Path) -> None:
    title = ("--title", "xb-register/dietitian")
    now, later = (
        data(demo, "zdenka", *title, *more)[0]["milestones"][0]["p10"]
        for more in ((), ("--from", "2027-03-01"))
    )
    assert now < "2027-03-01" <= later


def test_rates_of_a_file_turn_fees_into_the_currency_asked_for(demo: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.csv"
    rates.write_text("Date,USD\n2026-11-24,1.25\n", encoding="utf-8")
    title = ("--title", "xc-board/dietitian")
    found = data(demo, "zdenka", *title, "--currency", "eur", "--rates", str(rates))[0]["cost"]
    # 375.00 and 140.00 US dollars at 1.25 are 412.00 euros.
    assert (found["currency"], found["p50"]) == ("EUR", "412.00")


def test_a_missing_rate_is_told_and_ends_with_status_1(demo: Path) -> None:
    result = run(demo, "zdenka", "--title", "xc-board/dietitian", "--currency", "EUR")
    assert result.exit_code == 1
    assert "error P204: no exchange rate is known for USD on or before 2026-11-25" in result.stderr


def test_a_bad_file_of_rates_is_told_with_its_place(demo: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.csv"
    rates.write_text("Date,USD\n2026-11-24,much\n", encoding="utf-8")
    result = run(demo, "zdenka", "--rates", str(rates))
    assert result.exit_code == 1
    assert f"{rates}:2:12: error P203" in result.stderr


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--currency", "EURO"), "is no currency code of ISO 4217"),
        (("--savings-a-month", "220"), "say in which currency"),
        (("--savings-a-month", "-5", "--currency", "EUR"), "cannot be negative"),
        (("--hours-a-week", "200"), "between 0 and 168 hours"),
        (("--hours-a-week", "ten"), "Invalid value for --hours-a-week"),
        (("--from", "soon"), "is no day"),
        (("--draws", "5"), "greater than or equal to 100"),
        (("--passing", "70"), "less than or equal to 1"),
    ],
)
def test_wrong_usage_is_said_in_a_sentence_with_status_2(
    demo: Path, options: tuple[str, ...], says: str
) -> None:
    result = run(demo, "zdenka", *options)
    assert result.exit_code == 2
    assert says in " ".join(result.stderr.replace("│", " ").split())


def test_picture_and_calendar_are_written_where_they_are_asked_for(
    demo: Path, tmp_path: Path
) -> None:
    picture, calendar = tmp_path / "plan.svg", tmp_path / "plan.ics"
    options = ("--title", "xb-register/dietitian", "--chart", str(picture), "--ics", str(calendar))
    result = run(demo, "zdenka", *options)
    assert result.exit_code == 0
    assert picture.read_text("utf-8").startswith("<svg")
    assert calendar.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert result.stderr.splitlines() == [
        f"{picture}: the schedule of Dietitian.",
        f"{calendar}: the days of 1 plan.",
    ]


def test_several_titles_get_a_picture_each(demo: Path, tmp_path: Path) -> None:
    result = run(demo, "zdenka", "--title", "dietitian", "--chart", str(tmp_path / "p.svg"))
    assert result.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "p-xa-council-dietitian.svg",
        "p-xb-register-dietitian.svg",
        "p-xc-board-dietitian.svg",
    ]


def test_a_file_that_is_read_is_never_written_over(demo: Path) -> None:
    path = demo / "applicants" / "zdenka.yaml"
    before = path.read_bytes()
    result = run(demo, "zdenka", "--ics", str(path))
    assert result.exit_code == 2
    assert path.read_bytes() == before
