"""Marks follow the document that they repeat."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.store.cases import add_action, add_case, change_document
from comity.store.models import Case, Mark

if TYPE_CHECKING:
    from comity.store.models import Account

TEXT = """\
applicant: mara
papers:
  - {id: passport, kind: passport, expires: 2027-03-01}
progress:
  - {id: handed-in, milestone: submission, on: 2026-10-01}
"""


@pytest.fixture
def mara(owner: Account) -> Case:
    return add_case(TEXT, actor=owner)


def marks() -> list[tuple[str, str, int | None, str]]:
    """Return every mark that is kept."""
    return list(Mark.objects.order_by("pk").values_list("sort", "what", "day", "place"))


@pytest.mark.usefixtures("mara")
def test_a_new_case_has_its_marks() -> None:
    assert marks() == [
        ("lapses", "passport", day_from_date(date(2027, 3, 1)), "papers/passport"),
        ("reached", "submission", None, ""),
    ]


def test_a_changed_document_changes_its_marks(mara: Case, owner: Account) -> None:
    text = TEXT.replace("2027-03-01", "2036-03-01")
    change_document(mara, text, base_version=1, actor=owner)
    assert marks()[0][2] == day_from_date(date(2036, 3, 1))
    assert len(marks()) == 2


def test_other_columns_leave_the_marks_alone(mara: Case, owner: Account) -> None:
    before = list(Mark.objects.values_list("pk", flat=True))
    add_action(mara, "Call her", actor=owner, due=date(2026, 12, 1))
    assert list(Mark.objects.values_list("pk", flat=True)) == before


def test_a_document_that_cannot_be_read_has_no_marks(mara: Case) -> None:
    mara.document = "applicant: ["
    mara.save()
    assert marks() == []


def test_marks_go_with_their_case(mara: Case) -> None:
    mara.delete()
    assert marks() == []
