"""What needs a person now, and in which order.

The order is stated once, here. Entries fall into groups by how soon something is lost: within two
weeks or already, within a month, later, and what only waits for an answer. Inside a group the entry
at which most is at stake stands first, however few days another one has left:

1. somebody relies on an answer that is no longer so;
2. open dates end, and with them a whole application;
3. a licence is lost unless it is taken up, renewed or kept by practice;
4. a paper or registration lapses, and has to be got again;
5. something that was promised falls due;
6. a passage waits for somebody to read it and enter a verdict;
7. facts are missing, so that nobody can be told yet;
8. a rulebook should be read again against its source.

Then the earlier day, then the name.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING, Final, Literal

from comity.core.rulebook.editions import (
    certain_on,
    everything_in,
    first_milestone,
    full_id,
    label_of,
    title_of,
)
from comity.core.rulebook.kinds.combining import ByHand

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.partial import PartialDate
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook, Title

Sort = Literal[
    "answer changed",
    "window closing",
    "after licence",
    "paper lapsing",
    "action due",
    "by hand",
    "open question",
    "stale edition",
]
Holder = Literal["adviser", "applicant", "employer", "school", "authority"]
Urgency = Literal["now", "this month", "later", "no day"]

STAKES: Final[tuple[Sort, ...]] = (
    "answer changed",
    "window closing",
    "after licence",
    "paper lapsing",
    "action due",
    "by hand",
    "open question",
    "stale edition",
)
"""What is at stake, most first."""
URGENCIES: Final[tuple[Urgency, ...]] = ("now", "this month", "later", "no day")
NOW_DAYS: Final = 14
MONTH_DAYS: Final = 31
AHEAD_DAYS: Final = 92
"""What ends later than within a quarter needs nobody yet."""
BEHIND_DAYS: Final = 31
"""What lapsed longer ago than a month has been seen, or no longer matters."""
_AT_ONCE: Final = frozenset(("answer changed",))
_NEVER: Final = 1 << 20


@dataclass(frozen=True, slots=True)
class Whose:
    """The applicant an entry is about; `mark` is what the desk finds the case by."""

    mark: str
    name: str
    has_account: bool = False
    adviser: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that needs a person.

    Parameters
    ----------
    sort : str
        What is at stake.
    holder : str
        Who has to move next.
    day : Day or None
        Until when, inclusive, or since when; None where no day presses.
    whose : Whose or None
        The applicant; None for what concerns the office.
    subject : str
        What it is about: a title with its authority, a paper, an action, a requirement.
    detail : str
        What else the sentence needs: what changed, an edition.
    before, after : str
        The verdict that was said, and the one that is so now.
    place : str
        Where one acts, as the desk knows it.
    n : int
        How many titles it concerns.
    others : tuple of str
        What else it is about, as `subject`.
    """

    sort: Sort
    holder: Holder
    day: Day | None = None
    whose: Whose | None = None
    subject: str = ""
    detail: str = ""
    before: str = ""
    after: str = ""
    place: str = ""
    n: int = 1
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """Entries that press alike, in order."""

    urgency: Urgency
    needs: tuple[Need, ...]


def urgency_of(need: Need, *, today: Day) -> Urgency:
    """Return how soon something is lost.

    Examples
    --------
    >>> urgency_of(Need("action due", "adviser", day=100), today=90)
    'now'
    """
    if need.sort in _AT_ONCE:
        return "now"
    if need.day is None or need.sort == "stale edition":
        return "no day"
    left = need.day - today
    if left <= NOW_DAYS:
        return "now"
    return "this month" if left <= MONTH_DAYS else "later"


def in_order(needs: Iterable[Need], *, today: Day) -> tuple[Group, ...]:
    """Return the entries in groups by urgency, in each group what is most at stake first."""

    def rank(need: Need) -> tuple[int, int, Day, str, str]:
        return (
            URGENCIES.index(urgency_of(need, today=today)),
            STAKES.index(need.sort),
            _NEVER if need.day is None else need.day,
            need.whose.name.casefold() if need.whose else "",
            need.subject,
        )

    ordered = sorted(set(needs), key=rank)
    return tuple(
        Group(urgency, tuple(several))
        for urgency, several in groupby(ordered, key=lambda each: urgency_of(each, today=today))
    )


# ------------------------------------------------------------------- what a document tells lists


@dataclass(frozen=True, slots=True)
class Mark:
    """What a list of cases has to know of an applicant file without reading it.

    Parameters
    ----------
    sort : str
        ``lapses``: a paper, certificate or registration ends on a day; ``reviewed``: a passage
        has its verdict; ``reached``: a milestone has happened.
    what : str
        The paper, the requirement's or the milestone's id.
    day : Day or None
        The last day on which it is certain to be valid.
    place : str
        Where it stands, as ``papers/passport``.
    holder : str
        Who has to move: the applicant, or whoever was asked for a new one already.
    """

    sort: Literal["lapses", "reviewed", "reached"]
    what: str
    day: Day | None = None
    place: str = ""
    holder: Holder = "applicant"


@dataclass(frozen=True, slots=True)
class _Dated:
    """Something with a last day; the latest of its kind counts."""

    kind: tuple[str, ...]
    what: str
    ends: PartialDate | None
    place: str
    holder: Holder


def marks_of(applicant: Applicant) -> tuple[Mark, ...]:
    """Return what lists have to know of an applicant, in the order of the file.

    Of several papers of one kind and country the one that lasts longest counts: what has been
    replaced needs nobody.
    """
    return (
        *_lapsing(applicant),
        *(Mark("reviewed", review.requirement) for review in applicant.results.reviews),
        *(Mark("reached", each.milestone) for each in applicant.progress),
    )


def _lapsing(applicant: Applicant) -> Iterator[Mark]:
    several: dict[tuple[str, ...], list[_Dated]] = defaultdict(list)
    for each in _dated(applicant):
        several[each.kind].append(each)
    for alike in several.values():
        if any(each.ends is None or each.ends.is_open for each in alike):
            continue
        last = max(alike, key=_earliest)
        yield Mark("lapses", last.what, _earliest(last), last.place, last.holder)


def _earliest(each: _Dated) -> Day:
    return -1 if each.ends is None else each.ends.earliest


def _dated(applicant: Applicant) -> Iterator[_Dated]:
    requested = {each.kind for each in applicant.papers or () if each.status == "requested"}

    def holder(what: str) -> Holder:
        return issuer_of(what) if what in requested else "applicant"

    for paper in applicant.papers or ():
        if paper.status != "requested" and paper.expires is not None:
            kind = ("papers", paper.kind, paper.country or "")
            place = f"papers/{paper.id}"
            yield _Dated(kind, paper.kind, paper.expires, place, holder(paper.kind))
    for certificate in applicant.facts.certificates or ():
        if certificate.expires is not None:
            kind = ("certificates", certificate.of, certificate.country or "")
            what = _CERTIFICATES[certificate.of]
            place = f"certificates/{certificate.id}"
            yield _Dated(kind, what, certificate.expires, place, holder(what))
    for registration in applicant.facts.registrations or ():
        if registration.state == "held" and registration.end is not None:
            name = registration.authority or registration.country or ""
            place = f"registrations/{registration.id}"
            yield _Dated(("registrations", name), name, registration.end, place, "applicant")


_CERTIFICATES: Final[Mapping[str, str]] = {
    "good standing": "certificate of good standing",
    "criminal record": "criminal record certificate",
    "health": "health certificate",
}
_ISSUERS: Final[tuple[tuple[Holder, tuple[str, ...]], ...]] = (
    ("employer", ("employ", "experience", "work", "reference")),
    ("school", ("diploma", "degree", "transcript", "syllabus", "curriculum", "internship")),
    ("applicant", ("photo", "cv", "portfolio", "translation")),
)


def issuer_of(paper: str) -> Holder:
    """Return who issues a paper, by the words of its kind; an authority where nothing tells.

    Examples
    --------
    >>> issuer_of("letter of experience"), issuer_of("transcript"), issuer_of("passport")
    ('employer', 'school', 'authority')
    """
    plain = paper.casefold()
    for holder, words in _ISSUERS:
        if any(word in plain for word in words):
            return holder
    return "authority"


# ------------------------------------------------------------------------------ entries of a case


@dataclass(frozen=True, slots=True)
class NamedTitle:
    """A title with the names people read."""

    authority: str
    title: str
    name: str
    milestone: str
    by_hand: tuple[tuple[str, str], ...] = ()
    """Ids and labels of the passages that somebody has to read."""

    @property
    def is_read_by_hand(self) -> bool:
        """Whether somebody has to read a passage."""
        return bool(self.by_hand)


def named_titles(
    rulebooks: Iterable[Rulebook], *, today: Day
) -> Mapping[tuple[str, str], NamedTitle]:
    """Return the titles of some rulebooks by their ids, as their newest edition in force has them.

    Parameters
    ----------
    rulebooks : iterable of Rulebook
        One an authority.
    today : Day
        The day on which an edition has to apply; the newest of all serves where none does.
    """
    found = {}
    for rulebook in rulebooks:
        applying = certain_on(rulebook, today)
        for name in rulebook.titles():
            having = [each for each in applying if title_of(each, name)] or [
                each for each in rulebook.editions if title_of(each, name)
            ]
            title = title_of(having[-1], name)
            if title is None:
                continue
            authority = rulebook.authority
            found[authority.id, name] = NamedTitle(
                authority.id,
                name,
                f"{title.name}, {authority.name}",
                first_milestone(title),
                tuple(_by_hand(title, authority.id)),
            )
    return found


def _by_hand(title: Title, authority: str) -> Iterator[tuple[str, str]]:
    for listed in everything_in(title):
        requirement = listed.requirement
        if isinstance(requirement, ByHand) and requirement.id:
            name = full_id(authority, title=title.id, requirement=requirement.id)
            yield name, label_of(requirement)


def is_handed_in(title: NamedTitle, reached: Iterable[str]) -> bool:
    """Tell whether an application for a title was made already, so that its dates press nobody.

    Parameters
    ----------
    title : NamedTitle
        The title.
    reached : iterable of str
        Milestones that have happened, as files name them: with authority and title, or alone.
    """
    full = f"{title.authority}/{title.title}/{title.milestone}"
    return any(each in {full, title.milestone} for each in reached)


def window_closing(
    title: NamedTitle, whose: Whose, *, until: Day, reached: Sequence[str] = ()
) -> Need | None:
    """Return the entry for open dates that end on a day; none once the application is made."""
    if is_handed_in(title, reached):
        return None
    return Need("window closing", "adviser", until, whose, title.name, place="case")


def one_a_day(needs: Iterable[Need]) -> Iterator[Need]:
    """Yield entries on open dates, those of one applicant that end on one day as a single one."""
    together: dict[tuple[Whose | None, Day | None], list[Need]] = defaultdict(list)
    for need in needs:
        together[need.whose, need.day].append(need)
    for several in together.values():
        subjects = tuple(dict.fromkeys(need.subject for need in several))
        yield replace(several[0], subject=subjects[0], others=subjects[1:], n=len(subjects))


def answer_open(
    titles: Sequence[NamedTitle], whose: Whose, *, reviewed: Iterable[str] = ()
) -> Need | None:
    """Return the entry for titles on which nothing certain can be said today.

    A passage that somebody has to read comes before missing facts: it is the office's own work.
    """
    if not titles:
        return None
    seen = set(reviewed)
    waiting = [label for each in titles for name, label in each.by_hand if name not in seen]
    others = [each for each in titles if not each.is_read_by_hand]
    if waiting and not others:
        return Need("by hand", "adviser", None, whose, waiting[0], titles[0].name, place="facts")
    holder: Holder = "applicant" if whose.has_account else "adviser"
    return Need("open question", holder, None, whose, place="intake", n=len(titles))


def stale_editions(rulebooks: Iterable[Rulebook], *, today: Day) -> Iterator[Need]:
    """Yield an entry for each edition in force today that should have been read again."""
    for rulebook in rulebooks:
        for edition in certain_on(rulebook, today):
            again = edition.read_again_after.after(edition.read)
            if today > again:
                yield Need(
                    "stale edition",
                    "adviser",
                    again,
                    subject=edition.authority.name,
                    detail=edition.rulebook,
                    place=edition.authority.id,
                )
