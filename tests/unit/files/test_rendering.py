from __future__ import annotations

from comity.core.problems import Place, Problem
from comity.files.rendering import as_json, harmless, render


def shown(line: str, *, column: int, end: int | None = None) -> list[str]:
    problem = Problem("F999", "it is so", place=Place("x.yaml", 1, column, end))
    return render([problem], {"x.yaml": line}).split("\n")[1:]


def test_a_problem_is_shown_in_full() -> None:
    problem = Problem(
        "R104",
        "waiting time must be a whole number of days",
        place=Place("rules/x/permit.yaml", 2, 12, 20),
        severity="warning",
        got="the text 'ninety'",
        expected="e.g. 90",
        hint="write the number without quotes and unit",
        source="Act 3, section 4",
        related=((Place("rules/x/permit.yaml", 1, 3), "first definition"),),
    )
    text = "one:\n  waiting: 'ninety'\n"
    assert render([problem], {"rules/x/permit.yaml": text}) == (
        "rules/x/permit.yaml:2:12: warning R104: waiting time must be a whole number of days\n"
        "    2 |   waiting: 'ninety'\n"
        "      |            ^^^^^^^^ got the text 'ninety'; expected e.g. 90\n"
        "   hint: write the number without quotes and unit\n"
        "   see also: rules/x/permit.yaml:1:3 (first definition)\n"
        "   source: Act 3, section 4"
    )


def test_problems_come_in_reading_order_and_nothing_comes_of_none() -> None:
    problems = [
        Problem("F902", "second", place=Place("x.yaml", 3)),
        Problem("F901", "first", place=Place("x.yaml", 1)),
        Problem("F903", "nowhere"),
    ]
    assert render(problems, {}) == (
        "error F903: nowhere\nx.yaml:1:1: error F901: first\nx.yaml:3:1: error F902: second"
    )
    assert render([], {}) == ""


def test_what_has_no_line_names_the_file_only() -> None:
    problem = Problem("F999", "it is so", place=Place("x.yaml", 0, 0), got="nothing")
    assert render([problem], {"x.yaml": "a"}) == "x.yaml: error F999: it is so\n   got nothing"


def test_a_span_is_marked_from_its_first_to_its_last_column() -> None:
    assert shown("a: bcd", column=4, end=7) == ["    1 | a: bcd", "      |    ^^^"]


def test_without_an_end_or_behind_the_line_one_column_is_marked() -> None:
    assert shown("a: bcd", column=4) == ["    1 | a: bcd", "      |    ^"]
    assert shown("a:", column=99, end=120) == ["    1 | a:", "      |   ^"]


def test_wide_signs_take_two_columns_and_marks_on_letters_none() -> None:
    assert shown("名前: b", column=5, end=6)[1] == "      |       ^"
    assert shown("a: 名前", column=4, end=6)[1] == "      |    ^^^^"
    assert shown("e\u0301: b", column=5, end=6)[1] == "      |    ^"


def test_a_tab_is_shown_as_four_spaces() -> None:
    assert shown("\tb: 1", column=1, end=2) == ["    1 |     b: 1", "      | ^^^^"]
    assert shown("\tb: 1", column=2, end=3) == ["    1 |     b: 1", "      |     ^"]


def test_nothing_that_a_terminal_obeys_gets_through() -> None:
    problem = Problem(
        "F999",
        "it is \x1b[31mso",
        place=Place("x\x07.yaml", 1, 4, 5),
        got="'\u202ereversed\u2066'",
        hint="a\nb",
    )
    assert render([problem], {"x\x07.yaml": "a: \x1b[0m\u200f"}) == (
        "x\\x07.yaml:1:4: error F999: it is \\x1b[31mso\n"
        "    1 | a: \\x1b[0m\\u200f\n"
        "      |    ^^^^ got '\\u202ereversed\\u2066'\n"
        "   hint: a\\nb"
    )
    assert harmless("\ud800") == "\\ud800"


def test_a_long_line_is_cut_around_the_caret() -> None:
    line, carets = shown("x" * 500 + "HERE" + "y" * 500, column=501, end=505)
    assert line == "    1 | …" + "x" * 32 + "HERE" + "y" * 60 + "…"
    assert carets == "      | " + " " * 33 + "^^^^"


def test_a_long_line_keeps_its_beginning_where_the_caret_stands_there() -> None:
    line, carets = shown("HERE" + "y" * 500, column=1, end=5)
    assert line == "    1 | HERE" + "y" * 92 + "…"
    assert carets == "      | ^^^^"


def test_very_long_spans_are_marked_at_their_beginning() -> None:
    assert shown("x" * 90, column=1, end=91)[1] == "      | " + "^" * 40


def test_a_flood_of_problems_is_cut_and_counted() -> None:
    problems = [Problem("F999", str(n)) for n in range(60)]
    lines = render(problems, {}).split("\n")
    assert (len(lines), lines[-1]) == (51, "… and 10 more")


def test_problems_are_given_as_data() -> None:
    problem = Problem(
        "F999",
        "it is so",
        place=Place("x.yaml", 2, 3, 5),
        got="a",
        expected="b",
        hint="c",
        source="d",
        related=((Place("x.yaml", 0, 0), "the file"),),
    )
    assert as_json([problem, Problem("F998", "nowhere")]) == [
        {
            "code": "F998",
            "severity": "error",
            "file": None,
            "line": None,
            "column": None,
            "end_column": None,
            "message": "nowhere",
            "got": "",
            "expected": "",
            "hint": "",
            "source": "",
            "related": [],
        },
        {
            "code": "F999",
            "severity": "error",
            "file": "x.yaml",
            "line": 2,
            "column": 3,
            "end_column": 5,
            "message": "it is so",
            "got": "a",
            "expected": "b",
            "hint": "c",
            "source": "d",
            "related": [
                {
                    "file": "x.yaml",
                    "line": None,
                    "column": None,
                    "end_column": None,
                    "says": "the file",
                }
            ],
        },
    ]
