"""The page on security: every item is answered, and every test it names is there."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
PAGE = (ROOT / "docs" / "security.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| (\d+\.\d+\.\d+) \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", re.MULTILINE)
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(test_\w+)`")
NOT_YET = "**not yet**"
# OWASP ASVS 5.0.0: items of levels 2 and 3 that bite where papers of people are kept.
ITEMS = re.findall(
    r"\S+",
    """
5.1.1 5.2.1 5.2.2 5.2.3 5.2.4 5.2.6 5.3.1 5.3.2 5.3.3 5.4.1 5.4.2 5.4.3
8.1.1 8.1.2 8.2.1 8.2.2 8.2.3 8.3.1 8.4.1
14.1.1 14.1.2 14.2.1 14.2.2 14.2.3 14.2.4 14.2.6 14.2.7 14.2.8 14.3.1 14.3.2 14.3.3
16.1.1 16.2.1 16.2.2 16.2.3 16.2.4 16.2.5 16.3.1 16.3.2 16.3.3 16.3.4
16.4.1 16.4.2 16.4.3 16.5.1 16.5.2 16.5.3
""",
)


def test_every_item_is_answered_once() -> None:
    answered = [row[0] for row in ROW.findall(PAGE)]
    assert [item for item in ITEMS if item not in answered] == []
    assert len(set(answered)) == len(answered)


def test_every_answer_names_a_test_or_says_not_yet() -> None:
    bare = [
        item
        for item, _asked, _answer, shown_by in ROW.findall(PAGE)
        if shown_by != NOT_YET and not NAMED.fullmatch(shown_by)
    ]
    assert bare == []


def test_every_test_that_is_named_is_there() -> None:
    lost = [
        f"{file}::{name}"
        for file, name in NAMED.findall(PAGE)
        if f"def {name}(" not in (ROOT / file).read_text(encoding="utf-8")
    ]
    assert lost == []
