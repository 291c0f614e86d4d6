"""Checks of names: ids that stand twice or are missing, and names that point nowhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from re import compile as pattern
from typing import NamedTuple

from comity.core.rulebook.editions import everything_in, target_of, title_of
from comity.core.rulebook.findings import (
    Finding,
    Path,
    Placed,
    Related,
    all_listed,
    did_you_mean,
    titles_of,
)
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.combining import SameAs
from comity.core.rulebook.kinds.qualifying import Elapsed
from comity.core.rulebook.kinds.testing import ExaminationPassed
from comity.core.rulebook.model import Edition, Title

_LOOKS_LIKE_AN_ID = pattern(r"[a-z0-9]+(-[a-z0-9]+)*")


class _Named(NamedTuple):
    """A name where it is used."""

    name: str
    path: Path


def find_double_ids(edition: Edition) -> Iterator[Finding]:
    """Yield an id that stands a second time where it has to be the only one."""
    yield from _doubles("title", _ids(edition.titles, ("titles",)))
    yield from _doubles("case", _ids(edition.cases, ("cases",)))
    for title, path in titles_of(edition):
        yield from _doubles("requirement", _requirement_ids(Placed(title, path)))
        for what in ("milestones", "pathways", "deems", "steps", "fees", "examinations"):
            yield from _doubles(what.removesuffix("s"), _ids(getattr(title, what), (*path, what)))


def _ids(entries: Iterable[object], path: Path) -> Iterator[_Named]:
    for index, entry in enumerate(entries):
        yield _Named(getattr(entry, "id", ""), (*path, index, "id"))


def _requirement_ids(placed: Placed) -> Iterator[_Named]:
    for listed in everything_in(placed.title):
        if listed.requirement.id is not None:
            yield _Named(listed.requirement.id, (*placed.path, *listed.path, "id"))


def _doubles(what: str, names: Iterable[_Named]) -> Iterator[Finding]:
    first: dict[str, Path] = {}
    for name, path in names:
        if name in first:
            yield Finding(
                code="R111",
                path=path,
                message=f"the id of a {what} stands twice",
                got=f"'{name}'",
                expected="an id of its own",
                related=(Related(0, first[name], "the first one"),),
            )
        else:
            first[name] = path


def find_unnamed(edition: Edition) -> Iterator[Finding]:
    """Yield a requirement listed under a title that has no id or no source."""
    for _, listed, path in all_listed(edition):
        if not listed.is_top:
            continue
        if listed.requirement.id is None:
            yield Finding(
                code="R112",
                path=path,
                message="a requirement listed under a title needs an id",
                expected="e.g. id: recent-practice",
                hint="choose it well: it is kept from edition to edition",
            )
        if listed.source is None:
            yield Finding(
                code="R113",
                path=path,
                message="a requirement listed under a title needs a source",
                expected="e.g. source: {document: Registration rules, section: 4(2)}",
                hint="write where the authority says so, and the day on which it was read",
            )


def find_unknown_milestones(edition: Edition) -> Iterator[Finding]:
    """Yield a name of a milestone that the title does not declare."""
    for placed in titles_of(edition):
        known = {milestone.id for milestone in placed.title.milestones}
        for name, path in _milestones_named(edition, placed):
            if name not in known:
                yield Finding(
                    code="R114",
                    path=path,
                    message=f"the title {placed.title.id} declares no such milestone",
                    got=f"'{name}'",
                    expected=f"one of {', '.join(sorted(known))}",
                    hint=f"correct it, or declare it under milestones: {{id: {name}, label: …}}",
                    related=(Related(0, placed.path, "the title"),),
                )


def _milestones_named(edition: Edition, placed: Placed) -> Iterator[_Named]:
    title, path = placed
    named = [_Named(edition.applies.by, ("applies", "by"))]
    named += [_Named(fee.at or "", (*path, "fees", n, "at")) for n, fee in enumerate(title.fees)]
    named += [
        _Named(step.reaches or "", (*path, "steps", n, "reaches"))
        for n, step in enumerate(title.steps)
    ]
    named += [_Named(title.grants.after or "", (*path, "grants", "after"))] if title.grants else []
    for listed in everything_in(title):
        here = (*path, *listed.path)
        named += [
            _Named(listed.requirement.at or "", (*here, "at")),
            _Named(listed.requirement.applies_by or "", (*here, "applies_by")),
        ]
        if isinstance(listed.requirement, Elapsed):
            named.append(_Named(listed.requirement.since, (*here, "since")))
    return (each for each in named if each.name)


def find_unknown_documents(edition: Edition) -> Iterator[Finding]:
    """Yield a source whose document looks like an id and is not among the listed ones."""
    known = edition.sources
    for source, path in _sources(edition):
        name = source.document
        if known and name not in known and _LOOKS_LIKE_AN_ID.fullmatch(name):
            yield Finding(
                code="R115",
                path=(*path, "source", "document"),
                message="no document with this id is listed under sources",
                got=f"'{name}'",
                expected="an id listed there, or the document's name in words",
                hint=did_you_mean(name, known),
            )


def _sources(edition: Edition) -> Iterator[tuple[Source, Path]]:
    """Yield every source that stands in the edition, with the path of what it is the source of."""
    carriers: list[tuple[object, Path]] = [
        (case, ("cases", index)) for index, case in enumerate(edition.cases)
    ]
    for title, path in titles_of(edition):
        for what in ("pathways", "deems", "steps", "fees", "examinations"):
            carriers += [
                (entry, (*path, what, index)) for index, entry in enumerate(getattr(title, what))
            ]
        carriers.append((title.renewal, (*path, "renewal")))
    carriers += [(listed.requirement, path) for _, listed, path in all_listed(edition)]
    for carrier, path in carriers:
        source = getattr(carrier, "source", None)
        if isinstance(source, Source):
            yield source, path


def find_loose_ends(edition: Edition) -> Iterator[Finding]:
    """Yield a name of a requirement, step, title or examination that does not exist."""
    for placed, listed, path in all_listed(edition):
        yield from _loose_requirement(edition, placed, (listed.requirement, path))
    for placed in titles_of(edition):
        yield from _loose_in_title(placed)
    yield from _loose_in_cases(edition)


def _loose_requirement(
    edition: Edition, placed: Placed, where: tuple[Requirement, Path]
) -> Iterator[Finding]:
    requirement, path = where
    title = placed.title
    if isinstance(requirement, SameAs):
        name = requirement.requirement
        if target_of(edition, title, name=name) is None:
            known = (*_ids_in(title), *_ids_of_others(edition, title))
            yield _nowhere("R116", (*path, "requirement"), name=name, known=known)
    if isinstance(requirement, ExaminationPassed):
        known = tuple(each.id for each in title.examinations)
        if known and requirement.examination not in known:
            yield Finding(
                code="R121",
                path=(*path, "examination"),
                message="the title lists no such examination",
                got=f"'{requirement.examination}'",
                expected="an id under examinations",
                hint=did_you_mean(requirement.examination, known),
            )


def _loose_in_title(placed: Placed) -> Iterator[Finding]:
    title, path = placed
    ids = _ids_in(title)
    for index, deems in enumerate(title.deems):
        for position, name in enumerate(deems.satisfies):
            if name not in ids:
                where = (*path, "deems", index, "satisfies", position)
                yield _nowhere("R117", where, name=name, known=ids)
    for index, paper in enumerate(title.papers):
        if paper.for_requirement is not None and paper.for_requirement not in ids:
            where = (*path, "papers", index, "for_requirement")
            yield _nowhere("R120", where, name=paper.for_requirement, known=ids)
    steps = tuple(step.id for step in title.steps)
    for index, step in enumerate(title.steps):
        for position, name in enumerate(step.after):
            if name not in steps:
                where = (*path, "steps", index, "after", position)
                yield Finding(
                    code="R122",
                    path=where,
                    message="the title has no such step",
                    got=f"'{name}'",
                    expected="the id of another step",
                    hint=did_you_mean(name, steps),
                )


def _loose_in_cases(edition: Edition) -> Iterator[Finding]:
    titles = tuple(title.id for title in edition.titles)
    for index, case in enumerate(edition.cases):
        title = title_of(edition, case.title)
        if title is None:
            yield Finding(
                code="R118",
                path=("cases", index, "title"),
                message="the edition has no such title",
                got=f"'{case.title}'",
                expected="the id of a title",
                hint=did_you_mean(case.title, titles),
            )
            continue
        ids = _ids_in(title)
        for name in case.requirements:
            if name not in ids:
                yield _nowhere("R118", ("cases", index, "requirements", name), name=name, known=ids)
        milestones = [each.id for each in title.milestones]
        for name in case.plan:
            if name not in milestones:
                yield Finding(
                    code="R118",
                    path=("cases", index, "plan", name),
                    message="the title has no such milestone",
                    got=f"'{name}'",
                    expected="the id of a milestone",
                    hint=did_you_mean(name, milestones),
                )


def _nowhere(code: str, path: Path, *, name: str, known: Iterable[str]) -> Finding:
    return Finding(
        code=code,
        path=path,
        message="no requirement has this id",
        got=f"'{name}'",
        expected="the id of a requirement of this edition",
        hint=did_you_mean(name, known),
    )


def _ids_in(title: Title) -> tuple[str, ...]:
    return tuple(
        listed.requirement.id
        for listed in everything_in(title)
        if listed.requirement.id is not None
    )


def _ids_of_others(edition: Edition, title: Title) -> tuple[str, ...]:
    return tuple(
        f"{other.id}/{name}"
        for other in edition.titles
        if other is not title
        for name in _ids_in(other)
    )
