"""An edition from beginning to end in sentences, to be laid beside the authority's own text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from comity.core.days.calendar import iso
from comity.core.facts.model import Applicant
from comity.core.rulebook.editions import (
    conditions_of,
    first_milestone,
    label_of,
    renewal_of,
    requirements_of,
)
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.qualifying import Applies
from comity.core.rulebook.model import (
    Case,
    Document,
    Edition,
    Examination,
    Fee,
    Grant,
    Pathway,
    Title,
)
from comity.core.rulebook.phrases import (
    closed,
    day_of_year,
    day_said,
    given,
    opened,
    run_on,
    spoken,
    together,
    unstopped,
)
from comity.core.rulebook.prose import Line, cited, lines, sentence
from comity.core.rulebook.prose_plan import PlanWords, party_said, plan_words, renewed
from comity.core.rulebook.steps import Step

NOT_WHOLLY_READ = (
    'Not wholly read: passages remain unread, and the best answer is "nothing read so far excludes'
    ' you".'
)
Entry = TypeVar("Entry", Step, Fee, Examination)
FICTIONAL = "Fictional: invented for demonstration; no such authority exists."


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its lines; `title` is the id of the title it belongs to, if any."""

    heading: str
    lines: tuple[Line, ...]
    title: str = ""


def sections(edition: Edition) -> tuple[Section, ...]:
    """Return an edition as sections: what it is, then everything under each title, then cases."""
    found = [
        Section(f"{edition.authority.name}, edition {edition.rulebook}", tuple(_head(edition))),
        Section("Sources", tuple(_documents(edition))),
        Section("Who acts", tuple(Line(party_said(party)) for party in edition.parties)),
    ]
    for title in edition.titles:
        found += _title_sections(title, edition)
    found.append(Section("Worked cases", tuple(_cases(edition))))
    return tuple(section for section in found if section.lines)


def _head(edition: Edition) -> Iterator[Line]:
    authority = edition.authority
    if edition.fictional:
        yield Line(FICTIONAL)
    yield Line(
        run_on(
            f"Authority: {authority.name} ({authority.id}), {authority.country}",
            given(authority.time_zone, lambda zone: f"days by the clock of {zone}"),
            given(authority.contact, str),
            by=", ",
        )
        + "."
    )
    yield from _said(edition.summary)
    yield Line(f"Applies {applies_words(edition.applies)}.")
    again = edition.read_again_after.after(edition.read)
    yield Line(
        f"Read against its sources on {iso(edition.read)}; to be read again by {iso(again)}."
    )
    if not edition.wholly_read:
        yield Line(NOT_WHOLLY_READ)


def _said(text: str | None) -> Iterator[Line]:
    if text is not None:
        yield Line(closed(text))


def applies_words(applies: Applies) -> str:
    """Return when an edition applies: ``where submission falls from 2026-01-01 on``."""
    start = given(applies.from_, lambda day: f"from {day_said(day)}")
    if applies.until is None or applies.until.is_open:
        days = f"{start} on" if start else "on any day"
    elif applies.until.is_unknown:
        days = run_on(start, "to a day that was not found")
    else:
        days = run_on(start, f"to {day_said(applies.until)}, that day included")
    return f"where {spoken(applies.by)} falls {days}"


def _documents(edition: Edition) -> Iterator[Line]:
    for name, document in edition.sources.items():
        said = run_on(
            unstopped(document.title),
            given(document.edition, str),
            given(document.read, lambda day: f"read on {iso(day)}"),
            given(document.url, str),
            by=", ",
        )
        yield Line(closed(f"{name}: {said}"))


def _title_sections(title: Title, edition: Edition) -> Iterator[Section]:
    say = _Words(title, edition.sources, _names(edition), plan_words(edition, title))
    head = Line(f"ISCO-08 {title.profession}. Milestones, in order: {_milestones(title)}.")
    parts = (
        (f"{title.name} ({title.id})", (head,)),
        ("Requirements", say.listed(range(len(title.requires)))),
        ("Pathways", say.pathways()),
        ("Deemed satisfied", say.deems()),
        ("What the holder gets", say.grant()),
        ("Steps", say.each(title.steps, say.plan.step)),
        ("Fees", say.each(title.fees, say.plan.fee)),
        ("Papers with the application", say.papers()),
        ("Examinations", say.each(title.examinations, say.plan.examination)),
        ("Renewal", say.renewal()),
    )
    for heading, found in parts:
        yield Section(heading, tuple(found), title.id)


def _names(edition: Edition) -> Mapping[str, str]:
    """Return the names with their codes, so that the text can still be laid beside the file."""
    return {code: f"{name} ({code})" for code, name in edition.names.items()}


def _milestones(title: Title) -> str:
    return together(f"{each.label} ({each.id})" for each in title.milestones)


@dataclass(frozen=True, slots=True)
class _Words:
    """Words for what stands under one title."""

    title: Title
    documents: Mapping[str, Document]
    names: Mapping[str, str]
    plan: PlanWords

    @property
    def exams(self) -> Mapping[str, str]:
        """Names of the examinations by id."""
        return {each.id: each.name for each in self.title.examinations}

    def listed(self, positions: range) -> Iterator[Line]:
        """Yield the title's own list, numbered from 1."""
        found = tuple(requirements_of(self.title))
        for position in positions:
            each = found[position]
            yield from self.requirement(each.requirement, at=each.at, number=str(position + 1))

    def requirement(self, requirement: Requirement, *, at: str, number: str) -> Iterator[Line]:
        """Yield a requirement that has a name: its label first, then its sentence."""
        first, *rest = lines(
            requirement,
            at=at,
            number=number,
            documents=self.documents,
            names=self.names,
            examinations=self.exams,
        )
        yield replace(first, text=f"{label_of(requirement)}. {first.text}")
        yield from rest

    def said(self, requirement: Requirement) -> str:
        """Return a condition in a sentence."""
        return self.sentence(requirement, at=first_milestone(self.title))

    def sentence(self, requirement: Requirement, *, at: str) -> str:
        """Return a requirement in a sentence."""
        return sentence(requirement, at=at, names=self.names, examinations=self.exams)

    def source(self, source: Source) -> Line:
        """Return where something is written, as a remark below it."""
        return _source(source, self.documents)

    def each(self, entries: tuple[Entry, ...], say: Callable[[Entry], str]) -> Iterator[Line]:
        """Yield a sentence for each entry, with its source."""
        for position, entry in enumerate(entries, start=1):
            yield Line(closed(say(entry)), str(position), id=entry.id)
            if entry.source is not None:
                yield self.source(entry.source)

    def pathways(self) -> Iterator[Line]:
        """Yield the pathways in order, each with for whom it is and what it asks."""
        at = first_milestone(self.title)
        for letter, pathway in zip(_letters(), self.title.pathways, strict=False):
            yield Line(self._pathway(pathway, at), letter, id=pathway.id)
            if pathway.source is not None:
                yield self.source(pathway.source)
            for position, requirement in enumerate(pathway.requires, start=1):
                number = f"{letter}.{position}"
                for line in self.requirement(requirement, at=at, number=number):
                    yield replace(line, depth=line.depth + 1)

    def _pathway(self, pathway: Pathway, at: str) -> str:
        whom = (
            "for all others"
            if pathway.when is None
            else f"for those of whom this holds: {self.sentence(pathway.when, at=at)}"
        )
        more = "" if pathway.requires else "; nothing is asked beside the title's own list"
        return closed(f"{pathway.label}, {whom}{more}")

    def deems(self) -> Iterator[Line]:
        """Yield the circumstances which satisfy requirements otherwise."""
        for position, deems in enumerate(self.title.deems, start=1):
            names = together(f'"{spoken(name)}"' for name in deems.satisfies)
            when = self.said(deems.when)
            text = f"{unstopped(deems.label)} satisfies {names} where this holds: {when}"
            yield Line(closed(text), str(position), id=deems.id)
            if deems.source is not None:
                yield self.source(deems.source)

    def grant(self) -> Iterator[Line]:
        """Yield what the holder gets, for how long, and under which conditions."""
        grant = self.title.grants
        if grant is None:
            return
        yield Line(closed(opened(_granted(grant))))
        whens = [each for each in conditions_of(self.title) if each.path[0] == "grants"]
        for condition, listed in zip(grant.conditions, whens, strict=True):
            when = self.said(listed.requirement)
            yield Line(f"While this holds: {when}: {closed(condition.says)}", depth=1)

    def papers(self) -> Iterator[Line]:
        """Yield the papers to hand in."""
        for position, paper in enumerate(self.title.papers, start=1):
            said = run_on(
                opened(paper.kind),
                given(paper.form, lambda form: f"as {form}"),
                given(paper.for_requirement, lambda name: f'for "{spoken(name)}"'),
            )
            yield Line(closed(said), str(position))

    def renewal(self) -> Iterator[Line]:
        """Yield how the licence is renewed."""
        renewal = self.title.renewal
        if renewal is None:
            return
        yield Line(renewed(renewal))
        if renewal.source is not None:
            yield self.source(renewal.source)
        for position, each in enumerate(renewal_of(self.title), start=1):
            for line in self.requirement(each.requirement, at=each.at, number=str(position)):
                yield replace(line, depth=line.depth + 1)


def _source(source: Source, documents: Mapping[str, Document]) -> Line:
    return Line(closed(f"Source: {cited(source, documents)}"), depth=1)


def _letters() -> Iterator[str]:
    return iter("ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def _granted(grant: Grant) -> str:
    after = given(grant.after, lambda milestone: f"after {spoken(milestone)}")
    return run_on(
        grant.instrument,
        run_on(given(grant.lasts, lambda time: f"lasts {time}"), after),
        given(grant.until_every_year, lambda day: f"ends every year on {day_of_year(day)}"),
        given(grant.claim_within, lambda time: f"to be taken up within {time} after the decision"),
        by=", ",
    )


def _cases(edition: Edition) -> Iterator[Line]:
    for position, case in enumerate(edition.cases, start=1):
        yield Line(closed(case.says), str(position), id=case.id)
        yield Line(_expected(case), depth=1)
        if case.source is not None:
            yield _source(case.source, edition.sources)


def _expected(case: Case) -> str:
    verdicts = [
        given(case.expect, lambda verdict: f"the answer is {verdict}"),
        *(f'"{spoken(name)}" is {verdict}' for name, verdict in case.requirements.items()),
    ]
    verdicts += [f"{spoken(name)} is planned for {iso(day)}" for name, day in case.plan.items()]
    today = given(case.today, lambda day: f", asked on {iso(day)}")
    facts = "" if case.applicant != Applicant(applicant=case.applicant.applicant) else ", no facts"
    said = together(verdict for verdict in verdicts if verdict)
    return f"For {spoken(case.title)} on {iso(case.on)}{today}{facts}: {said}."
