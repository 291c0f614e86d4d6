"""Two requirements, each of which holds some day and never both, are named with their days."""

from __future__ import annotations

from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.discretion import case_for_discretion
from comity.core.rulebook.model import Rulebook
from tests.unit.core.eligibility.samples import applicant, asking, assessed
from tests.unit.core.rulebook.samples import AUTHORITY

AGE = "{kind: age, label: Under sixty, below: 60 years}"
REGISTERED = "{kind: registration, label: Two years registered, for_at_least: 24 months}"
FACTS = """
facts:
  person: {born: 1966-12-25}
  registrations: [{id: r, authority: b, start: 2024-12-25, end: ..}]
"""


def test_what_ends_on_the_eve_of_what_begins_is_named_with_both_days() -> None:
    found = assessed(FACTS, asking(AGE, REGISTERED), on="2026-11-25")
    assert found.verdict is Verdict.NOT_MET
    assert found.earliest is None
    assert found.never_together == ("xa-council/dietitian/r0", "xa-council/dietitian/r1")
    assert found.answer.headline == "Not as things stand"
    assert found.answer.lead == (
        "Two things never hold together: “Under sixty” holds until 24 December 2026, “Two years "
        "registered” only from 25 December 2026. They miss each other by 1 day."
    )
    assert (found.answer.steps, found.answer.leads_on) == ((), False)


def test_the_order_of_the_rules_does_not_change_which_one_ends() -> None:
    turned = assessed(FACTS, asking(REGISTERED, AGE), on="2026-11-25")
    plain = assessed(FACTS, asking(AGE, REGISTERED), on="2026-11-25")
    assert turned.answer.lead == plain.answer.lead


def test_one_day_in_common_is_enough() -> None:
    facts = FACTS.replace("1966-12-25", "1966-12-26")
    found = assessed(facts, asking(AGE, REGISTERED), on="2026-11-25")
    assert found.never_together == ()
    assert found.answer.headline == "Not yet"


def test_years_between_the_two_are_not_called_near() -> None:
    facts = FACTS.replace("2024-12-25", "2026-06-01")
    lead = assessed(facts, asking(AGE, REGISTERED), on="2026-11-25").answer.lead
    assert lead.endswith("only from 1 June 2028.")


def test_the_case_for_discretion_tells_both() -> None:
    rules = asking(AGE, REGISTERED)
    found = assessed(FACTS, rules, on="2026-11-25")
    case = case_for_discretion(
        found, applicant=applicant(FACTS), rulebook=Rulebook(AUTHORITY, (rules,))
    )
    assert case.letter is not None
    assert found.answer.lead in case.letter.facts
    assert [row.label for row in case.letter.rows] == ["Two years registered"]
    situation = next(text for text in case.letter.facts if "Two years" in text and "ask:" in text)
    assert situation.endswith(
        "By waiting alone it could be met from 25 December 2026 at the earliest."
    )
