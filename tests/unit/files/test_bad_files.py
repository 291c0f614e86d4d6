from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from comity.core.problem_codes import PROBLEM_CODES
from tests.bad_files import FOLDER, shown_for
from tools import make_problem_reference

if TYPE_CHECKING:
    from pathlib import Path

FILES = sorted(FOLDER.glob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_bad_file_shows_exactly_its_message(path: Path) -> None:
    assert shown_for(path) + "\n" == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_bad_file_shows_the_code_in_its_name_and_no_other(path: Path) -> None:
    shown = path.with_suffix(".txt").read_text(encoding="utf-8")
    codes = set(re.findall(r"^(?:\S+: )?(?:error|warning) ([A-Z]\d{3}):", shown, re.MULTILINE))
    assert codes == {path.stem.partition("-")[0]}


def test_every_message_belongs_to_a_bad_file() -> None:
    messages = {path.stem for path in FOLDER.glob("*.txt")}
    assert messages == {path.stem for path in FILES}


@pytest.mark.parametrize("code", sorted(PROBLEM_CODES))
def test_every_code_has_a_bad_file(code: str) -> None:
    assert (FOLDER / f"{code}.yaml").is_file()


def test_the_reference_of_problems_is_current() -> None:
    written = make_problem_reference.PAGE.read_text(encoding="utf-8")
    assert written == make_problem_reference.reference()
