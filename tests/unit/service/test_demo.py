from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.demo.caseload import demo_files
from comity.demo.exam_class import examination_files
from comity.files.rendering import render
from comity.files.writing import WritingError
from comity.service import demo
from comity.service.demo import lay_out

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path


def contents(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_new_folder_gets_every_file_of_the_demo(tmp_path: Path) -> None:
    folder = tmp_path / "some" / "demo"
    done = lay_out(folder)
    assert done.problems == ()
    assert contents(folder) == {**demo_files(), **examination_files()}
    assert done.n_applicants + done.n_editions == len(demo_files())
    assert (done.applicants, done.rulebooks) == (folder / "applicants", folder / "rulebooks")


def test_an_empty_folder_is_used(tmp_path: Path) -> None:
    assert lay_out(tmp_path).problems == ()
    assert contents(tmp_path) == {**demo_files(), **examination_files()}


def test_laying_out_twice_changes_nothing_and_puts_back_what_was_deleted(tmp_path: Path) -> None:
    lay_out(tmp_path)
    (tmp_path / "applicants" / "thu.yaml").unlink()
    assert lay_out(tmp_path).problems == ()
    assert contents(tmp_path) == {**demo_files(), **examination_files()}


def test_a_folder_with_other_files_is_refused_and_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "notes.txt").write_text("keep me", encoding="utf-8")
    done = lay_out(folder)
    assert contents(folder) == {"notes.txt": "keep me"}
    assert list(folder.iterdir()) == [folder / "notes.txt"]
    assert done.paths == ()
    assert render(done.problems, {}) == (
        f"{folder}: error F113: the demo cannot be laid out here; nothing was changed\n"
        "   got notes.txt, no file of the demo; expected a new or an empty folder\n"
        "   hint: name another folder, or delete this one if nothing in it is needed"
    )


def test_a_file_which_the_user_changed_is_never_overwritten(tmp_path: Path) -> None:
    lay_out(tmp_path)
    changed = tmp_path / "applicants" / "thu.yaml"
    changed.write_text("applicant: thu\n", encoding="utf-8")
    (problem,) = lay_out(tmp_path).problems
    assert problem.got == "applicants/thu.yaml, changed since the demo was laid out"
    assert changed.read_text(encoding="utf-8") == "applicant: thu\n"


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "demo"
    file.write_text("keep me", encoding="utf-8")
    (problem,) = lay_out(file).problems
    assert (problem.code, problem.got) == ("F113", "a file")
    assert file.read_text(encoding="utf-8") == "keep me"


def test_a_folder_below_a_file_cannot_be_made(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("keep me", encoding="utf-8")
    (problem,) = lay_out(file / "demo").problems
    assert (problem.code, problem.got) == ("F113", "from the system: Not a directory")


def test_when_writing_fails_the_new_folders_are_gone_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(contents: Mapping[Path, str]) -> None:
        path = next(iter(contents))
        error = OSError(28, "No space left on device")
        raise WritingError(demo._refused(path, error)) from error

    monkeypatch.setattr(demo, "write_all", full)
    (problem,) = lay_out(tmp_path / "new" / "demo").problems
    assert problem.got == "from the system: No space left on device"
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_too_long_a_name_is_told(tmp_path: Path) -> None:
    folder = tmp_path / ("a" * 300)
    (problem,) = lay_out(folder).problems
    assert (problem.code, problem.got) == ("F113", "from the system: File name too long")
    assert list(tmp_path.iterdir()) == []
