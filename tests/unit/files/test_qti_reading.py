"""Items of QTI read; messages of what is refused stand in ``assets/bad``."""

from __future__ import annotations

import pytest

from comity.core.exam.items import BestAnswer, Level, SeveralAnswers
from comity.files.qti_reading import Unknown, read_item
from comity.files.qti_scoring import option_id
from comity.files.qti_xml import MAX_DEPTH, parse_xml
from tests.unit.files.qti_items import EDITION_2, OPTIONS, TURNED_ROUND, WRITTEN_OUT, an_item


def problems_of(data: bytes) -> list[tuple[str, str]]:
    found = read_item(data, "item.xml")
    assert found.item is None
    return [(problem.code, problem.got) for problem in found.problems]


def test_a_question_with_one_best_answer_is_read_whole() -> None:
    found = read_item(
        an_item(), "item.xml", unknown=Unknown(domain="nutrients", level=Level.RECALL)
    )
    assert found.problems == ()
    assert found.item == BestAnswer(
        id="fat-soluble",
        domain="nutrients",
        level=Level.RECALL,
        stem="Which vitamin dissolves in fat?",
        source="imported from item.xml",
        options={"a": "Vitamin A", "b": "Vitamin C", "c": "Folate"},
        answer="a",
    )


@pytest.mark.parametrize("version", ["v2p1", "v2p2"])
@pytest.mark.parametrize("template", ["match_correct", "map_response"])
def test_items_of_the_editions_before_are_read(version: str, template: str) -> None:
    data = EDITION_2.format(version=version, template=template).encode()
    found = read_item(data, "choice.xml")
    assert found.problems == ()
    assert isinstance(found.item, SeveralAnswers)
    assert found.item.answers == ("H", "O")
    assert found.item.options == {"H": "Hydrogen", "O": "Oxygen", "Cl": "Chlorine"}


def test_the_right_answers_of_a_mapping_are_those_that_give_points() -> None:
    mapping = (
        '<qti-mapping default-value="0"><qti-map-entry map-key="b" mapped-value="1"/>'
        '<qti-map-entry map-key="c" mapped-value="-1"/></qti-mapping>'
    )
    found = read_item(an_item(key=mapping, cardinality="multiple", most=0), "item.xml")
    assert isinstance(found.item, SeveralAnswers)
    assert found.item.answers == ("b",)


def test_rules_written_out_that_give_points_for_the_right_answer_are_known() -> None:
    assert read_item(an_item(processing=WRITTEN_OUT), "item.xml").item is not None


def test_rules_that_give_the_point_for_a_wrong_answer_are_not_taken_for_them() -> None:
    assert problems_of(an_item(processing=TURNED_ROUND)) == [("X408", "rules of its own")]


def test_feedback_becomes_the_explanation_and_the_errors_of_wrong_options() -> None:
    feedback = (
        '<qti-feedback-inline outcome-identifier="F" identifier="{0}">{1}</qti-feedback-inline>'
    )
    options = OPTIONS.replace(
        "Vitamin C<", "Vitamin C" + feedback.format("b", "takes C for A") + "<"
    )
    options = options.replace("Vitamin A<", "Vitamin A" + feedback.format("a", "well done") + "<")
    modal = (
        '<qti-modal-feedback outcome-identifier="F" identifier="x" show-hide="show">'
        "<qti-content-body><p>A, D, E and K do.</p></qti-content-body></qti-modal-feedback>"
    )
    found = read_item(an_item(options=options, after=modal), "item.xml")
    assert isinstance(found.item, BestAnswer)
    assert found.item.explanation == "A, D, E and K do."
    assert found.item.errors == {"b": "takes C for A"}
    assert found.item.options["b"] == "Vitamin C"


def test_text_before_the_question_belongs_to_it() -> None:
    before = "<div><p>A man eats\n   no fat.</p><p>He takes a vitamin.</p></div>"
    found = read_item(an_item(before=before), "item.xml")
    assert found.item is not None
    assert found.item.stem == (
        "A man eats no fat.\nHe takes a vitamin.\nWhich vitamin dissolves in fat?"
    )


def test_raised_and_lowered_signs_keep_their_meaning() -> None:
    prompt = "Is 10<sup>3</sup> mL of CO<sub>2</sub>, or x<sup>n+k</sup>, a <em>lot</em>?"
    found = read_item(an_item(prompt=prompt), "item.xml")
    assert found.item is not None
    assert found.item.stem == "Is 10³ mL of CO₂, or x^(n+k), a lot?"


@pytest.mark.parametrize(
    ("data", "got"),
    [
        (an_item(prompt=""), "no question in it"),
        (an_item(options=OPTIONS.replace("Folate", "")), "an option without words, 'c'"),
        (an_item(options=OPTIONS + OPTIONS), "two options with one identifier"),
        (an_item(prompt="Which? <table><tr><td>1</td></tr></table>"), "<table> in the text"),
        (an_item(prompt='Which? <math xmlns="urn:m"/>'), "<math> in the text"),
    ],
)
def test_what_would_be_another_item_if_half_was_taken_stays_outside(data: bytes, got: str) -> None:
    assert problems_of(data) == [("X406", got)]


def test_an_item_with_parts_of_points_stays_outside() -> None:
    mapping = (
        '<qti-mapping><qti-map-entry map-key="a" mapped-value="1"/>'
        '<qti-map-entry map-key="b" mapped-value="0.5"/></qti-mapping>'
    )
    assert problems_of(an_item(key=mapping)) == [("X406", "answers that give parts of a point")]


def test_a_mapping_of_what_is_no_number_gives_no_key() -> None:
    mapping = '<qti-mapping><qti-map-entry map-key="a" mapped-value="many"/></qti-mapping>'
    assert problems_of(an_item(key=mapping)) == [("X407", "no right answer")]


def test_a_response_that_nothing_declares_has_no_key() -> None:
    data = an_item().replace(b'response-identifier="RESPONSE"', b'response-identifier="OTHER"')
    assert problems_of(data) == [("X407", "no declaration of the response")]


def test_a_test_is_no_item_and_rules_without_condition_give_no_points() -> None:
    test = b'<qti-assessment-test xmlns="http://www.imsglobal.org/xsd/imsqtiasi_v3p0"/>'
    assert problems_of(test) == [("X406", "<qti-assessment-test>, which is no item")]
    empty = "<qti-response-processing><qti-response-condition/></qti-response-processing>"
    assert problems_of(an_item(processing=empty)) == [("X408", "rules of its own")]


def test_an_item_that_says_nothing_of_points_is_scored_by_its_key() -> None:
    assert read_item(an_item(processing=""), "item.xml").item is not None


def test_two_options_that_read_the_same_are_told_as_in_a_bank() -> None:
    options = OPTIONS.replace("Folate", "vitamin c.")
    assert [code for code, _ in problems_of(an_item(options=options))] == ["X203"]


def test_a_link_that_runs_is_dropped_and_its_words_are_kept() -> None:
    found = read_item(an_item(prompt='<a href=" java script:alert(1)">Which</a> one?'), "i.xml")
    assert found.item is not None
    assert found.item.stem == "Which one?"
    assert [(p.code, p.severity, p.got) for p in found.problems] == [
        ("X409", "warning", "href of <a>")
    ]


def test_elements_nested_without_end_are_refused() -> None:
    deep = b"<p>" * (MAX_DEPTH + 1) + b"</p>" * (MAX_DEPTH + 1)
    root, problems = parse_xml(deep, "deep.xml")
    assert root is None
    assert [problem.code for problem in problems] == ["X405"]


def test_an_entity_that_grows_is_refused_at_its_declaration() -> None:
    lol = b'<!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]><l>&b;&b;</l>'
    root, problems = parse_xml(lol, "bomb.xml")
    assert root is None
    assert [problem.code for problem in problems] == ["X404"]


def test_a_document_type_of_elsewhere_is_refused() -> None:
    data = b'<!DOCTYPE l SYSTEM "http://elsewhere.example/l.dtd"><l/>'
    assert [problem.code for problem in parse_xml(data, "dtd.xml")[1]] == ["X404"]


@pytest.mark.parametrize(
    "data",
    [b"", b"\x00\x01", "<l>ä</l>".encode("utf-16")[:7], b'<?xml version="1.0" encoding="x"?><l/>'],
)
def test_what_is_no_xml_is_told_and_nothing_raised(data: bytes) -> None:
    root, problems = parse_xml(data, "broken.xml")
    assert root is None
    assert [problem.code for problem in problems] == ["X403"]


def test_an_xml_larger_than_an_item_is_not_parsed() -> None:
    root, problems = parse_xml(b"<l>" + b" " * 5_000_000 + b"</l>", "large.xml")
    assert root is None
    assert [(p.code, p.got) for p in problems] == [("X405", "5,000,007 bytes")]


@pytest.mark.parametrize(("written", "id_"), [("a", "a"), ("_1", "1"), ("_a", "_a"), ("_", "_")])
def test_the_sign_before_an_id_that_begins_with_a_digit_is_taken_away(
    written: str, id_: str
) -> None:
    assert option_id(written) == id_
