"""Facts of the trade, common practice, no source: what advisers know of the order of things.

Verification of the degree and the computer-based examination run side by side, and both end before
the application is handed in. A registration is valid for one year until a facility activates it.
The authority and its other numbers are invented.
"""

from __future__ import annotations

from textwrap import dedent
from typing import Final

from comity.core.days.calendar import iso
from comity.core.days.period import Period
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Rulebook
from comity.service.planning import Plan, Wishes, plan
from comity.service.planning_after import licence_said
from comity.service.planning_words import warnings
from tests.unit.core.rulebook.samples import day, edition_from

ONE_YEAR: Final = Period(months=12)
TODAY: Final = day("2026-11-26")
TEXT: Final = dedent("""
    rulebook: "2026"
    authority: {id: xa-council, name: Council of Xandria, country: XA}
    applies: {from: 2026-01-01}
    read: 2026-05-01
    wholly_read: yes
    fictional: yes
    parties:
      - {id: verifier, label: the verifier, who: authority}
      - {id: council, label: the Council, who: authority}
      - {id: facility, label: the facility, who: employer}
    titles:
      - id: dietitian
        name: Dietitian
        profession: "2265"
        milestones:
          - {id: submission, label: Submission}
          - {id: decision, label: Registration}
          - {id: activation, label: Activation}
        steps:
          - {id: verify, label: Verify the degree, party: verifier, duration: 30 working days}
          - {id: sit, label: Sit the examination, party: applicant, sits: national}
          - {id: apply, label: Apply, party: applicant, after: [verify, sit], reaches: submission}
          - {id: decide, label: Decide, party: council, after: [apply], duration: 10 working days,
             reaches: decision}
          - {id: activate, label: Activate the registration, party: facility, after: [decide],
             duration: 60 to 120 days, reaches: activation,
             within: [{after: decision, period: 12 months, late: forfeit}]}
        examinations: [{id: national, name: The National Examination, by_appointment: yes}]
        grants: {instrument: registration, lasts: 2 years, after: activation,
                 claim_within: 12 months}
    """)


def made(text: str = TEXT) -> Plan:
    edition = edition_from(text)
    book = Rulebook(edition.authority, (edition,))
    wishes = Wishes(TODAY, draws=400, p_pass=1.0)
    return plan(Applicant(applicant="a"), book, "dietitian", wishes=wishes)


def test_verification_and_examination_begin_together_and_end_before_submission() -> None:
    found = made()
    verify, sit = found.times["verify"], found.times["sit"]
    assert verify.start.p50 == sit.start.p50 == TODAY
    assert verify.end.p50 is not None
    assert sit.end.p50 is not None
    assert found.milestones["submission"].p50 == max(verify.end.p50, sit.end.p50)


def test_a_registration_lapses_a_year_after_it_was_granted_unless_a_facility_activates_it() -> None:
    found = made()
    granted = found.milestones["decision"].p50
    assert granted is not None
    last = ONE_YEAR.after(granted)
    assert licence_said(found)[0] == f"Take the registration up by {iso(last)}, or it is lost."
    activated = found.milestones["activation"].p50
    assert activated is not None
    assert activated <= last


def test_a_facility_that_takes_longer_than_the_year_leaves_no_plan_and_is_named() -> None:
    found = made(TEXT.replace("60 to 120 days", "400 days"))
    assert not found.is_possible
    assert "within 12 months after" in " ".join(warnings(found))
    assert "activat" in " ".join(warnings(found)).casefold()


def test_a_facility_that_may_take_longer_is_a_risk_that_is_told() -> None:
    found = made(TEXT.replace("60 to 120 days", '"60 to 500 days, mostly 340"'))
    late = [each for each in warnings(found) if "12 months" in each]
    assert len(late) == 1
    assert late[0].endswith("then what was paid or granted is forfeited.")
