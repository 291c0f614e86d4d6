"""Requirements about language tests, examinations, certificates and papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Literal

from comity.core.days.period import Period
from comity.core.declaring import (
    Complaint,
    Country,
    Identifier,
    Language,
    Share,
    Text,
    declared,
)
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.practising import RegistrationScope


@dataclass(frozen=True, slots=True, kw_only=True)
class Combining:
    """When the best parts of several sittings may be put together."""

    within: Period = declared("Sittings at most this far apart.", example="P12M")
    floor: Mapping[str, Text] | None = declared(
        "Lowest result of each part in every sitting.", default=None
    )
    least_overall: Text | None = declared("Lowest overall result of every sitting.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class LanguageTest:
    """One accepted test with the results it asks for."""

    test: Text = declared("Name of the test.")
    language: Language | None = declared("Language tested.", default=None)
    overall: Text | None = declared("Lowest overall result.", default=None)
    parts: Mapping[str, Text] | None = declared("Lowest result of each part.", default=None)
    scale: tuple[Text, ...] | None = declared(
        "Grades from lowest to highest; left out for numbers.", default=None
    )
    combining: Combining | None = declared(
        "How sittings may be combined; left out: not at all.", default=None
    )
    excluded_places: tuple[Text, ...] | None = declared("Places of sitting refused.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class LanguageProved(Requirement):
    """A language test passed; any of the accepted tests is enough."""

    kind: ClassVar[str] = "language"

    tests: tuple[LanguageTest, ...] = declared("Tests accepted.", at_least=1)
    greatest_age: Period | None = declared(
        "Results at most this old at the check point; of combined sittings, the older one.",
        default=None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of an examination."""

    id: Identifier = declared("Id of the stage.")
    label: Text | None = declared("Name of the stage.", default=None)
    least_score: Fraction | None = declared("Lowest score that passes.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExaminationPassed(Requirement):
    """An examination passed, within the attempts allowed."""

    kind: ClassVar[str] = "examination"

    examination: Identifier = declared("Id of the examination.")
    outcomes: tuple[Literal["booked", "awaiting", "passed", "failed"], ...] = declared(
        "Which outcomes are enough; failed is for what follows a failure, and holds ever after.",
        default=("passed",),
        at_least=1,
    )
    stages: tuple[Stage, ...] = declared("Stages, each to be passed.", default=())
    least_score: Fraction | None = declared("Lowest score that passes.", default=None)
    attempts: int | None = declared("Attempts allowed, of each stage.", default=None, at_least=1)
    attempts_count: Literal["lifetime", "application"] = declared(
        "Whether earlier applications count.", default="lifetime"
    )
    after: Literal["qualification", "registration ended", "last practice"] | None = declared(
        "Only attempts after this event, the latest of its kind, count.", default=None
    )
    registrations: RegistrationScope | None = declared(
        "Which registrations, where attempts count after one has ended.", default=None
    )
    wait: Period | None = declared("From one attempt to the next at least.", default=None)
    bar: Period | None = declared(
        "After the last attempt allowed, time until attempts start anew.", default=None
    )
    remedial_after: int | None = declared(
        "Failures after which remedial work is owed.", default=None, at_least=1
    )
    remedial: Requirement | None = declared("The remedial work owed.", default=None)
    validity: Period | None = declared("How long a pass is valid.", default=None)
    stages_within: Period | None = declared("All stages passed within this time.", default=None)
    stages_in_order: bool = declared(
        "yes: a stage counts only after the one before it has been passed.", default=False
    )

    def parts(self) -> Iterator[tuple[tuple[str | int, ...], Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        if self.remedial is not None:
            yield ("remedial",), self.remedial

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if (self.remedial_after is None) != (self.remedial is None):
            yield Complaint(
                "R209",
                ("remedial",) if self.remedial else ("remedial_after",),
                "`remedial` and `remedial_after` go together",
                expected="both, or neither",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificateHeld(Requirement):
    """A certificate of good standing, criminal record or health, not too old."""

    kind: ClassVar[str] = "certificate"

    of: Literal["good standing", "criminal record", "health"] = declared("What it certifies.")
    authorities: tuple[Text, ...] | None = declared("Issuers that count.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries it must speak of.", default=None)
    greatest_age: Period | None = declared("At most this old at the check point.", default=None)
    sent: Literal["directly", "by applicant"] | None = declared(
        "How it must reach the authority.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """Measurements of a photo."""

    width_mm: Fraction | None = declared("Width.", default=None)
    height_mm: Fraction | None = declared("Height.", default=None)
    least_face: Share | None = declared("Lowest share of the height, chin to crown.", default=None)
    greatest_face: Share | None = declared("Highest share.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHeld(Requirement):
    """A paper in the form asked for, valid long enough."""

    kind: ClassVar[str] = "paper"

    paper: Text = declared("Kind of paper.", example="passport")
    status: Literal["requested", "received", "accepted"] = declared(
        "How far it must have come.", default="received"
    )
    remaining_validity: Period | None = declared(
        "Still valid for this long after the check point.", default=None
    )
    greatest_age: Period | None = declared("At most this old at the check point.", default=None)
    forms: tuple[Literal["original", "certified copy", "plain copy"], ...] | None = declared(
        "Forms accepted.", default=None
    )
    certified_by: tuple[Text, ...] | None = declared(
        "Who may certify a copy; does not concern originals.", default=None
    )
    issuers: tuple[Text, ...] | None = declared("Issuers that count.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries it comes from.", default=None)
    languages: tuple[Language, ...] | None = declared(
        "Languages accepted without translation.", default=None
    )
    translated_by: tuple[Text, ...] | None = declared("Who may translate.", default=None)
    legalised: tuple[Literal["apostille", "consular"], ...] | None = declared(
        "Legalisation accepted.", default=None
    )
    photo: Photo | None = declared("Measurements of a photo.", default=None)
