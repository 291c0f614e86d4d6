from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.responses import (
    Answer,
    Responses,
    ResponsesError,
    remarks_on,
    responses_from_log,
    responses_from_table,
)

NOT_SEEN = float("nan")


def test_truth_values_whole_numbers_and_floats_give_equal_tables() -> None:
    tables: list[list[list[float]]] = [[[True, False]], [[1, 0]], [[1.0, 0.0]]]
    assert len({responses_from_table(table) for table in tables}) == 1


def test_equality_minds_ids_and_gaps() -> None:
    table = responses_from_table([[1, NOT_SEEN]], items=("q1", "q2"))
    assert table == responses_from_table([[1, NOT_SEEN]], items=("q1", "q2"))
    assert table != responses_from_table([[1, 0]], items=("q1", "q2"))
    assert table != responses_from_table([[1, NOT_SEEN]], items=("q1", "q3"))
    assert table != "a table"


def test_nobody_can_write_to_the_scores() -> None:
    table = responses_from_table([[1, 0]])
    with pytest.raises(ValueError, match="read-only"):
        table.scores[0, 0] = 0


def test_changing_the_array_given_does_not_change_the_table() -> None:
    given = np.array([[1.0, 0.0]])
    table = responses_from_table(given)
    given[0, 0] = 0
    assert table.scores.tolist() == [[1, 0]]


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(ResponsesError) as raised:
        responses_from_table([[1, 2], [0, 7]], people=("amara", "amara"), items=("q1",))
    assert raised.value.faults == (
        "person ids that stand more than once: 'amara'",
        "1 item ids for a table with 2",
        "scores must be 0, 1 or empty: row 1, column 2 has 2, and 1 more",
    )


def test_many_duplicate_ids_are_counted_after_the_first_five() -> None:
    ids = [f"q{number}" for number in range(7) for _ in range(2)]
    with pytest.raises(ResponsesError, match=r"'q4' and 2 more$"):
        responses_from_table(np.ones((1, 14)), items=ids)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ([1, 0], r"^scores must have rows and columns, got 1 dimension\(s\)$"),
        ([[1, 0], [1]], "^scores must be a table of numbers: "),
        ([["a"]], "^scores must be a table of numbers: "),
        ([[0.5]], r"^scores must be 0, 1 or empty: row 1, column 1 has 0\.5$"),
    ],
)
def test_what_is_no_table_of_right_and_wrong_is_refused(table: object, message: str) -> None:
    with pytest.raises(ResponsesError, match=message):
        responses_from_table(table)  # type: ignore[arg-type]


def test_only_the_first_answer_to_an_item_counts() -> None:
    log = [Answer("b", "q2", 0), Answer("a", "q1", 1), Answer("b", "q2", 1)]
    table = responses_from_log(log, ("q1", "q2"))
    assert table == responses_from_table(
        [[1, NOT_SEEN], [NOT_SEEN, 0]], people=("a", "b"), items=("q1", "q2")
    )


def test_answers_to_unknown_items_are_named() -> None:
    log = [Answer("a", "q9", 1), Answer("a", "q8", 1), Answer("a", "q1", 1)]
    with pytest.raises(ResponsesError, match=r"^answers to unknown items: 'q8', 'q9'$"):
        responses_from_log(log, ("q1",))


def test_columns_can_be_picked_and_unknown_ones_are_named() -> None:
    table = responses_from_table([[1, 0, 1]], items=("q1", "q2", "q3"))
    assert table.of_items(("q3", "q2")).scores.tolist() == [[1, 0]]
    with pytest.raises(ResponsesError, match=r"^no answers to an item 'q4'$"):
        table.of_items(("q1", "q4"))


def test_each_oddity_has_its_rule() -> None:
    table = responses_from_table(
        [
            [1, 1, 0, NOT_SEEN, NOT_SEEN, 1],
            [1, 0, 0, NOT_SEEN, NOT_SEEN, 0],
            [1, 1, NOT_SEEN, NOT_SEEN, NOT_SEEN, 1],
            [NOT_SEEN, 0, 0, NOT_SEEN, NOT_SEEN, 0],
            [NOT_SEEN] * 6,
            [1, 0, 0, NOT_SEEN, 1, 1],
        ],
        people=("p1", "p2", "right", "wrong", "absent", "p6"),
        items=("easy", "q2", "hard", "unseen", "once", "q6"),
    )
    found = [(each.of, each.subject, each.oddity) for each in remarks_on(table)]
    assert found == [
        ("person", "right", "all right"),
        ("person", "wrong", "all wrong"),
        ("person", "absent", "nothing seen"),
        ("item", "easy", "all right"),
        ("item", "hard", "all wrong"),
        ("item", "unseen", "seen by nobody"),
        ("item", "once", "seen by one person"),
    ]
    assert all(each.rule for each in remarks_on(table))


def test_an_ordinary_table_is_not_remarked_on() -> None:
    assert remarks_on(responses_from_table([[1, 0], [0, 1]])) == ()


def test_a_table_can_be_empty() -> None:
    table = responses_from_log([], ("q1",))
    assert isinstance(table, Responses)
    assert (table.n_people, table.n_items) == (0, 1)
    assert [each.oddity for each in remarks_on(table)] == ["seen by nobody"]
