"""The steps of an intake, in the case's own history: answers given, and answers taken back.

Nothing is kept beside the case. What stood in the document before an answer is sealed in the audit
record of that answer; so an intake can be taken up anywhere, and its last answer taken back as long
as nothing else was changed since.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.desk import clock
from comity.service.assessing import titles_asked
from comity.service.intake import Intake
from comity.store.audit import detail_of
from comity.store.cases import change_document
from comity.store.converters import applicant_of
from comity.store.models import AuditRecord
from comity.store.rulebooks import rulebooks_in_force

if TYPE_CHECKING:
    from comity.core.eligibility.questions import Question
    from comity.store.models import Account, Case

ANSWERED: Final = "intake/answered"
TAKEN_BACK: Final = "intake/taken back"


@dataclass(frozen=True, slots=True)
class Given:
    """An answer that may be taken back: its record, and what stood there before it."""

    sequence: int
    before: str
    path: str
    under: int | None


def intake_of(case: Case) -> Intake:
    """Return the intake as the case's document and the rulebooks in force have it."""
    titles = titles_asked(rulebooks_in_force(), None)
    return Intake(None, case.document, applicant_of(case), titles, clock.today_at)


def keep_answer(
    case: Case, intake: Intake, question: Question, *, typed: str, actor: Account
) -> Case:
    """Take an answer and keep it in the case.

    Raises
    ------
    AnswerError
        When it is none.
    StaleError
        When somebody else has changed the case meanwhile.
    """
    last = last_given(case)
    intake.answer(question, typed)
    detail = {
        "path": question.path,
        "before": case.document,
        "under": None if last is None else last.sequence,
    }
    return change_document(
        case,
        intake.text,
        base_version=case.version,
        actor=actor,
        action=ANSWERED,
        detail=detail,
    )


def take_back(case: Case, *, actor: Account) -> bool:
    """Put back what stood in the case before the last answer; False when there is none.

    Raises
    ------
    StaleError
        When somebody else has changed the case meanwhile.
    """
    last = last_given(case)
    if last is None:
        return False
    change_document(
        case,
        last.before,
        base_version=case.version,
        actor=actor,
        action=TAKEN_BACK,
        detail={"path": last.path, "under": last.under},
    )
    return True


def last_given(case: Case) -> Given | None:
    """Return the last answer that stands, if the case is still as it left it."""
    records = AuditRecord.objects.filter(case_id=case.pk, action__in=(ANSWERED, TAKEN_BACK))
    record = records.order_by("-sequence").first()
    detail = None if record is None else detail_of(record)
    if record is None or detail is None or detail["version"] != case.version:
        return None
    if record.action == ANSWERED:
        return _given(record, detail)
    if detail["under"] is None:
        return None
    under = records.filter(sequence=detail["under"]).first()
    found = None if under is None else detail_of(under)
    return None if under is None or found is None else _given(under, found)


def _given(record: AuditRecord, detail: dict[str, Any]) -> Given:
    return Given(record.sequence, detail["before"], detail["path"], detail["under"])
