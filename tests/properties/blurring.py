"""Take knowledge away from a complete file, and say which complete files it may then stand for."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from comity.core.days.partial import OPEN, UNKNOWN, PartialDate, parse_partial_date
from comity.core.days.period import Period
from comity.core.facts.model import Supervisor
from tests.properties.eligibility_strategies import HOUR, SECTIONS, day
from tests.properties.oracle.months import exactly, number_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from hypothesis.strategies import DrawFn

    from comity.core.facts.model import Applicant

Path = tuple[str | int, ...]
MOST_COMPLETIONS = 10

PATHS: Mapping[str, Path] = {
    **{name: ("facts", name) for name in SECTIONS},
    "papers": ("papers",),
    "dated papers": ("papers",),
    "language": ("results", "language"),
    "examinations": ("results", "examinations"),
    "examinations in stages": ("results", "examinations"),
    "reviews": ("results", "reviews"),
    "progress": ("progress",),
}
# These have no "not known": an absent list is an empty one, an absent date says "none".
NEVER_ABSENT = {"person", "reviews", "progress"}
NEVER_LEFT_OUT = {
    ("certificates", "expires"),
    ("papers", "issued"),
    ("papers", "expires"),
    ("progress", "on"),
}
_COUNTRIES, _BODIES = ("XA", "XB", "XC", "XD"), ("Board of XA", "XB Council", "XC Chamber", "Other")
_POSTS = ("dietitian", "assistant", "other")
_SUPERVISORS = tuple(
    Supervisor(
        registered_since=PartialDate.exact(day(since)), same_profession=same, sanctioned=not same
    )
    for since in ("2000-01-01", "2024-12-31")
    for same in (True, False)
)
VALUES: Mapping[tuple[str, str], tuple[Any, ...]] = {
    ("practice", "setting"): ("clinical", "community", "teaching", "other"),
    ("practice", "title"): _POSTS,
    ("practice", "country"): _COUNTRIES,
    ("practice", "registered"): (True, False),
    ("practice", "supervised"): (True, False),
    ("practice", "hours_a_week"): (0, 15 * HOUR, 30 * HOUR, 168 * HOUR),
    ("registrations", "authority"): _BODIES,
    ("registrations", "country"): _COUNTRIES,
    ("registrations", "title"): _POSTS,
    ("registrations", "category"): ("full", "provisional", "other"),
    ("stays", "country"): _COUNTRIES,
    ("updating", "how"): ("supervised practice", "formal study", "private study"),
    ("updating", "hours"): (0, 20 * HOUR, 1000 * HOUR),
    ("updating", "supervisor"): _SUPERVISORS,
    ("updating", "same_profession"): (True, False),
    ("updating", "sanctioned"): (True, False),
    ("qualifications", "title"): ("bachelor", "diploma", "other"),
    ("qualifications", "level"): tuple(range(9)),
    ("qualifications", "field"): ("0915", "0911", "1013", "0511"),
    ("qualifications", "country"): _COUNTRIES,
    ("qualifications", "accredited_by"): ((), _BODIES),
    ("qualifications", "equivalent_to"): ((), ("bachelor",), ("diploma",)),
    ("qualifications", "length"): (Period(months=12), Period(months=60)),
    ("qualifications", "hours"): ({}, {"theory": 600 * HOUR}, {"placement": 900 * HOUR}),
    ("certificates", "authority"): _BODIES,
    ("certificates", "country"): _COUNTRIES,
    ("certificates", "sent"): ("directly", "by applicant"),
    ("education", "category"): ("ethics", "clinical", "other"),
    ("education", "units"): (Fraction(0), Fraction(5, 2), Fraction(100)),
    ("papers", "issuer"): _BODIES,
    ("papers", "country"): _COUNTRIES,
    ("papers", "form"): ("original", "certified copy", "plain copy"),
    ("papers", "certified_by"): ("notary", "school"),
    ("papers", "language"): ("en", "de", "xa"),
    ("papers", "translated_into"): ((), ("en",), ("de", "en")),
    ("papers", "translated_by"): ("sworn translator", "friend"),
    ("papers", "legalised"): ("apostille", "consular", "no"),
    ("papers", "width_mm"): (Fraction(35), Fraction(36)),
    ("papers", "height_mm"): (Fraction(45), Fraction(46)),
    ("papers", "face_share"): (Fraction(1, 2), Fraction(7, 10), Fraction(3, 4), Fraction(1)),
    ("language", "overall"): ("5", "9", "A", "D"),
    ("language", "parts"): (
        {},
        {"reading": "8", "writing": "8", "speaking": "8"},
        {"reading": "A"},
    ),
    ("language", "place"): ("at home", "centre"),
    ("examinations", "outcome"): ("passed", "failed", "awaiting", "booked"),
    ("examinations", "application"): ("first", "second"),
    ("examinations in stages", "stage"): ("one", "two"),
    ("examinations in stages", "outcome"): ("passed", "failed", "awaiting", "booked"),
    ("person", "nationality"): ((), ("XA",), ("XB", "XC")),
    ("person", "residence"): _COUNTRIES,
    ("declarations", "answer"): (True, False),
}


@dataclass(frozen=True)
class Spot:
    """One fact of which less is known, what is left of it, and what it may then be."""

    path: Path
    left: Any
    may_be: tuple[Any, ...]


@dataclass(frozen=True)
class Blurred:
    """A file with gaps, and complete files which it may stand for."""

    applicant: Applicant
    completions: tuple[Applicant, ...]


def got(value: Any, path: Path) -> Any:  # noqa: ANN401  # any part of a file
    """Return what lies at a path."""
    for step in path:
        value = value[step] if isinstance(step, int) else getattr(value, step)
    return value


def put(value: Any, path: Path, new: Any) -> Any:  # noqa: ANN401  # any part of a file
    """Return a file with one part exchanged."""
    if not path:
        return new
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        return (*value[:step], put(value[step], rest, new), *value[step + 1 :])
    return replace(value, **{step: put(getattr(value, step), rest, new)})


def _leaves(applicant: Applicant, section: str) -> Iterator[tuple[Path, str, Any]]:
    """Yield each field that may be left out, as its path, its name and its value."""
    path = PATHS[section]
    listed = got(applicant, path)
    entries = enumerate(listed) if isinstance(listed, tuple) else ((None, listed),)
    for index, entry in entries:
        at = path if index is None else (*path, index)
        for field in fields(entry):
            value = getattr(entry, field.name)
            yield (*at, field.name), field.name, value
            if is_dataclass(value) and isinstance(value, Supervisor):
                for inner in fields(value):
                    held = getattr(value, inner.name)
                    yield (*at, field.name, inner.name), inner.name, held


def spots_of(applicant: Applicant, section: str, *, every_day: bool = False) -> list[Spot]:
    """Return all facts of a section that may be known less well."""
    spots: list[Spot] = []
    name = {"dated papers": "papers"}.get(section, section)
    for path, field, value in _leaves(applicant, section):
        if isinstance(value, PartialDate):
            if not value.is_open:
                spots += _known_in_part(path, value, every_day=every_day)
            if (name, field) not in NEVER_LEFT_OUT:
                spots += _unknown_dates(path, value)
        elif value is not None and (name, field) in VALUES:
            spots.append(Spot(path, None, (*VALUES[name, field], value)))
    return spots


def _known_in_part(path: Path, value: PartialDate, *, every_day: bool) -> Iterator[Spot]:
    known = exactly(value)
    year, month = known.year, known.month
    first, last = date(year, month, 1), date(year, month, monthrange(year, month)[1])
    some = (first, date(year, month, 15), last, known)
    in_month = range(number_of(first), number_of(last) + 1) if every_day else map(number_of, some)
    yield Spot(
        path, parse_partial_date(f"{year}-{month:02}"), tuple(map(PartialDate.exact, in_month))
    )
    in_year = (
        *(date(year, 1, 1), date(year, 2, 28), date(year, 3, 1), date(year, 8, 31)),
        *(date(year, 12, 31), known),
    )
    if not every_day:
        may_be = tuple(PartialDate.exact(number_of(each)) for each in in_year)
        yield Spot(path, parse_partial_date(str(year)), may_be)


def _unknown_dates(path: Path, value: PartialDate) -> Iterator[Spot]:
    far = (PartialDate.exact(day("2013-02-28")), PartialDate.exact(day("2031-06-30")))
    may_be = (*far, value, *((OPEN,) if path[-1] == "end" and "updating" not in path else ()))
    yield Spot(path, None, may_be)
    yield Spot(path, UNKNOWN, may_be)


@st.composite
def blurred(draw: DrawFn, applicant: Applicant, sections: tuple[str, ...]) -> Blurred:
    """Draw a file of which one or two facts, or a whole list, are known less well."""
    spots = [spot for section in sections for spot in spots_of(applicant, section)]
    for section in sections:
        if section not in NEVER_ABSENT:
            truth = got(applicant, PATHS[section])
            others = (truth, (), truth[:1], draw(SECTIONS[section]))
            spots.append(
                Spot(PATHS[section], None, others if section != "declarations" else (truth,))
            )
    if not spots:
        return Blurred(applicant, (applicant,))
    chosen = draw(st.lists(st.sampled_from(spots), min_size=1, max_size=2))
    if len(chosen) > 1 and _is_part_of(chosen[0].path, chosen[1].path):
        chosen = chosen[:1]
    return blurred_at(applicant, chosen)


def _is_part_of(one: Path, other: Path) -> bool:
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]


def blurred_at(applicant: Applicant, spots: list[Spot]) -> Blurred:
    """Return the file with those facts blurred, and its consistent completions."""
    left, completions = applicant, [applicant]
    for spot in spots:
        left = put(left, spot.path, spot.left)
        completions = [put(each, spot.path, value) for each in completions for value in spot.may_be]
    consistent = [each for each in completions if is_consistent(each)]
    assert consistent, "what was true may be true"
    return Blurred(left, tuple(consistent[:: max(1, len(consistent) // MOST_COMPLETIONS)]))


def is_consistent(applicant: Applicant) -> bool:
    """Whether spells end after they start, attempts differ in day, and only the sat have scores."""
    facts = applicant.facts
    listed = (facts.practice, facts.registrations, facts.stays, facts.updating)
    spells = [entry for entries in listed for entry in entries or ()]
    attempts = applicant.results.examinations or ()
    return (
        len({exactly(entry.taken) for entry in attempts}) == len(attempts)
        and all(entry.score is None or entry.outcome in {"passed", "failed"} for entry in attempts)
        and all(exactly(entry.start) <= exactly(entry.end) for entry in spells)
    )
