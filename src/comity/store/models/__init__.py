"""The rows that the office keeps; no model knows a rule."""

from comity.store.models.accounts import Account, ApiToken, Invitation, Role
from comity.store.models.audit import AuditRecord, CaseKey, Tombstone
from comity.store.models.cases import Action, Case, Holder, Note, Span, UploadedTable
from comity.store.models.editions import StoredEdition
from comity.store.models.feeds import CalendarFeed, PlannedDay
from comity.store.models.given import Consent, Given
from comity.store.models.marks import Mark
from comity.store.models.mock_exams import (
    BankVersion,
    Cohort,
    CohortPlace,
    ExamForm,
    GivenAnswer,
    ItemBank,
    Sitting,
    StoredItemModel,
)
from comity.store.models.offices import Office

__all__ = [
    "Account",
    "Action",
    "ApiToken",
    "AuditRecord",
    "BankVersion",
    "CalendarFeed",
    "Case",
    "CaseKey",
    "Cohort",
    "CohortPlace",
    "Consent",
    "ExamForm",
    "Given",
    "GivenAnswer",
    "Holder",
    "Invitation",
    "ItemBank",
    "Mark",
    "Note",
    "Office",
    "PlannedDay",
    "Role",
    "Sitting",
    "Span",
    "StoredEdition",
    "StoredItemModel",
    "Tombstone",
    "UploadedTable",
]
