"""Rulebooks to read: the list, an edition in sentences, and what changed between two."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from comity.core.rulebook.diff import changes
from comity.core.rulebook.editions import days_of
from comity.core.rulebook.prose_editions import applies_words, sections
from comity.desk import clock
from comity.desk.access import members_only
from comity.desk.rulebooks.looking import read, stored
from comity.store.models import StoredEdition
from comity.store.spans import out_of_date

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from django.http import HttpRequest, HttpResponse

    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Edition
    from comity.core.rulebook.prose_editions import Section


@dataclass(frozen=True, slots=True)
class Row:
    """An edition in the list; `edition` is None while its text cannot be read."""

    stored: StoredEdition
    edition: Edition | None
    today: Day

    @property
    def applies(self) -> str:
        """When it applies, in words."""
        return "" if self.edition is None else applies_words(self.edition.applies)

    @property
    def read_again_by(self) -> Day | None:
        """The last day on which its reading counts as fresh."""
        if self.edition is None:
            return None
        return self.edition.read_again_after.after(self.edition.read)

    @property
    def is_stale(self) -> bool:
        """Whether it should have been read again."""
        return self.read_again_by is not None and self.today > self.read_again_by

    @property
    def begins(self) -> Day:
        """The first day on which it may apply."""
        return -1 if self.edition is None else days_of(self.edition.applies).possible.start


@dataclass(frozen=True, slots=True)
class Shelf:
    """An authority with its editions, the newest first."""

    authority: str
    name: str
    country: str
    rows: tuple[Row, ...]


@members_only
@require_safe
def rulebooks(request: HttpRequest) -> HttpResponse:
    """List the authorities with their editions."""
    context = {
        "shelves": list(_shelves(StoredEdition.objects.order_by("authority", "edition"))),
        "is_refreshing": out_of_date().exists(),
    }
    return render(request, "rulebooks/rulebooks.html", context)


def _shelves(editions: Iterable[StoredEdition]) -> Iterator[Shelf]:
    for authority, several in groupby(editions, key=lambda each: each.authority):
        rows = sorted(map(row_of, several), key=lambda row: row.begins, reverse=True)
        known = next((row.edition.authority for row in rows if row.edition is not None), None)
        name, country = (authority, "") if known is None else (known.name, known.country)
        yield Shelf(authority, name, country, tuple(rows))


def row_of(edition: StoredEdition) -> Row:
    """Return an edition as the list shows it."""
    return Row(edition, read(edition), clock.today_at())


@dataclass(frozen=True, slots=True)
class Chapter:
    """The sections of one title, or those that concern the edition as a whole."""

    heading: str
    title: str
    sections: tuple[Section, ...]


def chapters_of(edition: Edition) -> Iterator[Chapter]:
    """Yield an edition's sections, each title's under its own heading."""
    for title, several in groupby(sections(edition), key=lambda section: section.title):
        first, *rest = several
        if title:
            yield Chapter(first.heading, title, (first, *rest))
        else:
            yield from (Chapter(each.heading, "", (each,)) for each in (first, *rest))


@members_only
@require_safe
def edition_page(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Show an edition in sentences, to be laid beside the authority's own text."""
    found = stored(authority, edition)
    row = row_of(found)
    others = StoredEdition.objects.filter(authority=authority).exclude(pk=found.pk)
    context = {
        "row": row,
        "stored": found,
        "edition": row.edition,
        "chapters": [] if row.edition is None else list(chapters_of(row.edition)),
        "others": others.order_by("edition"),
    }
    return render(request, "rulebooks/edition.html", context)


@members_only
@require_safe
def diff(request: HttpRequest, authority: str, edition: str, *, other: str) -> HttpResponse:
    """Say what changed between two editions, the earlier one first."""
    rows = sorted(
        (row_of(stored(authority, name)) for name in (edition, other)),
        key=lambda row: (row.begins, row.stored.edition),
    )
    before, after = rows
    if before.edition is None or after.edition is None:
        raise Http404
    found = changes(before.edition, after.edition)
    context = {
        "before": before,
        "after": after,
        "asked": [change.sentence for change in found if change.sort != "source"],
        "cited": [change.sentence for change in found if change.sort == "source"],
    }
    return render(request, "rulebooks/diff.html", context)
