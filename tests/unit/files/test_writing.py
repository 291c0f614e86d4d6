from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from comity.files.writing import WritingError, write_all, write_whole


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_text_and_bytes_are_written_as_they_are(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.txt", "é\r\n")
    write_whole(tmp_path / "b.pdf", b"\x00\xff")
    assert (tmp_path / "a.txt").read_bytes() == b"\xc3\xa9\r\n"
    assert (tmp_path / "b.pdf").read_bytes() == b"\x00\xff"
    assert names_in(tmp_path) == ["a.txt", "b.pdf"]


def test_a_file_is_replaced_and_keeps_who_may_read_it(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text("before")
    path.chmod(0o640)
    write_whole(path, "after")
    assert path.read_text() == "after"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_may_be_read_as_the_user_wishes(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        write_whole(tmp_path / "a.txt", "x")
    finally:
        os.umask(mask)
    assert stat.S_IMODE((tmp_path / "a.txt").stat().st_mode) == 0o640


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_text("before")
    (tmp_path / "link.txt").symlink_to("real.txt")
    write_whole(tmp_path / "link.txt", "after")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_text() == "after"


def test_what_is_no_ordinary_file_is_written_to() -> None:
    write_whole(Path(os.devnull), "x")
    assert not Path(os.devnull).is_file()


def test_a_missing_folder_is_told_with_the_file(tmp_path: Path) -> None:
    path = tmp_path / "missing" / "a.txt"
    with pytest.raises(WritingError) as refusal:
        write_whole(path, "x")
    problem = refusal.value.problem
    assert (problem.code, str(problem.place)) == ("F113", f"{path}:0:0")
    assert problem.got == "from the system: No such file or directory"
    assert str(refusal.value) == "the file cannot be written; nothing was changed"


def test_an_impossible_name_is_told_too(tmp_path: Path) -> None:
    with pytest.raises(WritingError) as refusal:
        write_whole(tmp_path / "a\0b", "x")
    assert refusal.value.problem.got == "from the system: embedded null byte"


def test_a_folder_is_not_written_over(tmp_path: Path) -> None:
    with pytest.raises(WritingError):
        write_whole(tmp_path, "x")
    assert names_in(tmp_path) == []


def test_of_several_files_none_is_written_where_one_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("before")
    with pytest.raises(WritingError):
        write_all({tmp_path / "a.txt": "after", tmp_path / "missing" / "b.txt": "x"})
    assert (tmp_path / "a.txt").read_text() == "before"
    assert names_in(tmp_path) == ["a.txt"]


def test_what_was_already_put_there_is_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_text("before")
    replace = Path.replace

    def failing(self: Path, target: Path) -> Path:
        if target.name == "c.txt":
            raise PermissionError(13, "Permission denied")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(WritingError) as refusal:
        write_all({tmp_path / name: "after" for name in ("a.txt", "b.txt", "c.txt")})
    assert str(refusal.value.problem.place) == f"{tmp_path / 'c.txt'}:0:0"
    assert (tmp_path / "a.txt").read_text() == "before"
    assert names_in(tmp_path) == ["a.txt"]


def test_of_two_names_of_one_file_the_last_counts(tmp_path: Path) -> None:
    (tmp_path / "link.txt").symlink_to("a.txt")
    write_all({tmp_path / "a.txt": "first", tmp_path / "link.txt": "last"})
    assert (tmp_path / "a.txt").read_text() == "last"
    assert names_in(tmp_path) == ["a.txt", "link.txt"]


def test_an_interrupted_writing_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_text("before")

    def interrupted(handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "a.txt", "after")
    assert (tmp_path / "a.txt").read_text() == "before"
    assert names_in(tmp_path) == ["a.txt"]
