"""Checks between editions of one authority, and of how old an edition's reading is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from comity.core.days.calendar import Day, iso
from comity.core.rulebook.editions import Days, days_of, requirements_of, title_of, walk
from comity.core.rulebook.findings import Finding, Path, Related, titles_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Edition, Title

_ID: Path = ("rulebook",)


def find_between(editions: Sequence[Edition]) -> Iterator[Finding]:
    """Yield what does not fit between editions of one authority, which come oldest first."""
    for index, edition in enumerate(editions):
        yield from _reversed_days(edition, index)
    for (n, first), (m, second) in combinations(enumerate(editions), 2):
        if first.rulebook == second.rulebook:
            yield Finding(
                code="R103",
                path=_ID,
                edition=m,
                message=f"two editions of {second.authority.id} have one id",
                got=f"'{second.rulebook}'",
                expected="an id of its own for each edition",
                related=(Related(n, _ID, "the other edition"),),
            )
        if first.applies.by == second.applies.by:
            yield from _overlap(editions, n, m)
    yield from _uncovered(editions)
    for m in range(1, len(editions)):
        yield from _changed_kinds(editions, m)


def find_stale(edition: Edition, *, today: Day) -> Iterator[Finding]:
    """Yield a warning when the edition should have been read again against its sources.

    One that cannot apply any more is left alone: it does not change.
    """
    last_fresh = edition.read_again_after.after(edition.read)
    if last_fresh < today < days_of(edition.applies).possible.end:
        yield Finding(
            code="R107",
            path=("read",),
            severity="warning",
            message=f"the edition has been stale since {iso(last_fresh + 1)}",
            got=f"read on {iso(edition.read)}, fresh for {edition.read_again_after}",
            hint="read it again against its sources, then put the day of reading here",
        )


def _reversed_days(edition: Edition, index: int) -> Iterator[Finding]:
    applies = edition.applies
    if applies.from_ and applies.until and applies.until.latest < applies.from_.earliest:
        yield Finding(
            code="R108",
            path=("applies", "until"),
            edition=index,
            message="the edition ends before it begins",
            got=f"'{applies.until}'",
            expected=f"a day on or after {applies.from_}",
        )


def _overlap(editions: Sequence[Edition], n: int, m: int) -> Iterator[Finding]:
    first, second = (days_of(editions[each].applies).certain for each in (n, m))
    both = Days(max(first.start, second.start), min(first.end, second.end))
    if both.start < both.end and editions[n].rulebook != editions[m].rulebook:
        yield Finding(
            code="R104",
            path=("applies",),
            edition=m,
            severity="warning",
            message=f"this edition and {editions[n].rulebook} apply on the same days",
            got=f"both from {iso(both.start)}",
            expected="one edition a day",
            hint=f"give {editions[n].rulebook} its last day, e.g. until: {_day_before(second)}; "
            "write until: unknown where it was not found",
            related=(Related(n, ("applies",), f"when {editions[n].rulebook} applies"),),
        )


def _day_before(days: Days) -> str:
    return iso(max(days.start - 1, 0))


def _uncovered(editions: Sequence[Edition]) -> Iterator[Finding]:
    """Yield the days between two editions on which none applies."""
    covered_until = days_of(editions[0].applies).possible.end if editions else 0
    for index, edition in enumerate(editions):
        possible = days_of(edition.applies).possible
        same_event = edition.applies.by == editions[index - 1].applies.by
        if possible.start > covered_until and same_event:
            yield Finding(
                code="R105",
                path=("applies",),
                edition=index,
                severity="warning",
                message="no edition applies on the days before this one",
                got=f"none from {iso(covered_until)} to {iso(possible.start - 1)}",
                expected="the day after the edition before it",
                related=(Related(index - 1, ("applies",), "the edition before"),),
            )
        covered_until = max(covered_until, possible.end)


def _changed_kinds(editions: Sequence[Edition], m: int) -> Iterator[Finding]:
    """Yield the ids which mean another kind of requirement than in the edition before."""
    for title, path in titles_of(editions[m]):
        before = title_of(editions[m - 1], title.id)
        old = {} if before is None else _by_id(before)
        old_path = ("titles", editions[m - 1].titles.index(before)) if before else ()
        for name, (requirement, where) in _by_id(title).items():
            old_requirement, old_where = old.get(name, (requirement, ()))
            if not _kinds_in(old_requirement) & _kinds_in(requirement):
                yield Finding(
                    code="R106",
                    path=(*path, *where),
                    edition=m,
                    severity="warning",
                    message=f"{name} was another kind of requirement in {editions[m - 1].rulebook}",
                    got=f"{requirement.kind}, before it {old_requirement.kind}",
                    expected="an id that keeps its meaning",
                    hint="if it asks for something else, give it an id of its own",
                    related=(Related(m - 1, (*old_path, *old_where), "before"),),
                )


def _kinds_in(requirement: Requirement) -> set[str]:
    """Return the kinds it is made of: where "one or the other" becomes "both", a kind stays."""
    return {part.kind for _, part in walk(requirement)}


def _by_id(title: Title) -> dict[str, tuple[Requirement, Path]]:
    return {
        each.requirement.id: (each.requirement, each.path)
        for each in requirements_of(title)
        if each.requirement.id is not None
    }
