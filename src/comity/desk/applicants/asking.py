"""What a list of applicants is asked for, and how it stands in an address: without any name."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Final
from urllib.parse import urlencode

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.contrib.sessions.backends.base import SessionBase

SEARCHES: Final = "searches"
_MOST_SEARCHES: Final = 12
_LONGEST: Final = 100
VERDICTS: Final = ("met", "refer", "unknown", "not met")
NEXT_DATES: Final = ("overdue", "two weeks", "month", "none")
STATES: Final = ("open", "closed", "all")
SORTS: Final = ("name", "reference", "next", "changed")
_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "verdict": VERDICTS,
    "next": NEXT_DATES,
    "state": STATES,
    "sort": tuple(sign + name for name in SORTS for sign in ("", "-")),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What stands in the address of a list.

    Parameters
    ----------
    search : str
        A sign by which the session knows the words that were searched for.
    title : str
        ``authority/title``, or ``authority/`` for all of its titles; empty for all there are.
    verdict : str
        On submitting today.
    next : str
        When the next action is due.
    care : str
        ``mine``, ``nobody``, or an adviser's number; empty for the whole office.
    state : str
        Open, closed or all cases.
    sort : str
        A column; with a minus before it, from the end.
    page : str
        A number, from 1.
    """

    search: str = ""
    title: str = ""
    verdict: str = ""
    next: str = ""
    care: str = ""
    state: str = "open"
    sort: str = "name"
    page: str = "1"

    @property
    def n_page(self) -> int:
        """The page's number."""
        return int(self.page)

    @property
    def is_narrowed(self) -> bool:
        """Whether anything but a search and an order was asked for."""
        return replace(self, search="", sort="name", page="1") != Asked()

    @property
    def query(self) -> str:
        """What stands behind the question mark."""
        return urlencode(self.items())

    def items(self) -> list[tuple[str, str]]:
        """Return what is not as it is by itself."""
        plain = Asked()
        named = ((each.name, getattr(self, each.name)) for each in fields(self))
        return [(name, value) for name, value in named if value != getattr(plain, name)]

    def sorted_by(self, column: str) -> Asked:
        """Return the same by another column; by the same one, from the other end."""
        return replace(self, sort=f"-{column}" if self.sort == column else column, page="1")

    def turned_to(self, page: int) -> Asked:
        """Return the same on another page."""
        return replace(self, page=str(page))


def asked_in(given: Mapping[str, str]) -> Asked:
    """Return what was asked for; what makes no sense is taken as not said."""
    found = {each.name: given.get(each.name, "")[:_LONGEST] for each in fields(Asked)}
    for name, words in _WORDS.items():
        if found[name] not in words:
            found[name] = ""
    page = found["page"]
    if not (page.isascii() and page.isdigit() and 0 < int(page) < 10**6):
        found["page"] = ""
    return Asked(**{name: value for name, value in found.items() if value})


def kept_search(session: SessionBase, words: str) -> str:
    """Keep words in the session, as addresses end up in logs and histories; return their sign."""
    words = " ".join(words.split())[:_LONGEST]
    if not words:
        return ""
    known: dict[str, str] = session.get(SEARCHES, {})
    sign = next((sign for sign, kept in known.items() if kept == words), "")
    if not sign:
        sign = secrets.token_urlsafe(6)
        newest = list(known.items())[-_MOST_SEARCHES + 1 :]
        session[SEARCHES] = {**dict(newest), sign: words}
    return sign


def searched_for(session: SessionBase, asked: Asked) -> str:
    """Return the words behind a sign; none in another session."""
    return str(session.get(SEARCHES, {}).get(asked.search, ""))
