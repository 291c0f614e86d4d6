"""The command ``comity plan``, as people type it and as programs read it."""

from __future__ import annotations

import json
import subprocess
import sys
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
        "Before you pay:",
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
        (("--likely-to-pass", "70"), "less than or equal to 1"),
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


LIMITED = ("--title", "xa-council/dietitian", "--savings-a-month", "80", "--currency", "EUR")


def test_within_savings_the_plan_says_by_when_and_that_none_is_sooner(demo: Path) -> None:
    told = " ".join(planned(demo, "zdenka", *LIMITED).split())
    assert "with 80.00 EUR put aside a month and 10 hours of study a week" in told
    assert "no plan is sooner." in told
    limits = data(demo, "zdenka", *LIMITED)[0]["limits"]
    assert limits["is_best"]
    assert limits["gap_days"] == 0
    assert limits["end"] == limits["bound"]


def test_without_time_to_look_for_a_better_plan_the_gap_is_told(demo: Path) -> None:
    told = " ".join(planned(demo, "zdenka", *LIMITED, "--seconds", "0").split())
    limits = data(demo, "zdenka", *LIMITED, "--seconds", "0")[0]["limits"]
    assert limits["gap_days"] > 0
    assert f"another plan could be {limits['gap_days']} days sooner at most." in told


def test_a_plan_without_limits_has_none(demo: Path) -> None:
    assert "limits" not in data(demo, "nadir", "--title", "xa-council/dietitian")[0]


def test_blocked_days_see_nothing_begun(demo: Path) -> None:
    title = ("--title", "xa-council/dietitian")
    blocked = ("--blocked", "2026-11-25..2026-12-24", "--blocked", "2027-01-01")
    found = data(demo, "nadir", *title, *blocked)[0]
    assert min(action["day"] for action in found["next_actions"]) == "2026-12-25"


def test_a_sitting_that_is_wanted_or_skipped_moves_the_examination(demo: Path) -> None:
    title = ("--title", "xa-council/dietitian", "--hours-a-week", "60")
    sat = {
        option: next(
            s for s in data(demo, "zdenka", *title, *option)[0]["steps"] if s["id"] == "sit"
        )
        for option in (
            (),
            ("--sitting", "2027-07-03"),
            ("--skip-sitting", "2027-03-06"),
            ("--sittings-from", "2027-04-01"),
        )
    }
    plain, *others = [step["finish"] for step in sat.values()]
    assert all(each >= plain for each in others)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--blocked", "2027-01-03..2026-12-20"), "the last blocked day, 2026-12-20, lies before"),
        (("--blocked", "soon"), "'soon' is no day"),
        (("--sitting", "2026-11-24"), "2026-11-24 is past; name a sitting on or after 2026-11-25"),
        (("--skip-sitting", "2026-03-01"), "2026-03-01 is past"),
        (("--from", "2027-05-01", "--sitting", "2027-04-30"), "on or after 2027-05-01"),
    ],
)
def test_days_that_cannot_be_meant_are_refused(
    demo: Path, options: tuple[str, ...], says: str
) -> None:
    result = run(demo, "nadir", *options)
    assert result.exit_code == 2
    assert says in " ".join(result.stderr.split())


def test_a_sitting_that_nobody_published_is_a_problem_that_names_those_there_are(
    demo: Path,
) -> None:
    result = run(demo, "zdenka", "--title", "xa-council/dietitian", "--sitting", "2027-03-09")
    assert result.exit_code == 1
    assert "error P206: no sitting of an examination is published on 2027-03-09" in result.stderr
    assert result.stdout.strip() == ""


@pytest.mark.parametrize("option", ["--ics", "--chart"])
def test_a_file_that_is_read_is_not_written_over_by_any_option(demo: Path, option: str) -> None:
    result = run(demo, "nadir", option, str(demo / "applicants" / "nadir.yaml"))
    assert result.exit_code == 2
    assert f"Invalid value for {option}" in result.stderr


def test_the_solver_and_what_draws_are_not_loaded_before_they_are_needed() -> None:
    heavy = "{'ortools', 'scipy', 'vl_convert', 'icalendar', 'holidays', 'rich.console'}"
    code = f"import sys, comity.cli.plan; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
