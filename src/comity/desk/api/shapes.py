"""The shapes of what the API answers, for its description; tests hold real answers against them."""

from datetime import date, datetime
from typing import Any, Literal
from uuid import UUID

from ninja import Schema
from pydantic import ConfigDict, Field

Holder = Literal["adviser", "applicant", "employer", "school", "authority"]
Verdict = Literal["met", "not met", "unknown", "not applicable", "refer"]
Quick = Literal["met", "not met", "unknown", "refer"]


class Shape(Schema):
    """An object with these keys and no others."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)


class Place(Shape):
    """A place in a file; null where there is none."""

    file: str | None
    line: int | None
    column: int | None
    end_column: int | None


class RelatedPlace(Place):
    """The other place of a conflict."""

    says: str


class ProblemShape(Place):
    """One thing to mend: in the request (`at`), or in a document (file, line, column)."""

    code: str
    severity: Literal["error", "warning"]
    at: str | None
    message: str
    got: str
    expected: str
    hint: str
    source: str
    related: list[RelatedPlace]


class RefusalShape(Shape):
    """Problem details (RFC 9457)."""

    type: str
    title: str
    status: int
    detail: str
    problems: list[ProblemShape]
    current: dict[str, Any] | None = None


class Person(Shape):
    """Somebody of the office."""

    id: int
    name: str


class TokenShape(Shape):
    """The token that was sent, and whose it is."""

    label: str
    scopes: list[Literal["read", "write"]]
    expires_at: datetime
    owner: Person
    role: Literal["owner", "adviser"]


class QuickAnswer(Shape):
    """The verdict on one title, read from the days kept; the reasons stand in the answers."""

    authority: str
    title: str
    verdict: Quick


class ApplicantRow(Shape):
    """An applicant as the list has them."""

    id: UUID
    reference: str
    name: str
    version: int
    adviser: Person | None
    has_account: bool
    next_day: date | None
    changed_at: datetime
    closed_at: datetime | None
    is_up_to_date: bool = Field(description="Whether the verdicts rest on what is in force now.")
    verdicts: list[QuickAnswer]


class PageShape(Shape):
    """A page of something longer."""

    page: int
    per_page: int
    total: int
    next_page: int | None


class ApplicantPage(PageShape):
    """A page of applicants."""

    on: date
    items: list[ApplicantRow]


class CaseShape(Shape):
    """A case: the facts, and what frames them."""

    id: UUID
    reference: str
    name: str
    version: int
    document: dict[str, Any] = Field(description="The applicant file, by its keys.")
    problems: list[ProblemShape] = Field(description="What is doubtful in the file.")
    adviser: Person | None
    has_account: bool
    next_day: date | None
    created_at: datetime
    changed_at: datetime
    closed_at: datetime | None
    legal_hold: str


class WindowShape(Shape):
    """A run of open dates, both ends included; null is open."""

    from_: date | None = Field(alias="from")
    until: date | None
    certainty: Literal["certain", "possible"]


class RemedyShape(Shape):
    """The least that would turn a verdict to met."""

    what: str
    earliest: date | None
    detail: str
    plain: str


class SourceShape(Shape):
    """Where a requirement is written."""

    document: str
    section: str
    edition: str
    read: date | None
    url: str


class RequirementShape(Shape):
    """What one requirement says on the day."""

    id: str
    label: str
    at: str
    edition: str
    verdict: Verdict
    from_: date | None = Field(alias="from")
    until: date | None
    amount: float | None
    needed: float | None
    unit: str | None
    shortfall: float | None
    missing: list[str]
    deemed_by: str | None
    remedy: RemedyShape | None
    source: SourceShape
    says: str
    reason: str
    windows: list[WindowShape]
    parts: "list[RequirementShape]"
    conflict: list[SourceShape]
    demanded_by: Literal["authority", "employers"]


class StepShape(Shape):
    """One thing to do."""

    says: str
    earliest: date | None


class ComingShape(Shape):
    """A later edition that changes the answer."""

    edition: str
    from_: date = Field(alias="from")
    verdict_before: Verdict
    verdict_after: Verdict
    requirements: list[str]


class AnswerShape(Shape):
    """The answer on one title: what `comity assess --json` prints of it."""

    applicant: str
    authority: str
    title: str
    on: date
    assumption: Literal["continues", "stops"]
    verdict: Verdict
    windows: list[WindowShape]
    requirements: list[RequirementShape]
    next_question: str | None
    cautions: list[str]
    applicant_name: str
    authority_name: str
    title_name: str
    plain_answer: str
    headline: str
    steps: list[StepShape]
    steps_after: list[StepShape]
    pathway: str | None
    earliest: date | None
    remedies: list[RemedyShape]
    earliest_is_own_pace: bool
    earliest_is_conditional: bool
    conditions: list[str]
    coming: list[ComingShape]
    other_assumption: Verdict | None
    if_stops_until: date | None
    by_hand_open: list[str]
    wholly_read: bool
    stale: list[str]
    notes: list[str]
    never_together: list[str]
