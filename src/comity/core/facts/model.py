"""The applicant file: what is known of one person, each fact with its evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring import (
    Complaint,
    Country,
    Currency,
    Date,
    Hours,
    Identifier,
    Language,
    Money,
    Share,
    Text,
    declared,
)

Evidence = Literal["stated", "seen", "confirmed"]
PaperStatus = Literal["requested", "received", "accepted"]
Outcome = Literal["booked", "awaiting", "passed", "failed"]
UpdatingHow = Literal["supervised practice", "formal study", "private study"]

HIGHEST_LEVEL: Final = 8
"""Doctorate, in ISCED 2011."""
_EVIDENCE = "How it is known: stated by the applicant, seen on a paper, or confirmed by its issuer."
_PAPERS = "Ids of the papers that show it."
_ID = "Short name of this entry, unique in its list; it makes the entry a path to speak of."


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every fact has: an id, its evidence and the papers that show it."""

    id: Identifier = declared(_ID, example="post-1")
    evidence: Evidence = declared(_EVIDENCE, default="stated")
    papers: tuple[Identifier, ...] = declared(_PAPERS, default=())
    note: Text | None = declared("A remark for the adviser.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Qualification(Entry):
    """A degree, diploma or internship."""

    title: Text | None = declared("What it is called.", default=None)
    level: int | None = declared("ISCED 2011 level, 0 to 8 (6 bachelor, 7 master).", default=None)
    field: Text | None = declared(
        "ISCED-F 2013 field code (0915 is therapy and rehabilitation).", default=None
    )
    country: Country | None = declared("Country of training.", default=None)
    institution: Text | None = declared("School that awarded it.", default=None)
    accredited_by: tuple[Text, ...] | None = declared(
        "Bodies that accredit the programme; an empty list says: none.", default=None
    )
    equivalent_to: tuple[Text, ...] | None = declared(
        "What an evaluating body found it equivalent to.", default=None
    )
    length: Period | None = declared("Length of the programme.", default=None, example="P4Y")
    completed: PartialDate | None = declared(
        "Day on which it was awarded or completed.", default=None, example="2019-06-30"
    )
    hours: Mapping[str, Hours] | None = declared(
        "Hours by category of the curriculum, in the rulebook's words.", default=None
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.level is not None and not 0 <= self.level <= HIGHEST_LEVEL:
            yield Complaint(
                "F301",
                ("level",),
                "ISCED 2011 levels go from 0 to 8",
                got=str(self.level),
                expected="e.g. 6 for a bachelor's degree",
            )


def _end_before_start(start: PartialDate | None, end: PartialDate | None) -> Iterator[Complaint]:
    """Yield the complaint for a spell that ends before it starts whatever the missing parts are."""
    if start and end and end.latest < start.earliest:
        yield Complaint(
            "F302",
            ("end",),
            "the end lies before the start",
            got=end.text,
            expected=f"a day on or after {start.text}",
            hint="compare both dates with the paper that shows them",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeSpell(Entry):
    """A spell of clinical work: one post, one rate of hours."""

    employer: Text | None = declared("Who employed the applicant.", default=None)
    title: Text | None = declared("Post held, in the rulebook's words.", default=None)
    setting: Text | None = declared("Setting, as clinical, community, teaching.", default=None)
    country: Country | None = declared("Country of practice.", default=None)
    registered: bool | None = declared(
        "Whether the applicant was registered where they worked.", default=None
    )
    supervised: bool | None = declared("Whether it was practice under supervision.", default=None)
    start: PartialDate | None = declared("First day of work.", default=None, example="2020-03-01")
    end: PartialDate | None = declared(
        "Last day of work; `..` while it goes on.", default=None, example="2024-08-31"
    )
    hours_a_week: Hours | None = declared("Contracted hours a week.", default=None, example="37.5")

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        yield from _end_before_start(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Registration(Entry):
    """A registration or licence held, or the standing of being eligible for one."""

    authority: Text | None = declared("Who registers.", default=None)
    country: Country | None = declared("Country of registration.", default=None)
    title: Text | None = declared("Title registered under.", default=None)
    category: Text | None = declared(
        "Category, as full, provisional, non-practising.", default=None
    )
    state: Literal["held", "eligible"] = declared(
        "held, or eligible where the law names no register.", default="held"
    )
    start: PartialDate | None = declared("First day.", default=None)
    end: PartialDate | None = declared("Last day; `..` while it goes on.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        yield from _end_before_start(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate(Entry):
    """A certificate about the person: good standing, criminal record, health."""

    of: Literal["good standing", "criminal record", "health"] = declared("What it certifies.")
    authority: Text | None = declared("Authority that issued it.", default=None)
    country: Country | None = declared("Country it speaks of.", default=None)
    issued: PartialDate | None = declared("Day of issue.", default=None)
    expires: PartialDate | None = declared(
        "Last day of its own validity, if it has one.", default=None
    )
    sent: Literal["directly", "by applicant"] | None = declared(
        "Whether the issuer sends it directly to the authority.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay(Entry):
    """A time of living in a country."""

    country: Country | None = declared("Country lived in.", default=None)
    start: PartialDate | None = declared("First day.", default=None)
    end: PartialDate | None = declared("Last day; `..` while it goes on.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        yield from _end_before_start(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Supervisor:
    """Who supervised the updating."""

    registered_since: PartialDate | None = declared("On the register since.", default=None)
    same_profession: bool | None = declared("Of the applicant's profession.", default=None)
    sanctioned: bool | None = declared("Under proceedings or a sanction.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Updating(Entry):
    """Updating of knowledge and skills after time out of practice."""

    how: UpdatingHow | None = declared("Kind of updating.", default=None)
    start: PartialDate | None = declared("First day.", default=None)
    end: PartialDate | None = declared("Last day.", default=None)
    hours: Hours | None = declared("Hours in all.", default=None)
    supervisor: Supervisor | None = declared("Who supervised it.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        yield from _end_before_start(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class EducationUnits(Entry):
    """Continuing-education units earned on a day."""

    earned: PartialDate | None = declared("Day on which it ended.", default=None)
    units: Fraction | None = declared("Units or hours earned.", default=None)
    category: Text | None = declared("Category, in the rulebook's words.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration(Entry):
    """A declared yes or no; the id says to what."""

    answer: bool | None = declared("yes, no, or left out while unknown.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Who the applicant is; no more of it than requirements ask for."""

    born: PartialDate | None = declared("Date of birth.", default=None)
    nationality: tuple[Country, ...] | None = declared("Nationalities held.", default=None)
    residence: Country | None = declared("Country of residence.", default=None)
    evidence: Evidence = declared(_EVIDENCE, default="stated")
    papers: tuple[Identifier, ...] = declared(_PAPERS, default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What is known of the person. A list left out is unknown; an empty list says: none."""

    person: Person = declared("Birth, nationality, residence.", default=Person())
    qualifications: tuple[Qualification, ...] | None = declared(
        "Degrees, diplomas, internships.", default=None
    )
    practice: tuple[PracticeSpell, ...] | None = declared("Spells of practice.", default=None)
    registrations: tuple[Registration, ...] | None = declared(
        "Registrations and licences.", default=None
    )
    certificates: tuple[Certificate, ...] | None = declared(
        "Certificates about the person.", default=None
    )
    stays: tuple[Stay, ...] | None = declared("Countries lived in.", default=None)
    updating: tuple[Updating, ...] | None = declared("Updating done.", default=None)
    education: tuple[EducationUnits, ...] | None = declared(
        "Continuing-education units.", default=None
    )
    declarations: tuple[Declaration, ...] | None = declared("Declared answers.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper(Entry):
    """A paper, its form and where it stands."""

    kind: Text = declared("What it is, as passport, photo, diploma, transcript.")
    status: PaperStatus = declared("requested, received or accepted.", default="received")
    issuer: Text | None = declared("Who issued it.", default=None)
    country: Country | None = declared("Country it comes from.", default=None)
    issued: PartialDate | None = declared("Day of issue.", default=None)
    expires: PartialDate | None = declared("Last day of validity.", default=None)
    form: Literal["original", "certified copy", "plain copy"] | None = declared(
        "In which form it is at hand.", default=None
    )
    certified_by: Text | None = declared("Who certified the copy, as notary.", default=None)
    language: Language | None = declared("Language it is written in.", default=None)
    translated_into: tuple[Language, ...] | None = declared(
        "Languages translated into.", default=None
    )
    translated_by: Text | None = declared("Who translated, as sworn translator.", default=None)
    legalised: Literal["apostille", "consular", "no"] | None = declared(
        "How it is legalised.", default=None
    )
    width_mm: Fraction | None = declared("Width of a photo in millimetres.", default=None)
    height_mm: Fraction | None = declared("Height of a photo in millimetres.", default=None)
    face_share: Share | None = declared(
        "Share of a photo's height from chin to crown.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LanguageResult(Entry):
    """One sitting of a language test."""

    test: Text = declared("The test, in the rulebook's words.")
    taken: PartialDate | None = declared("Day of the sitting.", default=None)
    overall: Text | None = declared("Overall result, a number or a grade.", default=None)
    parts: Mapping[str, Text] | None = declared("Result of each part.", default=None)
    place: Text | None = declared("Where it was sat, as at home or test centre.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExaminationResult(Entry):
    """One attempt at an examination, of this or an earlier application."""

    examination: Identifier = declared("The examination's id in the rulebook.")
    stage: Identifier | None = declared("Stage of an examination in stages.", default=None)
    taken: PartialDate | None = declared("Day of the sitting.", default=None)
    outcome: Outcome | None = declared("booked, awaiting, passed or failed.", default=None)
    score: Fraction | None = declared("Score on the examination's scale.", default=None)
    domains: Mapping[str, Text] | None = declared(
        "Result of each domain, as the report of the examination has it.", default=None
    )
    application: Identifier | None = declared("Application to which it belongs.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Review(Entry):
    """A verdict entered by a person on a passage that no kind fits."""

    requirement: Text = declared("The requirement, as authority/title/requirement.")
    verdict: Literal["met", "not met", "refer"] = declared("What the person found.")
    by: Text = declared("Who looked at it.")
    on: Date = declared("Day on which they did.")
    reason: Text = declared("Why.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """Results of tests, examinations and reviews by hand."""

    language: tuple[LanguageResult, ...] | None = declared("Language tests sat.", default=None)
    examinations: tuple[ExaminationResult, ...] | None = declared(
        "Examination attempts, all of them.", default=None
    )
    reviews: tuple[Review, ...] = declared("Verdicts entered by a person.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress(Entry):
    """A milestone or step that has happened, with its real day."""

    milestone: Text = declared("Which, as authority/title/milestone, or just the milestone.")
    on: PartialDate = declared("Day on which it happened.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment(Entry):
    """Something that has been paid; used for plans, never for verdicts."""

    purpose: Text = declared(
        "What was paid for: the id of a fee, as authority/title/fee or just the fee, or in words.",
        example="xa-council/dietitian/application",
    )
    amount: Money = declared("How much.", example="120.00 EUR")
    on: Date = declared("Day on which it was paid.")
    payer: Text | None = declared("Who paid, as applicant or employer.", default=None)
    receipt: Text | None = declared("Number of the receipt.", default=None)
    attempt: int | None = declared(
        "The attempt at an examination that it is for, counted from 1.", default=None, at_least=1
    )
    refundable_until: Date | None = declared("Last day on which it can be had back.", default=None)
    refunded: Date | None = declared(
        "Day on which it was paid back; it then counts no more.", default=None
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        for name in ("refundable_until", "refunded"):
            day = getattr(self, name)
            if day is not None and day < self.on:
                yield Complaint(
                    "P301",
                    (name,),
                    "a payment cannot be had back before it was made",
                    expected="a day on or after the payment",
                    hint="compare both days with the receipt",
                    related=((("on",), "the day of the payment"),),
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Preferences:
    """What the person wishes and can afford; used for plans, never for verdicts."""

    language: Language | None = declared("Language of the brief.", default=None)
    currency: Currency | None = declared("Currency to count in.", default=None)
    hours_a_week: Hours | None = declared("Hours of study a week.", default=None)
    savings_a_month: Money | None = declared("What can be put aside a month.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Applicant:
    """One applicant file."""

    applicant: Identifier = declared("Id of the applicant, not their name.", example="amara-n")
    name: Text | None = declared("Name, for the brief and the letters.", default=None)
    as_of: Date | None = declared("Day on which these facts were last gone through.", default=None)
    facts: Facts = declared("What is known of the person.", default=Facts())
    papers: tuple[Paper, ...] | None = declared("Papers asked for or at hand.", default=None)
    results: Results = declared("Tests, examinations, reviews.", default=Results())
    progress: tuple[Progress, ...] = declared("Milestones that have happened.", default=())
    payments: tuple[Payment, ...] = declared("What has been paid.", default=())
    preferences: Preferences = declared("Wishes and limits.", default=Preferences())
    asked: tuple[Text, ...] = declared(
        "Paths of facts that were asked for and answered as well as anyone could; "
        "`comity ask` does not ask for them again.",
        default=(),
        example="practice/post-2/start",
    )
