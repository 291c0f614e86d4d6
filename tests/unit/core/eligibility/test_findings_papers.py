"""What is said of certificates and papers."""

from __future__ import annotations

import pytest

from tests.unit.core.eligibility.samples import result_of

HEALTH = "facts: {{certificates: [{{id: c, of: health, {}}}]}}"

SAID = {
    ("{kind: certificate, of: health}", "facts: {certificates: []}"): (
        "no health certificate on file"
    ),
    (
        "{kind: certificate, of: health, greatest_age: P3M}",
        HEALTH.format("issued: 2026-01-01, expires: 2026-12-31"),
    ): (
        "health certificate issued 2026-01-01, expires 2026-12-31, older than 3 months since "
        "2026-04-02"
    ),
    ("{kind: certificate, of: health}", HEALTH.format("issued: 2026-07-01")): (
        "health certificate issued 2026-07-01"
    ),
    ("{kind: paper, paper: passport}", "papers: []"): "no passport on file",
    ("{kind: paper, paper: passport}", "papers: [{id: p, kind: passport}]"): "passport on file",
    (
        "{kind: paper, paper: passport, remaining_validity: P6M}",
        "papers: [{id: p, kind: passport, expires: 2026-08-01}]",
    ): (
        "passport on file, valid until 2026-08-01; 6 months more are asked, good for submission "
        "until 2026-02-01"
    ),
    (
        "{kind: paper, paper: record, greatest_age: P6M}",
        "papers: [{id: p, kind: record, issued: 2025-08-01}]",
    ): "record on file, issued 2025-08-01, older than 6 months since 2026-02-02",
    (
        """
        kind: paper
        paper: photo
        photo: {width_mm: 35, height_mm: 45, least_face: 70 %, greatest_face: 80 %}
        """,
        "papers: [{id: p, kind: photo, width_mm: 30, height_mm: 45, face_share: 60 %}]",
    ): "photo: its width is wrong and the face is too small on it",
}


@pytest.mark.parametrize("case", SAID)
def test_what_is_at_hand_is_said_with_its_days(case: tuple[str, str]) -> None:
    assert result_of(*case).reason == SAID[case]


def test_a_certificate_is_measured_in_days_where_the_rule_counts_days() -> None:
    found = result_of(
        "{kind: certificate, of: health, greatest_age: P90D}", HEALTH.format("issued: 2026-05-01")
    )
    assert (found.amount, found.needed, found.unit) == (31.0, 90.0, "days")


FOR_EACH_BODY = """
    kind: for each
    over: authority of registration
    of: {kind: paper, paper: letter}
"""


def letters_from(issuer: str) -> str:
    """Return the verdict where a letter is owed by each register, and one issuer wrote one."""
    facts = f"""
        facts: {{registrations: [{{id: r, authority: xb, start: 2020-01-01, end: ..}}]}}
        papers: [{{id: p, kind: letter, issuer: {issuer}}}]
    """
    return result_of(FOR_EACH_BODY, facts).verdict.value


def test_a_paper_for_each_register_has_to_come_from_that_register() -> None:
    assert (letters_from("xb"), letters_from("xc")) == ("met", "not met")


def test_a_certificate_to_be_sent_directly_is_asked_for_in_that_way() -> None:
    found = result_of(
        "{kind: certificate, of: health, sent: directly}", "facts: {certificates: []}"
    )
    assert found.remedy is not None
    assert found.remedy.what == "Ask for a health certificate, sent directly"
