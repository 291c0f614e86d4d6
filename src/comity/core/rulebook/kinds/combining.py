"""Requirements made of requirements."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Literal

from comity.core.days.period import Period
from comity.core.declaring import Complaint, Text, declared
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.practising import RegistrationScope, Scope

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Several(Requirement):
    """A requirement made of a list of others."""

    of: tuple[Requirement, ...] = declared("The requirements it is made of.", at_least=1)

    def parts(self) -> Iterator[tuple[Path, Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        for index, part in enumerate(self.of):
            yield ("of", index), part


@dataclass(frozen=True, slots=True, kw_only=True)
class All(Several):
    """Every part must hold. One that does not apply drops out."""

    kind: ClassVar[str] = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyOf(Several):
    """One part is enough. With an unknown part and none met the answer is unknown."""

    kind: ClassVar[str] = "any"


@dataclass(frozen=True, slots=True, kw_only=True)
class AtLeast(Several):
    """At least `k` of the parts must hold."""

    kind: ClassVar[str] = "at least"

    k: int = declared("How many of the parts must hold.", at_least=1)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if not 1 <= self.k <= len(self.of):
            yield Complaint(
                "R201",
                ("k",),
                "the number of parts that must hold does not fit the list",
                got=f"{self.k} of {len(self.of)}",
                expected=f"a number from 1 to {len(self.of)}",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Not(Requirement):
    """Holds on the days on which its part does not."""

    kind: ClassVar[str] = "not"

    of: Requirement = declared("What must not hold.")

    def parts(self) -> Iterator[tuple[Path, Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        yield ("of",), self.of


@dataclass(frozen=True, slots=True, kw_only=True)
class ForEach(Requirement):
    """The part must hold for each country or authority which the applicant's facts name.

    Inside, certificates, papers and registrations are those of the country or authority in turn.
    """

    kind: ClassVar[str] = "for each"

    over: Literal["country of stay", "country of practice", "authority of registration"] = declared(
        "What is gone through, one after the other."
    )
    look_back: Period | None = declared(
        "Only stays, spells or registrations that reach into this time before the check point.",
        default=None,
    )
    least_stay: Period | None = declared(
        "Only countries with one stay of at least this length inside the look-back.", default=None
    )
    least_in_all: Period | None = declared(
        "Only countries in which stays inside the look-back come to at least this in all.",
        default=None,
    )
    from_age: Period | None = declared(
        "Only the time from this age on.", default=None, example="P18Y"
    )
    excluded: tuple[Text, ...] | None = declared(
        "Countries or authorities left out, as the authority's own.", default=None
    )
    of: Requirement = declared("What must hold for each.")

    def parts(self) -> Iterator[tuple[Path, Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        yield ("of",), self.of


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A range of lengths of gap and what is owed inside it. State which ends are included."""

    label: Text | None = declared("Short name of the band.", default=None)
    from_: Period | None = declared("Included lower end.", default=None, key="from")
    more_than: Period | None = declared("Excluded lower end.", default=None)
    below: Period | None = declared("Excluded upper end.", default=None)
    up_to: Period | None = declared("Included upper end.", default=None)
    requires: tuple[Requirement, ...] = declared("What is owed; an empty list says: nothing.")

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        for first, second in (("from", "more_than"), ("below", "up_to")):
            if getattr(self, "from_" if first == "from" else first) and getattr(self, second):
                yield Complaint(
                    "R202",
                    (second,),
                    f"a band has either `{first}` or `{second}`, not both",
                    expected="one of them, as the authority's text says",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands(Requirement):
    """What is owed depends on the time out of practice."""

    kind: ClassVar[str] = "bands"

    anchor: Literal["after last practice day", "beginning first idle day"] = declared(
        "From which day the gap counts: months after the last day of practice, "
        "or months beginning with the first idle day."
    )
    counts: tuple[Literal["practice", "qualification", "registration"], ...] = declared(
        "What ends a gap: practice, a qualification, being registered.",
        default=("practice", "qualification"),
        at_least=1,
    )
    scope: Scope | None = declared("Which practice counts.", default=None)
    registrations: RegistrationScope | None = declared(
        "Which registrations count, where registration is counted.", default=None
    )
    bands: tuple[Band, ...] = declared("The bands, shortest gap first.", at_least=1)

    def parts(self) -> Iterator[tuple[Path, Requirement]]:
        """Yield the requirements inside this one, each with its path."""
        yield from Requirement.parts(self)
        for index, band in enumerate(self.bands):
            for position, part in enumerate(band.requires):
                yield ("bands", index, "requires", position), part


@dataclass(frozen=True, slots=True, kw_only=True)
class SameAs(Requirement):
    """Holds on the days on which another requirement of this rulebook holds."""

    kind: ClassVar[str] = "same as"

    requirement: Text = declared("Its id, or title/id for one of another title.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict(Several):
    """Sources that disagree: where the readings differ, the authority must be asked."""

    kind: ClassVar[str] = "conflict"


@dataclass(frozen=True, slots=True, kw_only=True)
class Refer(Requirement):
    """The authority decides case by case."""

    kind: ClassVar[str] = "refer"

    decided_by: Text = declared("Who decides.")
    factors: tuple[Text, ...] = declared("What they look at.", default=())
    prepare: tuple[Text, ...] = declared("What the adviser should prepare.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand(Requirement):
    """A passage that no kind fits: read by a person, who enters a verdict with a reason."""

    kind: ClassVar[str] = "by hand"

    text: Text = declared("The passage, in short.")
    checked_by: Text = declared("Who should look at it.")
