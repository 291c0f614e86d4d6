"""What programs read: the same as members see in the desk, and as the command line prints."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
import yaml

from comity.demo.caseload import demo_files
from comity.store.cases import add_action, add_case, add_note, close_case
from comity.store.spans import refresh_all
from tests.desk.conftest import case_of
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from pathlib import Path

    from django.http import HttpResponse
    from pytest_django import Settings

    from comity.store.models import Account, Case
    from tests.desk.api.conftest import Program


@pytest.fixture
def in_the_demo(settings: Settings) -> None:
    settings.DEMO = True


@pytest.fixture
def rulebooks() -> None:
    all_kept()


def read(answer: HttpResponse) -> Any:  # noqa: ANN401 - JSON
    assert answer.status_code == 200, answer.content
    return json.loads(answer.content)


def test_a_page_of_applicants_is_cut_and_counted(owner: Account, program: Program) -> None:
    for name in ("hana", "soren", "ingrid"):
        case_of(name)
    caller = program(owner, "read")
    first = read(caller("GET", "applicants?per_page=2"))
    assert [each["reference"] for each in first["items"]] == ["hana", "ingrid"]
    assert (first["total"], first["page"], first["next_page"]) == (3, 1, 2)
    last = read(caller("GET", "applicants?per_page=2&page=2"))
    assert [each["reference"] for each in last["items"]] == ["soren"]
    assert last["next_page"] is None
    assert read(caller("GET", "applicants?page=1000000"))["items"] == []


@pytest.mark.usefixtures("rulebooks", "in_the_demo")
def test_applicants_are_filtered_by_verdict_on_a_day(owner: Account, program: Program) -> None:
    for name in ("hana", "soren", "ingrid"):
        case_of(name)
    refresh_all()
    caller = program(owner, "read")
    everybody = read(caller("GET", "applicants"))["items"]
    assert all(each["is_up_to_date"] for each in everybody)
    title = everybody[0]["verdicts"][0]
    for verdict in ("met", "unknown", "refer", "not met"):
        query = f"authority={title['authority']}&title={title['title']}&verdict={verdict}"
        found = read(caller("GET", f"applicants?{query}"))["items"]
        expected = [
            each["id"]
            for each in everybody
            for said in each["verdicts"]
            if {**said, "verdict": verdict} == said
            and (said["authority"], said["title"]) == (title["authority"], title["title"])
        ]
        assert [each["id"] for each in found] == expected


def test_applicants_are_filtered_by_adviser_state_and_next_day(
    owner: Account, adviser: Account, program: Program
) -> None:
    hana, soren = case_of("hana", adviser=adviser), case_of("soren")
    add_action(hana, "Call", actor=owner, due=date(2026, 12, 1))
    close_case(soren, actor=owner)
    caller = program(owner, "read")
    for query, expected in (
        (f"adviser={adviser.pk}", ["hana"]),
        ("state=closed", ["soren"]),
        ("state=all&order=next", ["hana", "soren"]),
        ("next_by=2026-12-01", ["hana"]),
        ("next_by=2026-11-30", []),
    ):
        found = read(caller("GET", f"applicants?{query}"))["items"]
        assert [each["reference"] for each in found] == expected


def test_names_are_searched_in_a_body_and_never_in_an_address(
    owner: Account, program: Program
) -> None:
    case_of("hana")
    case_of("soren")
    caller = program(owner, "read")
    found = read(caller("POST", "applicants/search", {"text": "kwon HANA"}))
    assert [each["reference"] for each in found["items"]] == ["hana"]
    refused = caller("GET", "applicants?text=hana")
    assert refused.status_code == 422
    [mended] = json.loads(refused.content)["problems"]
    assert (mended["code"], mended["got"]) == ("A105", '"text"')


def test_a_mistyped_parameter_is_refused_with_what_was_meant(
    owner: Account, program: Program
) -> None:
    answer = program(owner, "read")("GET", "applicants?verdit=met")
    [mended] = json.loads(answer.content)["problems"]
    assert (answer.status_code, mended["hint"]) == (422, "did you mean verdict?")


@pytest.mark.parametrize(
    ("query", "at"),
    [
        ("page=0", "query/page"),
        ("page=x", "query/page"),
        ("per_page=101", "query/per_page"),
        ("on=2026-02-30", "query/on"),
        ("on=1795564800", "query/on"),
        ("on=20261125", "query/on"),
        ("adviser=99999999999999999999", "query/adviser"),
        ("verdict=perhaps", "query/verdict"),
        ("verdict=met", "authority"),
        ("verdict=met&authority=XA&title=no-such", "title"),
        ("authority=%00", "query/authority"),
    ],
)
def test_a_parameter_that_cannot_be_is_named(
    query: str, at: str, owner: Account, program: Program
) -> None:
    answer = program(owner, "read")("GET", f"applicants?{query}")
    assert answer.status_code == 422
    assert json.loads(answer.content)["problems"][0]["at"] == at


def test_a_case_is_read_as_json_and_as_its_file(
    case: Case, adviser: Account, program: Program
) -> None:
    caller = program(adviser, "read")
    answer = caller("GET", f"cases/{case.pk}")
    found = read(answer)
    assert answer.headers["ETag"] == '"1"'
    assert found["adviser"] == {"id": adviser.pk, "name": adviser.name}
    assert (found["version"], found["has_account"], found["closed_at"]) == (1, True, None)
    kept = caller("GET", f"cases/{case.pk}/document")
    assert kept.content.decode() == case.document
    assert (kept.headers["Content-Type"], kept.headers["ETag"]) == ("application/yaml", '"1"')
    written = yaml.safe_load(case.document)
    assert found["document"]["applicant"] == written["applicant"]
    assert set(found["document"]) == set(written)


@pytest.mark.usefixtures("rulebooks", "in_the_demo")
@pytest.mark.parametrize(
    "asked",
    [
        "",
        "?assumption=stops&on=2027-03-01&title={title}",
        "?assumption=stops&on=2027-03-01&title={title}&confirmed_only=true",
    ],
)
def test_answers_are_what_the_command_line_prints(
    asked: str, case: Case, owner: Account, program: Program, tmp_path: Path
) -> None:
    for path, text in demo_files().items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    caller = program(owner, "read")
    title = read(caller("GET", f"cases/{case.pk}/answers"))[0]["title"]
    found = read(caller("GET", f"cases/{case.pk}/answers{asked.format(title=title)}"))
    extra = ["--assume", "stops", "--on", "2027-03-01", "--title", title] if asked else []
    extra += ["--confirmed"] if "confirmed" in asked else []
    printed = subprocess.run(
        [
            *(sys.executable, "-m", "comity", "assess", "applicants/hana.yaml"),
            *("--rulebook", "rulebooks", "--today", "2026-11-25", "--json", *extra),
        ],
        cwd=tmp_path,
        check=True,
        capture_output=True,
        text=True,
    )
    assert found == json.loads(printed.stdout)
    assert len(found) >= (3 if asked else 4)


@pytest.mark.usefixtures("rulebooks")
def test_answers_on_an_unknown_title_name_the_known_ones(
    case: Case, owner: Account, program: Program
) -> None:
    answer = program(owner)("GET", f"cases/{case.pk}/answers?title=nothing")
    [mended] = json.loads(answer.content)["problems"]
    assert (answer.status_code, mended["code"], mended["got"]) == (422, "E102", "nothing")
    assert "/" in mended["expected"]


def test_without_rulebooks_there_are_no_answers(
    case: Case, owner: Account, program: Program
) -> None:
    caller = program(owner)
    assert read(caller("GET", f"cases/{case.pk}/answers")) == []
    assert read(caller("GET", f"cases/{case.pk}/dates"))["open"] == []


@pytest.mark.usefixtures("rulebooks", "in_the_demo")
def test_open_dates_are_those_of_the_answers(case: Case, owner: Account, program: Program) -> None:
    caller = program(owner)
    dates = read(caller("GET", f"cases/{case.pk}/dates"))
    for assumption in ("continues", "stops"):
        query = f"cases/{case.pk}/answers?assumption={assumption}"
        expected = {(e["authority"], e["title"]): e["windows"] for e in read(caller("GET", query))}
        found = {
            (each["authority"], each["title"]): each["windows"]
            for each in dates["open"]
            if each["assumption"] == assumption
        }
        assert found == expected
        assert found
    days = [each["day"] for each in dates["coming"]]
    assert days == sorted(days)
    assert days


def test_actions_and_notes_of_a_case_are_listed(
    case: Case, owner: Account, program: Program
) -> None:
    add_action(case, "Ask for the diploma", actor=owner, holder="school")
    add_note(case, "Prefers the telephone.", actor=owner)
    caller = program(owner)
    [action] = read(caller("GET", f"cases/{case.pk}/actions"))["items"]
    assert (action["text"], action["holder"], action["done_at"]) == (
        "Ask for the diploma",
        "school",
        None,
    )
    assert read(caller("GET", f"cases/{case.pk}/actions?state=done"))["items"] == []
    [note] = read(caller("GET", f"cases/{case.pk}/notes"))["items"]
    assert (note["text"], note["author"]["name"]) == ("Prefers the telephone.", owner.name)
    assert read(caller("GET", f"cases/{case.pk}/given"))["items"] == []


def test_the_history_tells_who_did_what(owner: Account, program: Program) -> None:
    case = add_case(demo_files()["applicants/hana.yaml"], actor=owner)
    add_note(case, "A note.", actor=None)
    found = read(program(owner)("GET", f"cases/{case.pk}/history"))["items"]
    assert [(each["action"], each["actor"]) for each in found] == [
        ("case/note added", None),
        ("case/added", {"id": owner.pk, "name": owner.name}),
    ]
    assert found[0]["detail"] == {"text": "A note."}


@pytest.mark.usefixtures("rulebooks")
def test_editions_are_listed_and_read(owner: Account, program: Program) -> None:
    caller = program(owner)
    rows = read(caller("GET", "rulebooks?state=in force&authority=xa-council"))["items"]
    assert rows
    assert {each["authority"] for each in rows} == {"xa-council"}
    path = f"rulebooks/xa-council/{rows[0]['edition']}"
    one = read(caller("GET", path))
    assert one["titles"]
    assert one["authority_name"]
    kept = caller("GET", f"{path}/text")
    assert kept.content.decode() == one["text"]
    assert one["text"] in demo_files().values()
    assert caller("GET", "rulebooks/xa-council/none").status_code == 404
    assert caller("GET", "rulebooks/xa-council/%00").status_code == 404


@pytest.mark.usefixtures("in_the_demo")
def test_what_needs_a_person_is_listed_with_its_case(
    case: Case, owner: Account, adviser: Account, program: Program
) -> None:
    due = date(2026, 11, 20)
    add_action(case, "Send the form", actor=owner, due=due)
    for caller, query in ((program(owner), ""), (program(adviser), "?whose=mine")):
        found = read(caller("GET", f"needs{query}"))["items"]
        [need] = [each for each in found if each["sort"] == "action due"]
        assert (need["urgency"], need["case"], need["action"]) == (
            "now",
            str(case.pk),
            "Send the form",
        )
        assert need["day"] == "2026-11-20"
    assert read(program(owner)("GET", "needs?whose=mine"))["items"] == []
