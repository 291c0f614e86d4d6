"""A rulebook of 40 requirements over many kinds, and an applicant who fails some of them."""

from __future__ import annotations

from textwrap import indent
from typing import TYPE_CHECKING

from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

N_REQUIREMENTS = 40
_BODIES = (
    *(
        f"kind: practice\namount: {12 + 6 * n} months\nfull_time: 37.5\n"
        f"look_back: P{36 + 12 * n}M\nafter: qualification"
        for n in range(5)
    ),
    *(
        f"kind: interruption\ngreatest: P{24 + n}M\nanchor: after last practice day"
        for n in range(2)
    ),
    *(f"kind: recency\nwithin: P{2 + n}Y" for n in range(2)),
    *(f"kind: certificate\nof: good standing\ngreatest_age: P{3 + n}M" for n in range(6)),
    *(
        f"kind: paper\npaper: paper {n}\nforms: [original, certified copy]\ngreatest_age: P{6 + n}Y"
        for n in range(8)
    ),
    "kind: paper\npaper: passport\nremaining_validity: P6M",
    *(
        f"kind: qualification\nleast_level: {5 + n}\nfields: ['09']\nleast_length: P3Y"
        for n in range(3)
    ),
    *(f"kind: registration\ncategories: [full]\nfor_at_least: P{1 + n}Y" for n in range(2)),
    (
        "kind: language\ngreatest_age: P2Y\ntests:\n"
        "  - test: One\n    overall: '7'\n    parts: {reading: '7', writing: '6.5'}\n"
        "    combining: {within: P12M, floor: {writing: '6'}}\n"
        "  - {test: Two, overall: B, scale: [E, D, C, B, A]}"
    ),
    "kind: examination\nexamination: national\nattempts: 3\nvalidity: P3Y\nat: registration",
    *(f"kind: declaration\nquestion: Is it so, number {n}?\ndeclaration: d{n}" for n in range(4)),
    "kind: age\nat_least: P18Y",
    (
        "kind: bands\nanchor: after last practice day\nbands:\n"
        "  - {label: short, below: P2Y, requires: []}\n"
        "  - label: middle\n    from: P2Y\n    below: P5Y\n    requires:\n"
        "      - kind: updating\n        amount: 30 days\n        hours_a_day: 7\n"
        "        within: P12M\n        caps: [{how: private study, share: 1/2}]\n"
        "  - {label: long, from: P5Y, requires: [{kind: refer, decided_by: The Council}]}"
    ),
    (
        "kind: for each\nover: country of stay\nlook_back: P5Y\nleast_stay: P6M\n"
        "of: {kind: certificate, of: criminal record, greatest_age: P6M}"
    ),
    (
        "kind: any\nof:\n  - {kind: practice, amount: 450 hours, look_back: P3Y}\n"
        "  - {kind: practice, amount: 750 hours, look_back: P5Y}"
    ),
    "kind: dates\nfrom: 2020-01-01",
)
_HEAD = """rulebook: "2026"
authority: {id: bench, name: Bench Authority, country: XA}
applies: {from: 2020-01-01}
read: 2026-10-01
wholly_read: yes
fictional: yes
sources: {rules: {title: Rules}}
titles:
  - id: dietitian
    name: Dietitian
    profession: "2265"
    milestones:
      - {id: submission, label: Submission}
      - {id: registration, label: Registration}
    requires:
"""
_APPLICANT = """applicant: bench
facts:
  person: {born: 1990-04-02, nationality: [XB]}
  qualifications:
    - {id: bsc, level: 6, field: "0915", completed: 2015-06-30, length: P4Y, country: XB}
  practice:
    - {id: p1, start: 2016-01-01, end: 2019-06-30, hours_a_week: 37.5, country: XB}
    - {id: p2, start: 2019-05-01, end: 2022-02-28, hours_a_week: 20, country: XB}
    - {id: p3, start: 2023-03-01, end: 2024-12-31, hours_a_week: 30, country: XC}
    - {id: p4, start: 2025-02-01, end: .., hours_a_week: 24, country: XC}
  registrations:
    - {id: r1, authority: xb-board, country: XB, start: 2016-01-01, end: .., category: full}
  stays:
    - {id: s1, country: XB, start: 1990-04-02, end: 2022-12-31}
    - {id: s2, country: XC, start: 2023-01-01, end: ..}
  certificates:
    - {id: c1, of: good standing, authority: xb-board, issued: 2026-07-15}
    - {id: c2, of: criminal record, country: XC, issued: 2026-10-15}
  declarations:
    - {id: d0, answer: yes}
    - {id: d1, answer: yes}
    - {id: d2, answer: yes}
    - {id: d3, answer: no}
  updating: []
papers:
%s  - {id: pp, kind: passport, expires: 2030-01-01}
results:
  language:
    - id: l1
      test: One
      taken: 2026-03-01
      overall: "7"
      parts: {reading: "7.5", writing: "6"}
  examinations: []
"""


def rulebook_text() -> str:
    """Return the rulebook as it would stand in a file."""
    requirements = "".join(
        indent(
            f"- id: r{number}\n"
            + indent(f"source: {{document: rules, section: '{number}'}}\n{body}\n", "  "),
            "      ",
        )
        for number, body in enumerate(_BODIES)
    )
    return _HEAD + requirements


def applicant_text() -> str:
    """Return the applicant as they would stand in a file."""
    papers = "".join(
        f"  - {{id: p{n}, kind: paper {n}, form: original, issued: 2020-01-0{n + 1}}}\n"
        for n in range(7)
    )
    return _APPLICANT % papers


def forty_requirements() -> tuple[Applicant, Rulebook]:
    """Return the applicant and the rulebook, read."""
    loaded = load_rulebook_texts({"forty.yaml": rulebook_text()})
    applicant = read_applicant(applicant_text(), "applicant.yaml")
    problems = (*loaded.problems, *applicant.problems)
    if problems or applicant.applicant is None:
        message = f"the bench's own files have problems: {[each.message for each in problems]}"
        raise ValueError(message)
    return applicant.applicant, loaded.rulebooks[0]
