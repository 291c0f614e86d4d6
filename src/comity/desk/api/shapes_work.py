"""The shapes of what is answered about the work on cases, and about rulebooks."""

from datetime import date, datetime
from typing import Any, Literal
from uuid import UUID

from comity.desk.api.shapes import Holder, PageShape, Person, ProblemShape, Shape, WindowShape


class OpenDates(Shape):
    """The open dates of one title under one assumption."""

    authority: str
    title: str
    authority_name: str
    title_name: str
    assumption: Literal["continues", "stops"]
    windows: list[WindowShape]


class ComingDay(Shape):
    """A day to keep in mind."""

    day: date
    sort: Literal[
        "paper lapses",
        "certificate lapses",
        "registration ends",
        "practice ends",
        "sitting",
        "event",
        "window opens",
        "window closes",
        "other rules",
    ]
    subject: str
    is_past: bool
    is_about: bool
    entry: str


class Dates(Shape):
    """Open dates, and the days to keep in mind."""

    open: list[OpenDates]
    coming: list[ComingDay]


class ActionShape(Shape):
    """Something to do."""

    id: int
    version: int
    text: str
    holder: Holder
    due: date | None
    is_for_applicant: bool
    created_at: datetime
    done_at: datetime | None


class ActionPage(PageShape):
    """A page of things to do."""

    items: list[ActionShape]


class NoteShape(Shape):
    """A note of the office."""

    id: int
    text: str
    author: Person | None
    created_at: datetime


class NotePage(PageShape):
    """A page of notes."""

    items: list[NoteShape]


class HistoryRecord(Shape):
    """One record of the audit trail; `detail` is what was sealed in it."""

    sequence: int
    at: datetime
    actor: Person | None
    action: str
    detail: dict[str, Any] | None


class HistoryPage(PageShape):
    """A page of the audit trail of a case."""

    items: list[HistoryRecord]


class GivenShape(Shape):
    """Something that was given out."""

    id: int
    sort: Literal["brief", "message", "letter", "export"]
    recipient: str
    given_by: Person | None
    given_at: datetime
    media_type: str
    sha256: str
    settled_at: datetime | None


class GivenPage(PageShape):
    """A page of what was given out."""

    items: list[GivenShape]


class NeedShape(Shape):
    """One thing that needs a person."""

    urgency: Literal["now", "this month", "later", "no day"]
    sort: Literal[
        "answer changed",
        "window closing",
        "after licence",
        "paper lapsing",
        "action due",
        "by hand",
        "open question",
        "stale edition",
    ]
    holder: Holder
    day: date | None
    case: UUID | None
    name: str | None
    adviser: str | None
    reason: str
    action: str
    address: str


class NeedPage(PageShape):
    """A page of what needs a person, in the order of the first page."""

    items: list[NeedShape]


class EditionRow(Shape):
    """One edition of one authority's rulebook."""

    authority: str
    edition: str
    state: Literal["draft", "in force", "withdrawn"]
    version: int
    digest: str
    created_at: datetime
    changed_at: datetime
    put_in_force_at: datetime | None


class EditionPage(PageShape):
    """A page of editions."""

    items: list[EditionRow]


class TitleShape(Shape):
    """A title of an edition."""

    id: str
    name: str


class EditionShape(EditionRow):
    """An edition with its text, and what is wrong with it."""

    authority_name: str | None
    titles: list[TitleShape]
    text: str
    problems: list[ProblemShape]
