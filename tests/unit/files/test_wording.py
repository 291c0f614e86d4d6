from __future__ import annotations

import pytest

from comity.core.problems import Place
from comity.files.nodes import BlockNode, ListNode, TextNode
from comity.files.wording import listed, nearest, quoted, shortened

HERE = Place("x.yaml")


def test_long_text_is_shortened_to_sixty_signs() -> None:
    assert shortened("x" * 60) == "x" * 60
    assert shortened("x" * 61) == "x" * 59 + "…"


def test_a_node_is_called_by_its_text_or_by_what_it_is() -> None:
    assert quoted(TextNode("NO", HERE)) == "'NO'"
    assert quoted(ListNode((), HERE)) == "a list"
    assert quoted(BlockNode((), HERE)) == "a block of keys"


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (["a"], "a"),
        (["a", "b"], "a or b"),
        (["a", "b", "c"], "a, b or c"),
        ([str(n) for n in range(13)], "0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, …"),
    ],
    ids=["one", "two", "three", "many"],
)
def test_words_are_listed_as_people_do(words: list[str], text: str) -> None:
    assert listed(words) == text


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("registred", "registered"),
        ("Full-Time", "full_time"),
        ("good standin", "good-standing"),
        ("something", None),
        ("registered" * 100_000, None),
    ],
    ids=["slip", "hyphen", "space", "other", "hostile"],
)
def test_the_word_that_was_meant_is_found(word: str, meant: str | None) -> None:
    assert nearest(word, ["registered", "full_time", "good-standing"]) == meant
