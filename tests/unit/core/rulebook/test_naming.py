"""Names people read in place of codes."""

from __future__ import annotations

from comity.core.rulebook.naming import named
from comity.core.rulebook.prose import lines, sentence
from tests.unit.core.rulebook.samples import requirement

NAMES = {"XA": "Xandria", "xa-council": "the Council of Xandria"}


def test_codes_are_named_wherever_they_stand() -> None:
    asked = requirement("""
        kind: any
        unless: {kind: residence, countries: [XA, XB]}
        of:
          - {kind: registration, authorities: [xa-council], countries: XA}
          - {kind: practice, amount: 9 hours, scope: {excluded_countries: XA}}
    """)
    assert sentence(asked, names=NAMES) == (
        "(unless this holds: residence in Xandria or XB) one of these is enough: (a) a registration"
        " current at submission, with the Council of Xandria, in Xandria; (b) 9 hours of practice,"
        " outside Xandria"
    )
    assert lines(asked, names=NAMES)[1].text.endswith("Residence in Xandria or XB.")


def test_examinations_have_their_names_wherever_they_stand() -> None:
    asked = requirement("""
        kind: all
        of:
          - {kind: examination, examination: oral, attempts: 2}
          - kind: continuing education
            units: 5
            cycle: {length: 2 years, ends_on: 05-31, first_starts: examination}
            examination: oral
    """)
    exams = {"oral": "The Oral Examination of Xandria"}
    assert sentence(asked, examinations=exams).startswith(
        "All of these: (a) the Oral Examination of Xandria passed, within 2 attempts in all"
    )
    assert [line.text for line in lines(asked, examinations=exams)][3] == (
        "The first cycle runs from the pass of the Oral Examination of Xandria to the end of the"
        " first whole cycle after it, so it is longer than the others."
    )
    assert 'pass of the examination "oral" to' in lines(asked)[3].text


def test_without_names_nothing_changes() -> None:
    asked = requirement("{kind: residence, countries: XA}")
    assert named(asked, {}) is asked
    assert named(asked, {"XB": "Borduria"}) == asked
