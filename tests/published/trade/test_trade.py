"""Facts of the trade (common practice, no source), and how classifications nest; see README.md."""

from __future__ import annotations

from pathlib import Path

import pytest

from comity.core.rulebook.model import Title
from tests.published.sets import Question, check, folders_in, questions

FOLDERS = folders_in(Path(__file__).parent)


@pytest.mark.parametrize("question", questions(FOLDERS), ids=str)
def test_an_applicant_gets_what_everybody_in_the_trade_knows(question: Question) -> None:
    check(question)


# ISCO-08 unit group 2265 "Dieticians and nutritionists" (International Labour Organization; code
# and name were seen in three public repositories that quote the classification).
def test_the_rulebook_file_names_dietitians_as_isco_08_does() -> None:
    profession = Title.__dataclass_fields__["profession"]
    assert "ISCO-08 code (2265 dietitians and nutritionists)" in str(profession.metadata)
