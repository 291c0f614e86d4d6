"""The demo's people as cases, on the demo's day."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import day_from_date
from comity.demo.caseload import demo_files, demo_rulebooks
from comity.service.casework import Casework, Document
from comity.service.editing import read_document

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Rulebook

TODAY: Final = day_from_date(date(2026, 11, 25))


def today_at(_time_zone: str | None) -> Day:
    return TODAY


@cache
def rulebooks() -> tuple[Rulebook, ...]:
    return demo_rulebooks(today=TODAY).rulebooks


def text_of(name: str) -> str:
    return demo_files()[f"applicants/{name}.yaml"]


def case_of(name: str) -> Casework:
    return case_with(text_of(name))


def case_with(text: str) -> Casework:
    return Casework(Document(text, read_document(text)), rulebooks(), today_at)
