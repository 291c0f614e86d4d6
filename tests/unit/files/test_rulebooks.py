"""Rulebooks from a path: one edition, an authority's folder, or a folder of folders."""

from __future__ import annotations

from pathlib import Path

import pytest

from comity.files.rendering import render
from comity.files.rulebooks import N_KINDS, EditionFile, load_rulebook_texts, load_rulebooks

TEXT = """\
rulebook: "{edition}"
authority: {{id: {authority}, name: Council, country: XA}}
applies: {{from: {start}, until: {end}}}
read: 2026-05-01
wholly_read: yes
titles: [{{id: dietitian, name: Dietitian, profession: 2265}}]
"""
APPLICANT = "applicant: amara-n\nfacts: {}\n"


def text(
    edition: str = "2026",
    *,
    authority: str = "xa",
    start: str = "2026-01-01",
    end: str = "2026-12-31",
) -> str:
    """Return an edition's file."""
    return TEXT.format(edition=edition, authority=authority, start=start, end=end)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Return a folder of two authorities, the first with two editions."""
    for name, content in {
        "xb/only.yaml": text(authority="xb"),
        "xa/b-old.yml": text("2025", start="2025-01-01", end="2025-12-31"),
        "xa/a-new.yaml": text(),
        "xa/notes.txt": "not a rulebook",
        ".hidden/x.yaml": "not: one",
        "xa/.draft.yaml": "not: one",
    }.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(content, encoding="utf-8")
    return tmp_path


def test_every_kind_is_known_to_the_reader() -> None:
    assert N_KINDS > 20


def test_a_folder_of_folders_gives_one_rulebook_an_authority(shelf: Path) -> None:
    loaded = load_rulebooks([shelf])
    assert loaded.problems == ()
    assert loaded.is_sound
    assert [each.authority.id for each in loaded.rulebooks] == ["xa", "xb"]
    assert [each.rulebook for each in loaded.rulebooks[0].editions] == ["2025", "2026"]
    assert [Path(each.file).name for each in loaded.files] == [
        "b-old.yml",
        "a-new.yaml",
        "only.yaml",
    ]


def test_an_authoritys_folder_or_one_file_will_do(shelf: Path) -> None:
    assert len(load_rulebooks([shelf / "xa"]).files) == 2
    assert len(load_rulebooks([shelf / "xa" / "a-new.yaml"]).files) == 1


def test_a_file_named_twice_is_read_once(shelf: Path) -> None:
    loaded = load_rulebooks([shelf / "xa", shelf / "xa" / "a-new.yaml", shelf])
    assert len(loaded.files) == 3
    assert loaded.problems == ()


def test_problems_of_all_files_are_told_in_one_run(shelf: Path) -> None:
    (shelf / "xa" / "broken.yaml").write_text("rulebook: [\n", encoding="utf-8")
    (shelf / "xa" / "latin.yaml").write_bytes(b"rulebook: \xe9\n")
    loaded = load_rulebooks([shelf, shelf / "missing.yaml"])
    assert not loaded.is_sound
    assert [problem.code for problem in loaded.problems] == ["F111", "F105", "F102"]
    assert len(loaded.files) == 3


def test_an_applicant_file_is_called_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "amara.yaml"
    path.write_text(APPLICANT, encoding="utf-8")
    loaded = load_rulebooks([path])
    assert render(loaded.problems, loaded.texts).replace(str(path), "amara.yaml") == (
        "amara.yaml:1:1: error F207: the file is not a rulebook\n"
        "    1 | applicant: amara-n\n"
        "      | ^^^^^^^^^ got what looks like an applicant file; expected a rulebook\n"
        "   hint: check which file stands where in the command"
    )
    assert loaded.rulebooks == ()


def test_texts_are_read_like_files() -> None:
    loaded = load_rulebook_texts({"a.yaml": text(), "b.yaml": "\ufeff" + text("2027")})
    assert [each.file for each in loaded.files] == ["a.yaml", "b.yaml"]
    assert [problem.code for problem in loaded.problems] == ["R104"]


def test_staleness_is_looked_at_only_with_a_today() -> None:
    goes_on = text(end="..")
    assert load_rulebook_texts({"a.yaml": goes_on}).problems == ()
    (problem,) = load_rulebook_texts({"a.yaml": goes_on}, today=60_000).problems
    assert (problem.code, problem.severity) == ("R107", "warning")


def test_the_place_of_a_value_is_that_of_the_nearest_around_it() -> None:
    (file,) = load_rulebook_texts({"a.yaml": text()}).files
    assert str(file.place_of(("applies", "from"))) == "a.yaml:3:17"
    assert str(file.place_of(("titles", 0, "requires", 4))) == "a.yaml:6:11"
    assert str(EditionFile("b.yaml", file.edition, {}).place_of(("read",))) == "b.yaml:1:1"


def test_the_newest_edition_names_the_authority() -> None:
    renamed = text("2027", start="2027-01-01", end="..").replace("name: Council", "name: College")
    loaded = load_rulebook_texts({"a.yaml": renamed, "b.yaml": text()})
    assert loaded.rulebooks[0].authority.name == "College"


def test_a_known_time_zone_is_no_problem() -> None:
    known = text().replace("country: XA", "country: XA, time_zone: Asia/Tokyo")
    assert load_rulebook_texts({"a.yaml": known}).problems == ()


def test_a_time_zone_like_no_other_gets_no_guess() -> None:
    odd = text().replace("country: XA", "country: XA, time_zone: 12345")
    (problem,) = load_rulebook_texts({"a.yaml": odd}).problems
    assert (problem.code, problem.hint) == ("R102", "")
