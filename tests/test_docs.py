"""The documentation tells the truth: sessions run, references are whole, links lead somewhere."""

from __future__ import annotations

import re
import shutil
import tomllib
from pathlib import Path

import pytest

from tests.documents import (
    Command,
    anchors_of,
    links_of,
    run_in_shell,
    run_page,
    steps_of,
    without_fences,
)
from tools import make_cli_reference, make_file_reference

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
DOCS = ROOT / "docs"
PAGES = [README, ROOT / "CHANGELOG.md", ROOT / "tests" / "README.md", *sorted(DOCS.rglob("*.md"))]
PROBLEM_CODE = re.compile(r"""["']([FREPVXS]\d{3})["']""")


def read(path: Path) -> str:
    """Return a page's text."""
    return path.read_text(encoding="utf-8")


def name_of(path: Path) -> str:
    """Return a page's name as the tests print it."""
    return str(path.relative_to(ROOT))


PAGES_WITH_SESSIONS = [
    path for path in PAGES if any(isinstance(step, Command) for step in steps_of(read(path)))
]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which ``comity demo demo`` was run."""
    folder = tmp_path_factory.mktemp("session")
    status, printed = run_in_shell("comity demo demo", folder)
    assert status == 0, "\n".join(printed)
    return folder


@pytest.mark.parametrize("path", PAGES_WITH_SESSIONS, ids=name_of)
def test_sessions_print_what_the_page_shows(path: Path, demo: Path, tmp_path: Path) -> None:
    text = read(path)
    if "$ comity demo demo" not in text:
        shutil.copytree(demo, tmp_path, dirs_exist_ok=True)
    failures = run_page(text, tmp_path)
    assert failures == [], "\n".join(failures)


def test_the_readme_shows_a_session_and_stays_short() -> None:
    text = read(README)
    assert README in PAGES_WITH_SESSIONS
    assert len(without_fences(text).split()) <= 300


def test_the_readme_names_the_two_commands() -> None:
    assert re.search(r"^make demo\b.*\nmake test\b", read(README), re.MULTILINE)


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_links_lead_somewhere(path: Path) -> None:
    lost = []
    for link in links_of(read(path)):
        file, _, anchor = link.partition("#")
        target = (path.parent / file).resolve() if file else path
        if not target.exists() or (anchor and anchor not in anchors_of(read(target))):
            lost.append(link)
    assert lost == []


def test_every_page_can_be_reached_from_the_index() -> None:
    reached = {DOCS / "index.md"}
    new = set(reached)
    while new:
        found = {
            (path.parent / link.partition("#")[0]).resolve()
            for path in new
            for link in links_of(read(path))
        }
        new = {path for path in found if path.suffix == ".md" and path not in reached}
        reached |= new
    assert [name_of(path) for path in sorted(set(DOCS.rglob("*.md")) - reached)] == []


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_a_page_has_one_title_and_nothing_left_open(path: Path) -> None:
    text = without_fences(read(path))
    assert len(re.findall(r"^# ", text, re.MULTILINE)) == 1
    assert re.findall(r"(?i)\b(?:todo|tbd|to be written|coming soon|fixme)\b", text) == []


def test_the_command_reference_is_current() -> None:
    assert read(DOCS / "reference" / "cli.md") == make_cli_reference.reference(), (
        "run: .venv/bin/python -m tools.make_cli_reference"
    )


@pytest.mark.parametrize("page", make_file_reference.PAGES, ids=lambda page: str(page.title))
def test_the_file_references_are_current(page: make_file_reference.Page) -> None:
    assert read(page.path) == make_file_reference.reference(page), (
        "run: .venv/bin/python -m tools.make_file_reference"
    )


def test_the_command_reference_names_every_command_and_option() -> None:
    text = read(DOCS / "reference" / "cli.md")
    missing = [
        name
        for name in make_cli_reference.names_to_document()
        if not re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", text)
    ]
    assert missing == []


def test_every_problem_code_has_its_section_and_its_bad_file() -> None:
    sources = (ROOT / "src").rglob("*.py")
    codes = {code for path in sources for code in PROBLEM_CODE.findall(read(path))}
    sections = set(re.findall(r"^#+ .*?\b([FREPVXS]\d{3})\b", _problem_page(), re.MULTILINE))
    files = {path.name.split(".")[0] for path in (ROOT / "tests/assets/bad").iterdir()}
    assert codes, "no problem code was found in the source"
    assert sorted(codes - sections) == []
    assert sorted(sections - codes) == []
    assert sorted(codes - files) == []


def _problem_page() -> str:
    return read(DOCS / "reference" / "problems.md")


def test_the_newest_entry_of_the_changelog_is_the_version() -> None:
    newest = re.search(r"^## \[([^\]]+)\]", read(ROOT / "CHANGELOG.md"), re.MULTILINE)
    project = tomllib.loads(read(ROOT / "pyproject.toml"))["project"]
    assert newest is not None
    assert newest[1] == project["version"]


def test_decisions_are_numbered_without_gaps_and_listed() -> None:
    records = sorted((DOCS / "decisions").glob("[0-9]*.md"))
    numbers = [int(path.name[:4]) for path in records]
    listed = links_of(read(DOCS / "decisions" / "index.md"))
    assert numbers == list(range(1, len(records) + 1))
    assert [path.name for path in records if path.name not in listed] == []


@pytest.mark.parametrize("path", sorted(DOCS.glob("decisions/[0-9]*.md")), ids=name_of)
def test_a_decision_has_its_four_parts_on_one_page(path: Path) -> None:
    text = read(path)
    parts = re.findall(r"^## (.+)$", text, re.MULTILINE)
    assert parts == ["Context", "Decision", "Alternatives refused", "Consequences"]
    assert len(text.split()) <= 450
