"""What changed from one edition to the next, in sentences."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from comity.core.rulebook.diff import Change, changes
from tests.unit.core.rulebook.samples import edition_from

OLD = """
rulebook: "2026"
authority: {id: xa-council, name: Council, country: XA}
applies: {until: 2026-12-31}
read: 2026-05-01
wholly_read: yes
sources: {rules: {title: Rules, read: 2026-05-01}}
titles:
  - id: dietitian
    name: Dietitian
    profession: 2265
    milestones: [{id: submission, label: Submission}, {id: decision, label: Decision}]
    requires:
      - id: recent-practice
        kind: practice
        source: {document: rules, section: "4"}
        amount: 24 months
        full_time: 37.5
        look_back: 60 months
        scope: {countries: [XA, XB]}
      - id: language
        kind: language
        tests:
          - test: Harbour Test
            parts: {reading: 7, writing: 7}
          - {test: Clinic Test, overall: 350}
      - id: back
        kind: bands
        anchor: after last practice day
        bands:
          - {below: 24 months, requires: []}
          - from: 24 months
            requires:
              - {kind: updating, amount: 30 hours}
              - {kind: residence, countries: [XA]}
      - {id: character, kind: refer, decided_by: the registrar}
    pathways:
      - id: near
        label: Trained near
        when: {kind: qualification, countries: [XB]}
        requires:
          - {id: age, kind: age, at_least: 21 years}
      - {id: rest, label: All others, requires: []}
    fees:
      - {id: fee, label: Fee, amount: 120.00 EUR}
    grants: {instrument: registration}
    examinations: [{id: exam, name: Oral, sittings: [{on: 2026-05-09, closes: 2026-04-01}]}]
  - id: assistant
    name: Assistant
    profession: 3256
"""


def changed(*pairs: tuple[str, str]) -> tuple[Change, ...]:
    """Return the changes when each text of the edition is replaced by the other."""
    new = OLD
    for before, after in (("{until: 2026-12-31}", "{from: 2027-01-01}"), *pairs):
        assert new.count(before) == 1, before
        new = new.replace(before, after)
    return changes(edition_from(OLD), edition_from(new))


def test_only_the_days_of_an_edition_are_no_change() -> None:
    assert changed(('rulebook: "2026"', 'rulebook: "2027"')) == ()


EXAMPLES = yaml.safe_load(
    (Path(__file__).parents[3] / "assets" / "prose" / "changes.yaml").read_text("utf-8")
)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["says"])
def test_a_change_is_told_in_a_sentence(example: dict[str, str]) -> None:
    found = changed((example["from"], example["to"]))
    assert " ".join(change.sentence for change in found) == example["says"]
    assert {change.sort for change in found} <= {"added", "removed", "changed"}


def test_a_change_says_whose_it_is_and_where() -> None:
    (found,) = changed(("amount: 30 hours", "amount: 60 hours"))
    assert (found.sort, found.title, found.requirement) == ("changed", "dietitian", "back")
    assert found.path == ("bands", 1, "requires", 0, "amount")


def test_sources_and_days_of_reading_come_last_and_apart() -> None:
    found = changed(
        ("read: 2026-05-01\nwholly_read: yes", "read: 2026-11-01\nwholly_read: no"),
        ("title: Rules, read: 2026-05-01", "title: Rules, read: 2026-10-01"),
        ('section: "4"', 'section: "5"'),
    )
    assert [(change.sort, change.sentence) for change in found] == [
        ("changed", "The edition: wholly read: before yes, now no."),
        ("source", "Recent practice, source: the section goes from 4 to 5."),
        ("source", "The edition: the day of reading goes from 2026-05-01 to 2026-11-01."),
        (
            "source",
            "The edition, document rules: the day of reading goes from 2026-05-01 to 2026-10-01.",
        ),
    ]


def test_a_requirement_that_moves_to_a_pathway_is_told() -> None:
    age = "          - {id: age, kind: age, at_least: 21 years}\n"
    found = changed(
        ("        requires:\n" + age, "        requires: []\n"),
        ("    pathways:", "      - {id: age, kind: age, at_least: 21 years}\n    pathways:"),
    )
    assert [change.sentence for change in found] == [
        (
            'Age: before it was asked of those of the pathway "Trained near", now of everybody'
            " (applications from 2027-01-01)."
        )
    ]


def test_another_event_that_chooses_is_told() -> None:
    new = OLD.replace("{until: 2026-12-31}", "{from: 2027-01-01, by: decision}")
    (found,) = changes(edition_from(OLD), edition_from(new))
    assert found.path == ("applies", "by")
    assert (
        found.sentence == "The edition: the event that chooses it goes from submission to decision."
    )


def test_changes_name_the_event_by_which_the_new_edition_applies() -> None:
    old = OLD.replace("{until: 2026-12-31}", "{by: decision}")
    new = OLD.replace("{until: 2026-12-31}", "{from: 2027, by: decision}").replace(
        "24 m", "18 m", 1
    )
    (found,) = changes(edition_from(old), edition_from(new))
    assert found.sentence.endswith("from 24 months to 18 months (decision from some day of 2027).")


def test_without_a_first_day_no_day_is_named() -> None:
    new = OLD.replace("amount: 24 months", "amount: 18 months")
    (found,) = changes(edition_from(OLD), edition_from(new))
    assert found.sentence == "Recent practice: the amount goes from 24 months to 18 months."


def test_what_is_known_only_to_the_decade_is_said_so() -> None:
    old = OLD.replace("{until: 2026-12-31}", "{until: 202X}")
    new = OLD.replace("{until: 2026-12-31}", "{from: 202X}").replace("24 m", "18 m", 1)
    (found,) = changes(edition_from(old), edition_from(new))
    assert found.sentence.endswith("18 months (applications from some day of the 2020s).")


def test_codes_and_examinations_have_their_names() -> None:
    named = OLD + "names: {XB: Borduria, XC: Corland}\n"
    new = named.replace(
        "when: {kind: qualification, countries: [XB]}",
        "when: {kind: residence, countries: [XB, XC]}",
    ).replace(
        "requires: []}\n    fees",
        "requires: [{id: exam, kind: examination, examination: exam}]}\n    fees",
    )
    assert [change.sentence for change in changes(edition_from(OLD), edition_from(new))] == [
        "Exam is new: The Oral passed.",
        (
            'The pathway Trained near: the condition under which it applies goes from "A'
            ' qualification from Borduria" to "Residence in Borduria or Corland".'
        ),
    ]


def test_two_entries_of_one_name_are_paired_in_their_order() -> None:
    twice = OLD.replace("test: Clinic Test", "test: Harbour Test")
    (found,) = changes(edition_from(twice), edition_from(twice.replace("350", "360")))
    assert found.sentence == (
        "Language, Harbour Test: the lowest overall result goes from 350 to 360."
    )
