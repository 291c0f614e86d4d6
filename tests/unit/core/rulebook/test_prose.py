"""Requirements in sentences: each reads on its own and tells amounts, windows and ends."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

from comity.core.rulebook.editions import walk
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.model import Document
from comity.core.rulebook.prose import Line, cited, lines, sentence
from comity.core.rulebook.saying import phrase
from tests.unit.core.rulebook.samples import KINDS, day, nationality, requirement

EXAMPLES = yaml.safe_load(
    (Path(__file__).parents[3] / "assets" / "prose" / "sentences.yaml").read_text("utf-8")
)
SENTENCES = [(each["requirement"], each["says"]) for each in EXAMPLES if "says" in each]
READINGS = [(each["requirement"], each["reads"]) for each in EXAMPLES if "reads" in each]


@pytest.mark.parametrize(("text", "expected"), SENTENCES)
def test_a_requirement_says_itself_in_a_sentence(text: str, expected: str) -> None:
    assert sentence(requirement(text)) == expected


def test_every_kind_has_words_and_is_tried_above() -> None:
    tried = {part.kind for text, _ in SENTENCES for _, part in walk(requirement(text))}
    assert tried == set(KINDS)
    unsaid = [
        kind for kind, each in KINDS.items() if phrase.dispatch(each) is phrase.dispatch(object)
    ]
    assert unsaid == []


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaid(Requirement):
    """A requirement of no kind."""


def test_a_kind_without_words_is_a_mistake_in_the_program() -> None:
    with pytest.raises(TypeError, match="no words were entered for Unsaid"):
        sentence(Unsaid())


def test_the_check_point_is_said_in_words() -> None:
    asked = requirement("{kind: age, at_least: 21 years}")
    assert sentence(asked, at="first-renewal") == "An age of at least 21 years at first renewal"


@pytest.mark.parametrize(("text", "expected"), READINGS)
def test_how_it_is_read_day_by_day_stands_below(text: str, expected: list[str]) -> None:
    first, *rest = lines(requirement(text))
    assert first.number == "1"
    assert [line.text for line in rest] == expected
    assert {line.depth for line in rest} <= {1}


def test_parts_are_numbered_below_and_bands_come_in_order() -> None:
    asked = requirement("""
        id: back
        kind: bands
        anchor: beginning first idle day
        when: {kind: residence, countries: XA}
        unless: {kind: residence, countries: XB}
        counts: [practice, registration]
        bands:
          - {below: 24 months, requires: []}
          - from: 24 months
            label: long
            requires:
              - {kind: updating, amount: 30 hours}
              - kind: any
                demanded_by: employers
                of: [{kind: residence, countries: XC}]
    """)
    assert lines(asked, number="7") == (
        Line("What is owed depends on the time out of practice:", "7", 0, "back"),
        Line(
            "The time out is that up to submission, counted in months beginning with the first day"
            " without practice.",
            depth=1,
        ),
        Line("What ends it: practice or a registration held.", depth=1),
        Line("Applies only where this holds: Residence in XA.", "7.1", 1),
        Line("Does not apply where this holds: Residence in XB.", "7.2", 1),
        Line("Less than 24 months: nothing is owed.", "7.3", 1),
        Line("24 months or more (long): 30 hours of updating.", "7.4", 1),
        Line(
            "24 months or more (long): Asked by employers, not by the authority: one of these is"
            " enough:",
            "7.5",
            1,
        ),
        Line("Residence in XC.", "7.5.1", 2),
    )


def test_bands_without_ends_name_no_way_of_counting() -> None:
    asked = requirement("{kind: bands, anchor: after last practice day, bands: [{requires: []}]}")
    assert [line.text for line in lines(asked)][1] == "The time out is that up to submission."


def test_remedial_work_is_a_part() -> None:
    asked = requirement(
        "{kind: examination, examination: e, remedial_after: 2,"
        " remedial: {kind: residence, countries: XA}}"
    )
    assert lines(asked)[-1] == Line("Remedial work, once it is owed: Residence in XA.", "1.1", 1)


def test_check_point_event_note_and_source_are_remarks() -> None:
    asked = nationality(
        at="decision",
        applies_by="first-sitting",
        note="Ask again.",
        source=Source(document="rules", section="4"),
    )
    documents = {"rules": Document(title="Rules of registration", read=day("2026-05-01"))}
    found = [line.text for line in lines(asked, documents=documents)]
    assert found == [
        "Nationality of XA.",
        "Checked at decision.",
        "The day of first sitting chooses the edition.",
        "Note: Ask again.",
        "Source: Rules of registration, 4, read on 2026-05-01.",
    ]


def test_a_source_says_what_it_has_before_what_the_document_has() -> None:
    documents = {"rules": Document(title="Rules", edition="1", read=day("2026-05-01"), url="u")}
    own = Source(document="rules", edition="2", read=day("2026-06-01"), url="https://example.org")
    assert cited(own, documents) == "Rules, 2, read on 2026-06-01, https://example.org"
    assert cited(Source(document="rules"), documents) == "Rules, 1, read on 2026-05-01"
    assert cited(Source(document="A letter")) == "A letter"
