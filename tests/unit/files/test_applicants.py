"""Applicants from their files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.files.applicants import load_applicant, read_applicant
from comity.files.rendering import render

if TYPE_CHECKING:
    from pathlib import Path

TEXT = """\
applicant: amara-n
facts:
  practice:
    - {id: post, start: 2020-03-01, end: 2021-02-28}
"""


def test_a_good_file_gives_the_applicant_with_places(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    path.write_text(TEXT, encoding="utf-8")
    loaded = load_applicant(path)
    assert loaded.is_sound
    assert loaded.applicant is not None
    assert loaded.applicant.applicant == "amara-n"
    assert loaded.places["facts", "practice", 0, "end"].line == 4
    assert (loaded.file, loaded.text) == (str(path), TEXT)


def test_a_file_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    loaded = load_applicant(tmp_path / "nobody.yaml")
    assert not loaded.is_sound
    assert [problem.code for problem in loaded.problems] == ["F111"]


def test_an_empty_file_is_a_problem() -> None:
    loaded = read_applicant("", "empty.yaml")
    assert (loaded.applicant, [problem.code for problem in loaded.problems]) == (None, ["F101"])


def test_problems_of_single_values_are_told() -> None:
    loaded = read_applicant(TEXT.replace("2021-02-28", "2021-02-31"), "amara.yaml")
    assert loaded.applicant is None
    assert [problem.code for problem in loaded.problems] == ["F413"]


def test_a_rulebook_is_called_by_its_name() -> None:
    text = 'rulebook: "2026"\nauthority: {}\nread: 2026-05-01\nwholly_read: yes\ntitles: []\n'
    loaded = read_applicant(text, "2026.yaml")
    assert render(loaded.problems, {"2026.yaml": text}) == (
        "2026.yaml:1:1: error F207: the file is not an applicant file\n"
        '    1 | rulebook: "2026"\n'
        "      | ^^^^^^^^ got what looks like a rulebook; expected an applicant file\n"
        "   hint: check which file stands where in the command"
    )


def test_a_file_as_a_whole_is_looked_at() -> None:
    doubled = TEXT + "    - {id: post, start: 2022-03-01}\n"
    (problem,) = read_applicant(doubled, "amara.yaml").problems
    assert (problem.code, str(problem.place), problem.got) == ("F311", "amara.yaml:5:12", "'post'")
    assert str(problem.related[0][0]) == "amara.yaml:4:12"
