"""What requirements read, remembered by the very object asked about."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from comity.core.eligibility.reading import by_identity, sections_of
from tests.unit.core.eligibility.samples import named

if TYPE_CHECKING:
    from collections.abc import Callable


def numbered() -> Callable[[list[int]], int]:
    """Return a function that numbers what it has not seen yet."""
    counter = count(1)
    return by_identity(lambda _thing: next(counter))


def test_equal_objects_are_worked_out_each_for_itself_and_once() -> None:
    work, one, other = numbered(), [1], [1]
    assert (work(one), work(other), work(one)) == (1, 2, 1)


def test_answers_are_forgotten_before_they_fill_the_memory() -> None:
    work = numbered()
    things = [[number] for number in range(4097)]
    assert [work(thing) for thing in things][-1] == 4097
    assert work(things[-1]) == 4097
    assert work(things[0]) == 4098


def test_what_is_the_same_as_another_may_read_anything() -> None:
    assert sections_of(named("{kind: not, of: {kind: same as, requirement: adult}}")) is None


def test_all_sections_inside_a_requirement_are_read() -> None:
    text = """
        kind: any
        of:
          - {kind: by hand, text: Conduct, checked_by: us}
          - {kind: declaration, declaration: sound, question: Well?}
          - kind: for each
            over: country of stay
            of: {kind: certificate, of: health, when: {kind: age, at_least: P18Y}}
    """
    expected = {"reviews", "declarations", "stays", "certificates", "person"}
    assert sections_of(named(text)) == frozenset(expected)
