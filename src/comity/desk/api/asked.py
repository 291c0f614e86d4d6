"""What may be asked of the API, and sent to it."""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any, Literal

from ninja import Schema
from pydantic import BeforeValidator, ConfigDict, Field, WithJsonSchema

from comity.desk.api.shapes import Holder, Quick

MOST_ON_A_PAGE = 100
ON_A_PAGE = 50
_LAST_PAGE = 1_000_000
_LAST_NUMBER = 2**31 - 1
_DAY = r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
_ID = r"^[A-Za-z0-9][A-Za-z0-9._-]{0,99}$"


def _day(value: object) -> object:
    """Return a day as ISO 8601 writes it; numbers of seconds are none."""
    if not isinstance(value, str):
        msg = "a day is written as 2026-11-25"
        raise ValueError(msg)  # noqa: TRY004 - pydantic makes a problem of this class
    found = date.fromisoformat(value)
    if found.isoformat() != value or not 1900 <= found.year < 2100:  # noqa: PLR2004 - of files
        msg = "a day is written as 2026-11-25, from 1900 to 2099"
        raise ValueError(msg)
    return found


IsoDay = Annotated[date, BeforeValidator(_day), WithJsonSchema({"type": "string", "pattern": _DAY})]
Id = Annotated[str, Field(pattern=_ID)]
Version = Annotated[int, Field(ge=1, le=_LAST_NUMBER, strict=True)]
PersonId = Annotated[int, Field(ge=1, le=_LAST_NUMBER)]
Page = Annotated[int, Field(ge=1, le=_LAST_PAGE)]
PerPage = Annotated[int, Field(ge=1, le=MOST_ON_A_PAGE)]


class Sent(Schema):
    """A body with these keys and no others."""

    model_config = ConfigDict(extra="forbid")


class Paging(Schema):
    """Which part of something long."""

    page: Page = 1
    per_page: PerPage = ON_A_PAGE


class Filters(Paging):
    """Which applicants; nothing here names a person, for addresses are kept in logs."""

    authority: Id | None = None
    title: Id | None = None
    verdict: Quick | None = None
    on: IsoDay | None = None
    adviser: PersonId | None = None
    next_by: IsoDay | None = None
    state: Literal["open", "closed", "all"] = "open"
    order: Literal["name", "changed", "next"] = "name"


class Search(Sent, Filters):
    """Filters with words of a name or reference, which belong in a body."""

    model_config = ConfigDict(extra="forbid")

    text: Annotated[str, Field(max_length=200)] = ""


class AnswerQuery(Schema):
    """Which answers: titles, day of submission and assumption."""

    authority: Id | None = None
    title: Id | None = None
    on: IsoDay | None = None
    assumption: Literal["continues", "stops"] = "continues"
    confirmed_only: bool = False


class ActionQuery(Paging):
    """Which things to do."""

    state: Literal["open", "done", "all"] = "open"


class EditionQuery(Paging):
    """Which editions."""

    authority: Id | None = None
    state: Literal["draft", "in force", "withdrawn"] | None = None


class NeedQuery(Paging):
    """Whose cases."""

    whose: Literal["mine", "office"] = "office"


class SentDocument(Sent):
    """An applicant file: its text (YAML, comments kept), or its keys and values as JSON."""

    text: Annotated[str, Field(max_length=1_000_000)] | None = None
    document: dict[str, Any] | None = None


class NewApplicant(SentDocument):
    """An applicant to take in."""

    adviser: PersonId | None = None


class ChangedDocument(SentDocument):
    """A document in the place of the one there."""

    version: Version | None = None


Typed = Annotated[str, Field(max_length=10_000)]
Entries = Annotated[list[Annotated[str, Field(max_length=500)]], Field(max_length=200)]


class ChangedFact(Sent):
    """Fields of an entry, each as one would type it; null empties a field."""

    version: Version | None = None
    fields: Annotated[Mapping[str, Typed | Entries | None], Field(min_length=1, max_length=60)]


class NoneOfIt(Sent):
    """That there is nothing of a section."""

    version: Version | None = None


ActionText = Annotated[str, Field(min_length=1, max_length=500, pattern=r"\S")]


class NewAction(Sent):
    """Something to do."""

    text: ActionText
    holder: Holder = "adviser"
    due: IsoDay | None = None
    is_for_applicant: bool = False


class ChangedAction(Sent):
    """What is to be different; what is left out stays."""

    version: Version | None = None
    text: ActionText | None = None
    holder: Holder | None = None
    due: IsoDay | None = None
    is_for_applicant: bool | None = None
    is_done: bool | None = None


class NewNote(Sent):
    """A note of the office."""

    text: Annotated[str, Field(min_length=1, max_length=10_000, pattern=r"\S")]


class ChangedCase(Sent):
    """Whether the case is open, and in whose care it is; what is left out stays."""

    is_closed: bool | None = None
    reason: Annotated[str, Field(max_length=300)] = ""
    adviser: PersonId | None = None
