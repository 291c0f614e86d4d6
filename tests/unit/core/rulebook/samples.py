"""Rulebooks made in Python, small enough to read beside the test."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from textwrap import dedent
from typing import Any

from comity.core.days.calendar import day_from_date
from comity.core.days.partial import parse_partial_date
from comity.core.rulebook.kinds import every
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.qualifying import Applies, NationalityHeld
from comity.core.rulebook.model import Authority, Edition, Title
from comity.files.reading import read
from comity.files.yaml import read_tree

AUTHORITY = Authority(id="xa-council", name="Council of Dietitians", country="XA")
KINDS = every.KINDS
RULES = Source(document="The rules")


def day(text: str) -> int:
    """Return the day number of an ISO date."""
    return day_from_date(date.fromisoformat(text))


def applies(*, start: str | None = None, end: str | None = None) -> Applies:
    """Return when an edition applies, dates as in a file."""
    return Applies(
        from_=None if start is None else parse_partial_date(start),
        until=None if end is None else parse_partial_date(end),
    )


def nationality(name: str | None = None, **fields: Any) -> NationalityHeld:  # noqa: ANN401  (any field of it)
    """Return a short requirement with that id."""
    return replace(NationalityHeld(id=name, countries=("XA",)), **fields)


def title(**fields: Any) -> Title:  # noqa: ANN401  (any field of it)
    """Return a title of the sample authority."""
    return replace(Title(id="dietitian", name="Dietitian", profession="2265"), **fields)


def edition(*titles: Title, **fields: Any) -> Edition:  # noqa: ANN401  (any field of it)
    """Return an edition of the sample authority."""
    plain = Edition(
        rulebook="2026",
        authority=AUTHORITY,
        read=day("2026-05-01"),
        wholly_read=True,
        titles=titles or (title(),),
    )
    return replace(plain, **fields)


def requirement(text: str) -> Requirement:
    """Return a requirement as it stands in a file."""
    node, problems = read_tree(dedent(text), "test.yaml")
    assert node is not None, problems
    found = read(node, Requirement)
    assert found.value is not None, found.problems
    return found.value


def edition_from(text: str) -> Edition:
    """Return an edition as it stands in a file, without looking at what is wrong in it."""
    node, problems = read_tree(dedent(text), "test.yaml")
    assert node is not None, problems
    found = read(node, Edition)
    assert found.value is not None, found.problems
    return found.value
