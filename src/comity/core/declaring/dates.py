"""Values of the calendar: exact days, days known in part, lengths of time."""

from __future__ import annotations

import re
from typing import Annotated, Final, TypeAlias

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate, parse_partial_date
from comity.core.days.period import Period, parse_period
from comity.core.declaring.scalar import Scalar, refuse

_ISO_DATE: Final = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", re.ASCII)
_OTHER_ORDER: Final = re.compile(
    r"([0-9]{1,2})[/. -]([0-9]{1,2})[/. -]([0-9]{2}|[0-9]{4})", re.ASCII
)
_OTHER_SIGNS: Final = re.compile(
    r"([0-9]{4})(?:[/. -]([0-9]{1,2})[/. -]([0-9]{1,2})|([0-9]{2})([0-9]{2}))", re.ASCII
)
_PARTIAL: Final = re.compile(r"([0-9]{4}|[0-9]{3}X|[0-9]{2}XX)(-[0-9X]{2}){0,2}[~?%]?", re.ASCII)
_ORDER: Final = "write year-month-day, as 2019-05-03"


def _check_order(text: str) -> None:
    """Refuse the ways of writing a day that we can guess but not know."""
    if _OTHER_ORDER.fullmatch(text):
        refuse(f"{_ORDER}; other orders are read in two ways")
    match = _OTHER_SIGNS.fullmatch(text)
    if match and not _ISO_DATE.fullmatch(text):
        year, month, day = filter(None, match.groups())
        refuse(f"write {year}-{int(month):02}-{int(day):02}")


def _parse_date(text: str) -> Day:
    if not _ISO_DATE.fullmatch(text):
        _check_order(text)
        refuse(_ORDER)
    return parse_partial_date(text, margin=None).earliest


def _parse_partial_date(text: str) -> PartialDate:
    _check_order(text)
    return parse_partial_date(text, margin=None)


def _write_period(value: Period) -> str:
    """Return a period as it was typed, so that a file keeps its author's units."""
    return value.written or value.iso


DATE: Final = Scalar(
    name="date",
    noun="a day, written year-month-day",
    code="F412",
    example="2019-05-03",
    parse=_parse_date,
    write=iso,
    schema={"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
)
PARTIAL_DATE: Final = Scalar(
    name="partial date",
    noun="a day, a month or a year",
    code="F413",
    example="2019-05-03, or 2019-05, or 2019",
    parse=_parse_partial_date,
    write=str,
    schema={
        "type": ["string", "integer"],
        "pattern": f"^(|unknown|\\.\\.|{_PARTIAL.pattern})$",
    },
    takes_blank=True,
)
PERIOD: Final = Scalar(
    name="period",
    noun="a length of time",
    code="F414",
    example="24 months",
    parse=parse_period,
    write=_write_period,
    schema={
        "type": "string",
        "pattern": "^(P([0-9]+[YMWD])+|[0-9]+ (day|week|month|year)s?)$",
    },
)

Date: TypeAlias = Annotated[Day, DATE]
