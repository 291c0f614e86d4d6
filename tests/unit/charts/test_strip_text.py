from __future__ import annotations

from typing import TYPE_CHECKING

from comity.charts.strip_text import strip_sentences
from comity.core.eligibility.assessment import Verdict
from tests.assets.brief import samples

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment


def sentences(assessment: Assessment) -> list[str]:
    """Return the sentences with plain spaces."""
    return [line.replace("\u00a0", " ") for line in strip_sentences(assessment)]


def test_there_is_a_sentence_for_every_row() -> None:
    assert sentences(samples.mixed()) == [
        "Open dates: Dietitian, Xandrian Board of Health Professions.",
        "25 Nov 2026: day of this assessment.",
        "Checked when the application is handed in:",
        (
            "24 months of practice within the last five years: not met, holds from 14 Mar 2027"
            " until 28 Feb 2029; may hold from 1 Mar 2029 until 31 Aug 2029."
        ),
        (
            "Proof of Xandrian, level B2 in each part: unknown, may hold from 25 Nov 2026 until"
            " 9 Oct 2027."
        ),
        "Fitness to practise: refer, holds from 25 Nov 2026 on.",
        "A degree in dietetics of at least three years: met, holds from 1 Jul 2016 on.",
        (
            "A certificate of good standing not older than six months: met, holds from 1 Sep 2026"
            " until 28 Feb 2027."
        ),
        "Alternative evidence for refugees: not applicable.",
        "All together: not met, may hold from 14 Mar 2027 until 9 Oct 2027.",
        "Checked later: Full registration:",
        "A period of adaptation of three months: not met, holds from 30 Jun 2027 on.",
    ]


def test_a_row_without_days_says_so() -> None:
    never = samples.requirement("Never", Verdict.NOT_MET)
    assessment = samples.assessment(Verdict.NOT_MET, requirements=(never,))
    assert "Never: not met, no day found." in sentences(assessment)


def test_names_fall_back_to_ids() -> None:
    assessment = samples.assessment(Verdict.MET, title_name="", authority_name="")
    assert sentences(assessment)[0] == "Open dates: dietitian, xa-board."
