"""The checker of the documentation finds what it is there to find."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.documents import anchors_of, is_shown_by, links_of, run_page, steps_of

if TYPE_CHECKING:
    from pathlib import Path


def page(*lines: str) -> str:
    """Return a page with one session."""
    return "\n".join(["Before.", "```console", *lines, "```", "After.", ""])


def test_a_session_that_prints_what_it_shows_has_no_failures(tmp_path: Path) -> None:
    assert run_page(page("$ echo one; echo two", "one", "two", "$ true"), tmp_path) == []


def test_another_output_is_a_failure_that_shows_it(tmp_path: Path) -> None:
    failures = run_page(page("$ true", "$ echo one", "two"), tmp_path)
    assert failures == ["line 4: `echo one` printed:\none\n"]


def test_output_that_is_not_shown_is_a_failure(tmp_path: Path) -> None:
    assert run_page(page("$ echo one"), tmp_path) == ["line 3: `echo one` printed:\none\n"]


def test_a_failing_command_is_a_failure_even_when_silent(tmp_path: Path) -> None:
    assert run_page(page("$ exit 3"), tmp_path) == ["line 3: `exit 3` printed:\n[exit status 3]\n"]


def test_a_failing_command_may_be_followed_by_its_status(tmp_path: Path) -> None:
    assert run_page(page("$ exit 3", "$ echo $?", "3"), tmp_path) == []
    assert run_page(page("$ exit 3", "$ echo $?", "0"), tmp_path) != []


def test_errors_are_part_of_the_output(tmp_path: Path) -> None:
    assert run_page(page("$ echo wrong >&2", "wrong"), tmp_path) == []


def test_a_command_may_go_on_after_a_backslash(tmp_path: Path) -> None:
    assert run_page(page("$ echo one \\", "    two", "one two"), tmp_path) == []


def test_a_shown_file_is_there_for_the_next_command(tmp_path: Path) -> None:
    shown = "<!-- file: a/b.yaml -->\n```yaml\nid: x\n```\n"
    assert run_page(shown + page("$ cat a/b.yaml", "id: x"), tmp_path) == []


def test_a_session_without_a_command_first_is_refused() -> None:
    with pytest.raises(ValueError, match=r"line 3: a session starts with '\$ ', not 'one'"):
        list(steps_of(page("one", "$ echo one")))


@pytest.mark.parametrize(
    ("expected", "printed", "fits"),
    [
        ("a ... c", "a b b c", True),
        ("a ... c", "a c", True),
        ("...", "", True),
        ("a ... c", "a b", False),
        ("a ...", "b a", False),
        ("a", "a b", False),
        ("a b", "a", False),
    ],
)
def test_three_dots_stand_for_any_lines(expected: str, printed: str, *, fits: bool) -> None:
    assert is_shown_by(expected.split(), printed.split()) is fits


def test_links_outside_fences_and_inside_the_project_are_found() -> None:
    text = "[a](b.md#c) [d](https://example.org) ![e](f.svg)\n```sh\n[g](h.md)\n```\n"
    assert links_of(text) == ["b.md#c"]


def test_headings_become_anchors() -> None:
    assert anchors_of("# One *day*, two\n\n## `comity ask`\n") == {"one-day-two", "comity-ask"}
