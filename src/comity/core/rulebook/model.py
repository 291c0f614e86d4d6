"""An edition of an authority's published requirements, as read from its file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from comity.core.days.period import Period
from comity.core.declaring import (
    Complaint,
    Country,
    Date,
    Estimate,
    Identifier,
    Money,
    Share,
    Text,
    declared,
)
from comity.core.facts.model import Applicant
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.qualifying import Applies
from comity.core.rulebook.steps import Party, Step

VerdictWord = Literal["met", "not met", "unknown", "not applicable", "refer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Authority:
    """Who registers or licenses."""

    id: Identifier = declared("Id, kept for ever.", example="xa-council")
    name: Text = declared("Its name.")
    country: Country = declared("Country (XA to XZ for invented ones).")
    time_zone: Text | None = declared(
        "IANA time zone of its seat, which tells what day it is there.", default=None
    )
    contact: Text | None = declared("Whom to write to.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A published document that requirements cite."""

    title: Text = declared("Its title.")
    edition: Text | None = declared("Edition, version or date printed on it.", default=None)
    url: Text | None = declared("Where it can be read.", default=None)
    read: Date | None = declared("Day on which it was last read.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Milestone:
    """A dated event on the way to the licence."""

    id: Identifier = declared("Id, as submission, decision, registration.")
    label: Text = declared("Name people read.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pathway:
    """A set of requirements for some applicants; the first that fits applies."""

    id: Identifier = declared("Id.")
    label: Text = declared("Name people read.")
    when: Requirement | None = declared(
        "For whom; left out for the last one: for all others.", default=None
    )
    source: Source | None = declared("Where it is written.", default=None)
    requires: tuple[Requirement, ...] = declared("What it asks, beside the title's own list.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Deems:
    """A circumstance which satisfies requirements that would otherwise fail."""

    id: Identifier = declared("Id.")
    label: Text = declared("Name people read.")
    when: Requirement = declared("The circumstance.")
    satisfies: tuple[Identifier, ...] = declared(
        "Ids of the requirements it satisfies.", at_least=1
    )
    source: Source | None = declared("Where it is written.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A condition on the licence while something holds."""

    when: Requirement = declared("While this holds.")
    says: Text = declared("The condition.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """What the title's holder gets and how long it lasts."""

    instrument: Text = declared("What is granted, as registration or practising certificate.")
    lasts: Period | None = declared("How long it lasts; left out: without end.", default=None)
    after: Identifier | None = declared("Milestone from which that counts.", default=None)
    until_every_year: Text | None = declared(
        "Month and day on which it ends every year.", default=None, example="03-31"
    )
    claim_within: Period | None = declared(
        "Must be taken up within this time after the decision.", default=None
    )
    conditions: tuple[Condition, ...] = declared("Conditions on it.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee:
    """A fee, as published."""

    id: Identifier = declared("Id.")
    label: Text = declared("What it is for.")
    amount: Money = declared("How much.", example="120.00 EUR")
    most: Money | None = declared("Upper end, where the fee is a range.", default=None)
    from_: Date | None = declared("First day of this amount.", default=None, key="from")
    until: Date | None = declared("Last day of this amount.", default=None)
    at: Identifier | None = declared("Milestone at which it falls due.", default=None)
    step: Identifier | None = declared("Step with whose beginning it is paid.", default=None)
    each: Literal["application", "attempt", "document", "year"] = declared(
        "For what it is paid anew.", default="application"
    )
    documents: int | None = declared(
        "With `each: document`: for how many; left out: for all papers of the title.",
        default=None,
        at_least=1,
        at_most=99,
    )
    refundable: bool = declared("Whether it is paid back on refusal.", default=False)
    source: Source | None = declared("Where it is written.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One published date of an examination."""

    on: Date = declared("Day of the sitting.")
    closes: Date | None = declared("Last day to enter for it.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.closes is not None and self.closes > self.on:
            yield Complaint(
                "P112",
                ("closes",),
                "one could enter for the sitting after it was held",
                expected="a day on or before the sitting",
                related=((("on",), "the day of the sitting"),),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Examination:
    """An examination the authority names."""

    id: Identifier = declared("Id, which requirements and results use.")
    name: Text = declared("Its name.")
    sittings: tuple[Sitting, ...] = declared("Published sittings.", default=())
    by_appointment: bool = declared(
        "yes: it is sat on any working day that is agreed, not on published days.", default=False
    )
    result_time: Estimate | None = declared(
        "How long until the result is out; left out: it is out on the day.", default=None
    )
    marked_by: Text | None = declared(
        "Party whose working days count for that; left out: every day counts.", default=None
    )
    questions: int | None = declared("Number of questions.", default=None, at_least=1)
    minutes: int | None = declared("Time allowed, in minutes.", default=None, at_least=1)
    to_pass: Share | None = declared("Share that has to be right to pass.", default=None)
    source: Source | None = declared("Where they are published.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperAsked:
    """A paper the authority wants with the application."""

    kind: Text = declared("Kind of paper.")
    form: Text | None = declared("In which form.", default=None)
    for_requirement: Identifier | None = declared("Requirement it proves.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """How the licence is renewed."""

    every: Period = declared("How often.")
    opens: Period | None = declared(
        "How long before the end it can be asked for; left out: at any time.", default=None
    )
    grace: Period | None = declared(
        "How long after the end it can still be asked for.", default=None
    )
    requires: tuple[Requirement, ...] = declared(
        "What renewal asks; checked at the milestone `renewal` if the title has one.", default=()
    )
    source: Source | None = declared("Where it is written.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """What one is licensed as, and everything it asks."""

    id: Identifier = declared("Id, kept from edition to edition.", example="dietitian")
    name: Text = declared("Name people read.")
    profession: Text = declared("ISCO-08 code (2265 dietitians and nutritionists).", example="2265")
    milestones: tuple[Milestone, ...] = declared(
        "Dated events in order; the first is where requirements are checked unless they say.",
        default=(Milestone(id="submission", label="Submission"),),
        at_least=1,
    )
    requires: tuple[Requirement, ...] = declared("Every one must hold.", default=())
    pathways: tuple[Pathway, ...] = declared(
        "Sets of requirements; the first that fits.", default=()
    )
    deems: tuple[Deems, ...] = declared("What satisfies requirements otherwise.", default=())
    grants: Grant | None = declared("What its holder gets.", default=None)
    steps: tuple[Step, ...] = declared("What is to be done.", default=())
    fees: tuple[Fee, ...] = declared("What is to be paid.", default=())
    papers: tuple[PaperAsked, ...] = declared("What is to be handed in.", default=())
    examinations: tuple[Examination, ...] = declared("Examinations it names.", default=())
    renewal: Renewal | None = declared("How it is renewed.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A worked case: facts, a day, and the verdicts they must give."""

    id: Identifier = declared("Id.")
    says: Text = declared("The case in a sentence.")
    title: Identifier = declared("The title asked for.")
    on: Date = declared("The day asked for.")
    today: Date | None = declared(
        "The day on which it is asked; the same if left out.", default=None
    )
    applicant: Applicant = declared("The applicant's file.", default=Applicant(applicant="case"))
    expect: VerdictWord | None = declared("The verdict on the whole.", default=None)
    requirements: Mapping[str, VerdictWord] = declared(
        "Verdicts on requirements by id.", default={}
    )
    plan: Mapping[str, Date] = declared(
        "Days on which milestones are reached, by id, if every step takes its likely time and"
        " examinations are passed at the first sitting.",
        default={},
    )
    source: Source | None = declared("Where the case is worked.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """One edition of one authority's rulebook: one file."""

    rulebook: Identifier = declared("Id of the edition.", example="2026")
    authority: Authority = declared("Whose requirements they are.")
    applies: Applies = declared("From when to when, and by which event.", default=Applies())
    read: Date = declared("Day on which the edition was last read against its sources.")
    read_again_after: Period = declared(
        "After this time it counts as stale.", default=Period(months=12)
    )
    wholly_read: bool = declared(
        "no: passages remain unread, and the best answer is that nothing read so far excludes one."
    )
    fictional: bool = declared("yes: invented, for demonstration.", default=False)
    margin: Period | None = declared(
        "How far a date marked `~` or `?` may be off on either side, as the authority reads it.",
        default=None,
    )
    summary: Text | None = declared("What the edition is, in a sentence or two.", default=None)
    names: Mapping[str, Text] = declared(
        "Names people read for the ids of authorities and the codes of countries used here.",
        default={},
    )
    sources: Mapping[str, Document] = declared(
        "Documents that requirements cite, by id.", default={}
    )
    parties: tuple[Party, ...] = declared("Who acts, and on which days they work.", default=())
    titles: tuple[Title, ...] = declared("The titles it licenses.", at_least=1)
    cases: tuple[Case, ...] = declared("Worked cases.", default=())


@dataclass(frozen=True, slots=True)
class Rulebook:
    """All editions read of one authority, oldest first."""

    authority: Authority
    editions: tuple[Edition, ...]

    def titles(self) -> Iterator[str]:
        """Yield the ids of all titles, in the newest edition's order first."""
        seen: dict[str, None] = {}
        for edition in reversed(self.editions):
            for title in edition.titles:
                seen.setdefault(title.id)
        yield from seen
