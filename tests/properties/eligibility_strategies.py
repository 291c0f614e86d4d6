"""Applicants and requirements of every kind, aimed at where calendars and rules go wrong.

Days cluster at ends of months and around leap days; spells touch, overlap, leave gaps of exactly
n months, or last one day; dates lie before the qualification. What is drawn here is complete:
every fact is known. `blurring` takes knowledge away.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from comity.core.days.partial import OPEN, PartialDate, parse_partial_date
from comity.core.days.period import Period
from comity.core.declaring import Amount
from comity.core.facts.model import (
    Applicant,
    Certificate,
    Declaration,
    EducationUnits,
    ExaminationResult,
    Facts,
    LanguageResult,
    Paper,
    Person,
    PracticeSpell,
    Progress,
    Qualification,
    Registration,
    Results,
    Review,
    Stay,
    Supervisor,
    Updating,
)
from comity.core.rulebook.kinds import (
    combining,
    educating,
    practising,
    qualifying,
    scoring,
    testing,
)
from tests.properties.oracle.months import after, day_of, end_of_beginning, number_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hypothesis.strategies import DrawFn, SearchStrategy

    from comity.core.rulebook.kinds.base import Requirement

PREFIX = "xa-council/dietitian"
HOUR = 60
MOST_ENTRIES = 4


def day(text: str) -> int:
    """Return the day number of an ISO date."""
    return parse_partial_date(text).earliest


EDGES = tuple(
    day(text)
    for text in (
        *("2019-12-31", "2020-01-30", "2020-01-31", "2020-02-28", "2020-02-29", "2020-03-01"),
        *("2020-03-31", "2020-04-30", "2020-08-31", "2020-11-30", "2021-02-27", "2021-02-28"),
        *("2021-03-01", "2021-05-31", "2021-08-31", "2022-02-28", "2022-03-31", "2022-12-31"),
        *("2023-01-01", "2023-01-31", "2023-02-28", "2023-10-31", "2024-02-28", "2024-02-29"),
        *("2024-03-01", "2024-03-31", "2024-06-30"),
    )
)
TODAY = day("2024-06-15")
PERIODS = (
    *(Period(months=n) for n in (1, 2, 3, 6, 12, 18, 24, 36)),
    *(Period(days=n) for n in (1, 28, 30, 90)),
    Period(months=1, days=1),
    Period(months=2, days=15),
)

days = st.one_of(
    st.sampled_from(EDGES),
    st.integers(day("2020-01-25"), day("2020-03-10")),
    st.integers(day("2019-06-01"), day("2024-12-31")),
)
dates = days.map(PartialDate.exact)
periods = st.sampled_from(PERIODS)
maybe_period = st.none() | periods
countries = st.sampled_from(("XA", "XB", "XC"))
bodies = st.sampled_from(("Board of XA", "board of xa ", "XB Council", "XC Chamber"))
settings_of_work = st.sampled_from(("clinical", " Clinical", "community", "teaching"))
posts = st.sampled_from(("dietitian", "Dietitian ", "assistant"))
full_times = st.sampled_from((30 * HOUR, 35 * HOUR, 37 * HOUR + 30, 40 * HOUR))
weekly = st.sampled_from(
    (0, 10 * HOUR, 15 * HOUR, 18 * HOUR + 45, 30 * HOUR, 37 * HOUR + 30, 50 * HOUR)
)
anchors: SearchStrategy[Any] = st.sampled_from(
    ("after last practice day", "beginning first idle day")
)
evidence: SearchStrategy[Any] = st.sampled_from(("stated", "confirmed"))


def some(of: SearchStrategy[Any], *, at_most: int = 2) -> SearchStrategy[tuple[Any, ...]]:
    """Draw a tuple with at least one member."""
    return st.lists(of, min_size=1, max_size=at_most).map(tuple)


def maybe(of: SearchStrategy[Any]) -> SearchStrategy[Any]:
    """Draw a filter that is mostly left out."""
    return st.one_of(st.none(), st.none(), of)


@st.composite
def spans(draw: DrawFn, *, may_be_open: bool = True) -> list[tuple[PartialDate, PartialDate]]:
    """Draw first and last days: touching, overlapping, apart by a period, one day long, open."""
    found: list[tuple[PartialDate, PartialDate]] = []
    last: int | None = None
    for _ in range(draw(st.integers(0, 3))):
        start = draw(days) if last is None else draw(st.one_of(days, _next_starts(last)))
        end = draw(_lasts(start))
        is_open = may_be_open and draw(st.integers(0, 5)) == 0
        found.append((PartialDate.exact(start), OPEN if is_open else PartialDate.exact(end)))
        last = end
    return draw(st.permutations(found))


def _next_starts(last: int) -> SearchStrategy[int]:
    """Draw a first day after a last one: touching, overlapping, or n months away and a day."""
    by_clamp = st.builds(
        lambda period, slack: number_of(after(day_of(last), period)) + slack,
        periods,
        st.integers(-1, 2),
    )
    by_roll = st.builds(
        lambda period, slack: number_of(end_of_beginning(day_of(last + 1), period)) + slack,
        periods,
        st.integers(-1, 1),
    )
    return st.one_of(st.integers(last - 20, last + 3), by_clamp, by_roll)


def _lasts(start: int) -> SearchStrategy[int]:
    """Draw a last day: the same one, some days on, or about a whole number of months on."""
    whole = st.builds(
        lambda period, slack: max(
            start, number_of(end_of_beginning(day_of(start), period)) - 1 + slack
        ),
        periods,
        st.integers(-1, 1),
    )
    return st.one_of(st.integers(start, start + 3), st.integers(start, start + 400), whole)


def _listed(
    bounds: SearchStrategy[list[tuple[PartialDate, PartialDate]]],
    entry: type[Any],
    **fields: SearchStrategy[Any],
) -> SearchStrategy[tuple[Any, ...]]:
    """Draw entries which have a start and an end."""

    @st.composite
    def entries(draw: DrawFn) -> tuple[Any, ...]:
        return tuple(
            entry(id=f"e{i}", start=start, end=end, **{k: draw(v) for k, v in fields.items()})
            for i, (start, end) in enumerate(draw(bounds))
        )

    return entries()


def _entries(entry: type[Any], **fields: SearchStrategy[Any]) -> SearchStrategy[tuple[Any, ...]]:
    """Draw entries of any other sort."""
    one = st.fixed_dictionaries(fields)
    return st.lists(one, max_size=MOST_ENTRIES).map(
        lambda drawn: tuple(entry(id=f"e{i}", **values) for i, values in enumerate(drawn))
    )


spells = _listed(
    spans(),
    PracticeSpell,
    setting=settings_of_work,
    title=posts,
    country=countries,
    registered=st.booleans(),
    supervised=st.booleans(),
    hours_a_week=weekly,
    evidence=evidence,
)
categories_of_register = st.sampled_from(("full", "Full ", "provisional"))
registrations = _listed(
    spans(),
    Registration,
    authority=bodies,
    country=countries,
    title=posts,
    category=categories_of_register,
    state=st.sampled_from(("held", "held", "eligible")),
    evidence=evidence,
)
stays = _listed(spans(), Stay, country=countries, evidence=evidence)
supervisors = st.builds(
    Supervisor,
    registered_since=st.one_of(dates, st.just(PartialDate.exact(day("2018-02-28")))),
    same_profession=st.booleans(),
    sanctioned=st.booleans(),
)
ways: SearchStrategy[Any] = st.sampled_from(
    ("supervised practice", "formal study", "private study")
)
updatings = _listed(
    spans(may_be_open=False),
    Updating,
    how=ways,
    hours=st.sampled_from((0, 7 * HOUR, 10 * HOUR, 20 * HOUR + 30, 35 * HOUR)),
    supervisor=supervisors,
    evidence=evidence,
)
hours_by_category = st.fixed_dictionaries(
    {"theory": st.sampled_from((0, 300 * HOUR, 600 * HOUR))},
    optional={"placement": st.sampled_from((200 * HOUR, 300 * HOUR, 301 * HOUR))},
)
qualifications = _entries(
    Qualification,
    title=st.sampled_from(("bachelor", "diploma", "Bachelor")),
    level=st.integers(4, 8),
    field=st.sampled_from(("0915", "0916", "0911", "1013")),
    country=countries,
    accredited_by=st.lists(bodies, max_size=2).map(tuple),
    equivalent_to=st.lists(st.sampled_from(("bachelor", "diploma")), max_size=1).map(tuple),
    length=st.sampled_from((Period(months=36), Period(months=48), Period(days=400))),
    completed=dates,
    hours=hours_by_category,
    evidence=evidence,
)
certified: SearchStrategy[Any] = st.sampled_from(("good standing", "criminal record", "health"))
certificates = _entries(
    Certificate,
    of=certified,
    authority=bodies,
    country=countries,
    issued=dates,
    expires=st.none() | dates,
    sent=st.sampled_from(("directly", "by applicant")),
    evidence=evidence,
)
unit_categories = st.sampled_from(("ethics", "Ethics", "clinical", "other"))
education = _entries(
    EducationUnits,
    earned=dates,
    units=st.sampled_from((Fraction(1), Fraction(5, 2), Fraction(10), Fraction(20))),
    category=unit_categories,
    evidence=evidence,
)
languages = st.sampled_from(("en", "xa", "de"))
paper_fields: Mapping[str, SearchStrategy[Any]] = {
    "kind": st.sampled_from(("passport", "Passport ", "diploma")),
    "status": st.sampled_from(("requested", "received", "accepted")),
    "issuer": bodies,
    "country": countries,
    "form": st.sampled_from(("original", "certified copy", "plain copy")),
    "certified_by": st.sampled_from(("notary", "school")),
    "language": languages.filter(lambda language: language != "xa"),
    "translated_into": st.sampled_from(((), ("en",), ("de", "en"))),
    "translated_by": st.sampled_from(("sworn translator", "friend")),
    "legalised": st.sampled_from(("apostille", "consular", "no")),
    "width_mm": st.sampled_from((Fraction(35), Fraction(40))),
    "height_mm": st.sampled_from((Fraction(45), Fraction(50))),
    "face_share": st.sampled_from((Fraction(7, 10), Fraction(3, 4), Fraction(4, 5))),
    "evidence": evidence,
}
dated_papers = _entries(Paper, issued=dates, expires=dates, **paper_fields)
papers = _entries(Paper, issued=st.none() | dates, expires=st.none() | dates, **paper_fields)
grades = st.sampled_from(("5", "6", "6.5", "7", "7.0", "8"))
letters = st.sampled_from(("A", "b", "B ", "C", "other"))
parts_of_test = st.fixed_dictionaries(
    {"reading": grades}, optional={"writing": grades, "Speaking": grades}
)
results_of_tests: SearchStrategy[dict[str, Any]] = st.one_of(
    st.fixed_dictionaries({"test": st.just("numbers"), "overall": grades, "parts": parts_of_test}),
    st.fixed_dictionaries(
        {
            "test": st.just("letters"),
            "overall": letters,
            "parts": st.dictionaries(st.sampled_from(("reading", "writing")), letters),
        }
    ),
)
sittings = st.lists(
    st.tuples(results_of_tests, dates, st.sampled_from(("at home", "centre")), evidence),
    max_size=4,
).map(
    lambda drawn: tuple(
        LanguageResult(id=f"e{i}", taken=taken, place=place, evidence=how, **values)
        for i, (values, taken, place, how) in enumerate(drawn)
    )
)
scores = st.sampled_from((Fraction(40), Fraction(60), Fraction(61)))


@st.composite
def attempts(draw: DrawFn, *, stages: tuple[str | None, ...] = (None,)) -> tuple[Any, ...]:
    """Draw attempts on different days."""
    on = draw(st.lists(days, max_size=6, unique=True))
    outcome: SearchStrategy[Any] = st.sampled_from(
        ("failed", "failed", "passed", "passed", "awaiting", "booked")
    )
    return tuple(
        ExaminationResult(
            id=f"e{i}",
            examination=draw(st.sampled_from(("written", "written", "written", "oral"))),
            stage=draw(st.sampled_from(stages)),
            taken=PartialDate.exact(taken),
            outcome=(how := draw(outcome)),
            score=draw(st.none() | scores) if how in {"passed", "failed"} else None,
            application=draw(st.sampled_from(("first", "second"))),
            evidence=draw(evidence),
        )
        for i, taken in enumerate(on)
    )


answers = st.lists(st.booleans(), min_size=3, max_size=3).map(
    lambda drawn: tuple(
        Declaration(id=name, answer=answer)
        for name, answer in zip(("convicted", "insured", "fit"), drawn, strict=True)
    )
)
people = st.builds(
    Person,
    born=st.one_of(dates, st.just(PartialDate.exact(day("2004-02-29")))),
    nationality=st.lists(countries, max_size=2).map(tuple),
    residence=countries,
    evidence=evidence,
)
reviews = st.lists(
    st.tuples(
        st.sampled_from(("met", "not met", "refer")),
        st.sampled_from(("passage", "passage", "another")),
    ),
    max_size=3,
).map(
    lambda drawn: tuple(
        Review(
            id=f"e{i}",
            requirement=f"{PREFIX}/{name}",
            verdict=verdict,  # type: ignore[arg-type]  # a sampled literal
            by="an adviser",
            on=TODAY + (i * 7) % 5,
            reason="read",
        )
        for i, (verdict, name) in enumerate((*drawn, ("met", "passage")))
    )
)
progress = st.one_of(
    st.just(()),
    st.builds(
        lambda name, on: (Progress(id="e0", milestone=name, on=on),),
        st.sampled_from(("submission", f"{PREFIX}/submission", "decision")),
        dates,
    ),
)

SECTIONS: Mapping[str, SearchStrategy[Any]] = {
    "qualifications": qualifications,
    "practice": spells,
    "registrations": registrations,
    "certificates": certificates,
    "stays": stays,
    "updating": updatings,
    "education": education,
    "declarations": answers,
    "person": people,
    "papers": papers,
    "dated papers": dated_papers,
    "language": sittings,
    "examinations": attempts(),
    "examinations in stages": attempts(stages=("one", "two")),
    "reviews": reviews,
    "progress": progress,
}


def applicants(*sections: str) -> SearchStrategy[Applicant]:
    """Draw an applicant of whom the named sections are wholly known."""
    drawn = st.fixed_dictionaries({name: SECTIONS[name] for name in sections})
    return drawn.map(applicant_of)


def applicant_of(sections: Mapping[str, Any], *, name: str = "someone") -> Applicant:
    """Return an applicant file made of sections; what is not named is unknown."""
    in_facts = {key: value for key, value in sections.items() if key in Facts.__slots__}
    exams = sections.get("examinations in stages", sections.get("examinations"))
    papers_of_both = sections.get("dated papers", sections.get("papers"))
    return Applicant(
        applicant=name,
        facts=Facts(**in_facts),
        papers=papers_of_both,
        results=Results(
            language=sections.get("language"),
            examinations=exams,
            reviews=sections.get("reviews", ()),
        ),
        progress=sections.get("progress", ()),
    )


scopes = st.builds(
    practising.Scope,
    settings=maybe(some(settings_of_work)),
    excluded_settings=maybe(some(settings_of_work, at_most=1)),
    titles=maybe(some(posts, at_most=1)),
    countries=maybe(some(countries)),
    excluded_countries=maybe(some(countries, at_most=1)),
    registered=maybe(st.just(value=True)),
    supervised=maybe(st.booleans()),
    least_hours_a_week=maybe(weekly),
)
maybe_scope = maybe(scopes)
register_scopes = st.builds(
    practising.RegistrationScope,
    authorities=maybe(some(bodies)),
    countries=maybe(some(countries)),
    titles=maybe(some(posts, at_most=1)),
    categories=maybe(some(categories_of_register, at_most=1)),
    excluded_categories=maybe(some(categories_of_register, at_most=1)),
)
maybe_registers = maybe(register_scopes)
EVENTS: SearchStrategy[Any] = st.sampled_from((None, None, "qualification", "registration"))


def _amount(number: int, unit: Any) -> Amount:  # noqa: ANN401  # a unit of the closed list
    return Amount(Fraction(number), unit)


amounts_in_all = st.one_of(
    st.builds(_amount, st.integers(0, 26), st.just("months")),
    st.builds(_amount, st.integers(1, 2), st.just("years")),
    st.builds(_amount, st.integers(1, 60), st.just("weeks")),
    st.builds(_amount, st.integers(1, 400), st.just("days")),
    st.builds(_amount, st.sampled_from((1, 30, 450, 1000, 1800)), st.just("hours")),
)
amounts_in_a_run = st.one_of(
    st.builds(_amount, st.sampled_from((1, 2, 3, 6, 12)), st.just("months")),
    st.builds(_amount, st.sampled_from((1, 4, 20)), st.just("weeks")),
    st.builds(_amount, st.sampled_from((1, 2, 28, 90)), st.just("days")),
)
practice_in_all = st.builds(
    practising.Practice,
    amount=amounts_in_all,
    full_time=full_times,
    overlap_cap=st.sampled_from((Fraction(1), Fraction(1), Fraction(1, 2), Fraction(6, 5))),
    hours_a_month=maybe(st.sampled_from((120 * HOUR, 130 * HOUR))),
    hours_a_day=maybe(st.sampled_from((6 * HOUR, 7 * HOUR + 30))),
    measure=st.sampled_from(("365/12", "30.4375")),
    look_back=maybe_period,
    after=EVENTS,
    scope=maybe_scope,
)
hours_in_all = st.builds(
    practising.Practice,
    amount=st.builds(_amount, st.sampled_from((1, 30, 450, 1800)), st.just("hours")),
    look_back=maybe_period,
    after=EVENTS,
    scope=maybe_scope,
)
practice_in_a_run = st.builds(
    practising.Practice,
    amount=amounts_in_a_run,
    run=st.just("consecutive"),
    greatest_pause=maybe_period,
    look_back=maybe_period,
    after=EVENTS,
    scope=maybe_scope,
)
counted = some(st.sampled_from(("practice", "qualification", "registration")), at_most=3)
interruption = st.builds(
    practising.Interruption,
    greatest=periods,
    anchor=anchors,
    since=st.sampled_from(("qualification", "first practice")),
    look_back=maybe_period,
    scope=maybe_scope,
)
recency = st.builds(
    practising.Recency,
    within=periods,
    counts=counted,
    anchor=anchors,
    scope=maybe_scope,
    registrations=maybe_registers,
)
caps = st.builds(
    practising.UpdatingCap,
    how=ways,
    share=st.sampled_from((Fraction(0), Fraction(1, 2), Fraction(1, 3))),
)
updating = st.builds(
    practising.UpdatingOwed,
    amount=st.builds(_amount, st.sampled_from((0, 1, 10, 30)), st.sampled_from(("hours", "days"))),
    hours_a_day=st.just(7 * HOUR),
    within=maybe_period,
    allowed=maybe(some(ways)),
    caps=st.lists(caps, max_size=2, unique_by=lambda cap: cap.how).map(tuple),
    supervisor=maybe(
        st.builds(
            practising.SupervisorConditions,
            registered_for=maybe_period,
            same_profession=st.sampled_from((None, True)),
            not_sanctioned=st.sampled_from((None, True)),
        )
    ),
)
cycles = st.builds(
    educating.Cycle,
    length=st.sampled_from((Period(months=12), Period(months=24), Period(months=36))),
    ends_on=st.sampled_from(("05-31", "12-31", "03-30", "08-31", "01-30")),
    first_starts=st.sampled_from(("registration", "qualification", "examination")),
    first_is_long=st.booleans(),
    which=st.sampled_from(("running", "last ended")),
    how_many=st.sampled_from((1, 1, 2)),
    carried_over=st.sampled_from((None, None, Fraction(0), Fraction(5))),
).map(lambda cycle: replace(cycle, how_many=1) if cycle.which == "running" else cycle)


def _education(**how: SearchStrategy[Any]) -> SearchStrategy[Any]:
    return st.builds(
        educating.ContinuingEducation,
        units=st.sampled_from((Fraction(0), Fraction(1), Fraction(10), Fraction(45, 2))),
        minima=maybe(
            some(
                st.builds(
                    educating.CategoryMinimum,
                    categories=some(unit_categories),
                    least=st.sampled_from((Fraction(1), Fraction(5, 2))),
                )
            )
        ).map(lambda drawn: drawn or ()),
        caps=maybe(
            some(
                st.builds(
                    educating.CategoryCap,
                    categories=some(unit_categories),
                    most=st.sampled_from((Fraction(0), Fraction(10))),
                ),
                at_most=1,
            )
        ).map(lambda drawn: drawn or ()),
        examination=st.just("written"),
        **how,
    )


qualification = st.builds(
    qualifying.QualificationHeld,
    titles=maybe(some(st.sampled_from(("bachelor", "diploma")), at_most=1)),
    least_level=maybe(st.integers(5, 7)),
    fields=maybe(some(st.sampled_from(("09", "0915", "1")))),
    excluded_fields=maybe(some(st.sampled_from(("0911", "10")), at_most=1)),
    least_length=maybe(
        st.sampled_from((Period(months=36), Period(months=13), Period(months=47, days=30)))
    ),
    countries=maybe(some(countries)),
    excluded_countries=maybe(some(countries, at_most=1)),
    accredited_by=maybe(some(bodies)),
    equivalent_to=maybe(st.just(("bachelor",))),
    least_hours=maybe(st.just({"placement": 300 * HOUR})),
    total_hours=st.sampled_from((0, 0, 600 * HOUR, 900 * HOUR)),
    shares=maybe(
        some(
            st.builds(
                qualifying.LeastShare,
                category=st.sampled_from(("theory", "placement")),
                share=st.sampled_from((Fraction(1, 3), Fraction(1, 2))),
                of=st.sampled_from(("required total", "actual total")),
            )
            | st.builds(
                qualifying.LeastShare,
                category=st.just("placement"),
                share=st.just(Fraction(1, 3)),
                of=st.just("stated hours"),
                hours=st.sampled_from((600 * HOUR, 900 * HOUR)),
            )
        )
    ).map(lambda drawn: drawn or ()),
    within=maybe_period,
    at_least_ago=maybe(periods),
    completed_from=maybe(days),
    completed_until=maybe(days),
).map(
    lambda drawn: drawn if drawn.total_hours or drawn.shares else replace(drawn, total_hours=None)
)
registration_filters: Mapping[str, Any] = {
    "authorities": maybe(some(bodies)),
    "countries": maybe(some(countries)),
    "titles": maybe(some(posts, at_most=1)),
    "categories": maybe(some(categories_of_register, at_most=1)),
    "excluded_categories": maybe(some(categories_of_register, at_most=1)),
    "or_eligible": st.booleans(),
}
registration = st.one_of(
    st.builds(qualifying.RegistrationHeld, for_at_least=maybe_period, **registration_filters),
    st.builds(
        qualifying.RegistrationHeld,
        held=st.just("ever"),
        within=maybe_period,
        for_at_least=maybe_period,
        **registration_filters,
    ),
    st.builds(
        qualifying.RegistrationHeld,
        held=st.sampled_from(("current", "ever")),
        in_all=periods,
        look_back=maybe_period,
        **registration_filters,
    ),
)
age = st.builds(
    qualifying.AgeReached,
    at_least=st.sampled_from((None, Period(months=216), Period(months=12))),
    below=st.sampled_from((None, Period(months=240), Period(months=25))),
)
declaration = st.builds(
    qualifying.Declared,
    question=st.just("Are you?"),
    declaration=st.sampled_from(("convicted", "insured")),
    answer=st.booleans(),
)
month_days = st.sampled_from(("01-01", "02-28", "02-29", "03-01", "06-30", "12-31"))
dates_open = st.one_of(
    st.builds(qualifying.DatesOpen, from_=maybe(days), until=maybe(days)),
    st.builds(
        qualifying.DatesOpen,
        from_=maybe(days),
        until=maybe(days),
        every_year_from=month_days,
        every_year_until=month_days,
    ),
)
elapsed = st.builds(
    qualifying.Elapsed,
    since=st.sampled_from(("submission", "decision")),
    at_least=maybe_period,
    within=maybe_period,
    happened=st.booleans(),
)
combined = maybe(
    st.builds(
        testing.Combining,
        within=periods,
        floor=maybe(st.just({"reading": "6"})),
        least_overall=maybe(st.just("6")),
    )
)
tests_of_numbers = st.builds(
    testing.LanguageTest,
    test=st.just("Numbers"),
    overall=maybe(st.sampled_from(("6.5", "7"))),
    parts=maybe(st.just({"reading": "7"}) | st.just({"Reading": "6", "speaking": "7"})),
    combining=combined,
    excluded_places=maybe(st.just(("At home",))),
)
tests_of_letters = st.builds(
    testing.LanguageTest,
    test=st.just("letters"),
    overall=st.just("B"),
    parts=maybe(st.just({"reading": "b"})),
    scale=st.just(("D", "C", "B", "A")),
)
language = st.builds(
    testing.LanguageProved,
    tests=some(tests_of_numbers | tests_of_letters),
    greatest_age=maybe_period,
)
outcomes: SearchStrategy[Any] = st.sampled_from(
    (
        *(("passed",), ("passed",), ("passed", "awaiting"), ("booked", "passed")),
        *(("booked", "awaiting"), ("failed",)),
    )
)
examination_rules: Mapping[str, Any] = {
    "examination": st.just("written"),
    "attempts": st.none() | st.integers(1, 3),
    "attempts_count": st.sampled_from(("lifetime", "application")),
    "wait": maybe_period,
    "bar": maybe_period,
    "validity": maybe_period,
    "after": maybe(st.sampled_from(("qualification", "registration ended", "last practice"))),
    "registrations": maybe_registers,
}
plain_examination = st.builds(
    testing.ExaminationPassed,
    outcomes=outcomes,
    least_score=st.none() | scores,
    **examination_rules,
)
staged_examination = st.builds(
    testing.ExaminationPassed,
    stages=st.just((testing.Stage(id="one"), testing.Stage(id="two", least_score=Fraction(60)))),
    stages_within=maybe_period,
    stages_in_order=st.booleans(),
    **examination_rules,
)
certificate = st.builds(
    testing.CertificateHeld,
    of=certified,
    authorities=maybe(some(bodies)),
    countries=maybe(some(countries)),
    greatest_age=maybe_period,
    sent=maybe(st.sampled_from(("directly", "by applicant"))),
)
paper_rules: Mapping[str, SearchStrategy[Any]] = {
    "paper": st.just("passport"),
    "status": st.sampled_from(("requested", "received", "accepted")),
    "forms": maybe(some(st.sampled_from(("original", "certified copy", "plain copy")))),
    "certified_by": maybe(st.just(("Notary",))),
    "issuers": maybe(some(bodies)),
    "countries": maybe(some(countries)),
    "languages": maybe(some(languages)),
    "translated_by": maybe(st.just(("sworn translator",))),
    "legalised": maybe(some(st.sampled_from(("apostille", "consular")))),
    "photo": maybe(
        st.builds(
            testing.Photo,
            width_mm=st.none() | st.just(Fraction(35)),
            height_mm=st.none() | st.just(Fraction(45)),
            least_face=st.none() | st.just(Fraction(7, 10)),
            greatest_face=st.none() | st.just(Fraction(3, 4)),
        )
    ),
}
paper = st.builds(testing.PaperHeld, **paper_rules)
paper_in_time = st.builds(
    testing.PaperHeld, remaining_validity=maybe_period, greatest_age=maybe_period, **paper_rules
)

# Parts of combined requirements: few, so that their days meet. One is the authority's to decide.
refer = st.just(combining.Refer(decided_by="the board"))
EVENT_SECTIONS = ("qualifications", "registrations", "practice")
LEAF_SECTIONS = ("practice", "certificates", "declarations")
leaves: SearchStrategy[Any] = st.one_of(
    st.builds(practising.Recency, within=periods, anchor=anchors),
    st.builds(testing.CertificateHeld, of=st.just("good standing"), greatest_age=maybe_period),
    st.builds(qualifying.DatesOpen, from_=days, until=st.none() | days),
    declaration,
    refer,
)


def _with_condition(part: Requirement, when: Any, unless: Any) -> Requirement:  # noqa: ANN401
    return replace(part, when=when, unless=unless)


conditional = st.builds(_with_condition, leaves, maybe(leaves), maybe(leaves))
parts = st.lists(conditional, min_size=1, max_size=3).map(tuple)
trees: SearchStrategy[Any] = st.recursive(
    conditional,
    lambda inner: st.one_of(
        st.builds(combining.All, of=st.lists(inner, min_size=1, max_size=3).map(tuple)),
        st.builds(combining.AnyOf, of=st.lists(inner, min_size=1, max_size=3).map(tuple)),
        st.builds(combining.Not, of=inner),
        st.builds(
            lambda of, k: combining.AtLeast(of=of, k=min(k, len(of))),
            st.lists(inner, min_size=1, max_size=3).map(tuple),
            st.integers(1, 3),
        ),
    ),
    max_leaves=5,
)
remedial_examination = st.builds(
    testing.ExaminationPassed,
    examination=st.just("written"),
    attempts=st.none() | st.integers(1, 4),
    remedial_after=st.integers(1, 3),
    remedial=leaves,
    validity=maybe_period,
)


@st.composite
def bands(draw: DrawFn) -> combining.Bands:
    """Draw bands that follow one another, the ends included or not."""
    ends = sorted(draw(st.lists(periods, min_size=1, max_size=2, unique=True)), key=_rough)
    made: list[combining.Band] = []
    lower: dict[str, Any] = {}
    for end in ends:
        is_included = draw(st.booleans())
        upper: dict[str, Any] = {"up_to" if is_included else "below": end}
        made.append(combining.Band(**lower, **upper, requires=draw(_owed)))
        lower = {"more_than" if is_included else "from_": end}
    if draw(st.booleans()):
        made.append(combining.Band(**lower, requires=draw(_owed)))
    return combining.Bands(
        anchor=draw(anchors),
        counts=draw(counted),
        scope=draw(maybe_scope),
        registrations=draw(maybe_registers),
        bands=tuple(made),
    )


def _rough(period: Period) -> int:
    return period.months * 31 + period.days


_owed = st.lists(leaves, max_size=2).map(tuple)


@st.composite
def for_each(draw: DrawFn) -> combining.ForEach:
    """Draw a requirement for each country or authority."""
    over = draw(
        st.sampled_from(("country of stay", "country of practice", "authority of registration"))
    )
    inner = st.one_of(
        st.builds(testing.CertificateHeld, of=certified, greatest_age=maybe_period),
        st.builds(testing.PaperHeld, paper=st.just("passport")),
        st.builds(qualifying.RegistrationHeld, held=st.sampled_from(("current", "ever"))),
        st.builds(combining.Not, of=st.builds(testing.CertificateHeld, of=certified)),
        refer,
    )
    least = draw(st.sampled_from((*[None] * 6, "stay", "stay", "in all", "both")))
    return combining.ForEach(
        over=over,  # type: ignore[arg-type]  # a sampled literal
        look_back=draw(maybe_period),
        least_stay=draw(periods) if least in {"stay", "both"} else None,
        least_in_all=draw(periods) if least in {"in all", "both"} else None,
        from_age=draw(maybe(st.sampled_from((Period(months=216), Period(months=1))))),
        excluded=draw(maybe(some(countries | bodies))),
        of=draw(inner),
    )


# For each kind: requirements, and the sections of an applicant that they look at.
CASES: Mapping[str, tuple[tuple[SearchStrategy[Any], tuple[str, ...]], ...]] = {
    "practice": (
        (practice_in_all, ("practice", "qualifications", "registrations")),
        (hours_in_all, ("practice", "qualifications", "registrations")),
        (practice_in_a_run, ("practice", "qualifications", "registrations")),
    ),
    "interruption": ((interruption, ("practice", "qualifications")),),
    "recency": ((recency, ("practice", "qualifications", "registrations")),),
    "updating": ((updating, ("updating",)),),
    "continuing education": (
        (
            _education(cycle=cycles),
            ("education", "registrations", "qualifications", "examinations"),
        ),
        (_education(look_back=periods), ("education",)),
    ),
    "qualification": ((qualification, ("qualifications",)),),
    "registration": ((registration, ("registrations",)),),
    "nationality": (
        (st.builds(qualifying.NationalityHeld, countries=some(countries)), ("person",)),
    ),
    "residence": ((st.builds(qualifying.ResidenceHeld, countries=some(countries)), ("person",)),),
    "age": ((age, ("person",)),),
    "declaration": ((declaration, ("declarations",)),),
    "dates": ((dates_open, ("person",)),),
    "elapsed": ((elapsed, ("progress",)),),
    "language": ((language, ("language",)),),
    "examination": (
        (plain_examination, ("examinations", *EVENT_SECTIONS)),
        (staged_examination, ("examinations in stages", *EVENT_SECTIONS)),
        (remedial_examination, ("examinations", *LEAF_SECTIONS)),
    ),
    "certificate": ((certificate, ("certificates",)),),
    "paper": ((paper, ("papers",)), (paper_in_time, ("dated papers",))),
    "all": ((st.builds(combining.All, of=st.lists(trees, max_size=3).map(tuple)), LEAF_SECTIONS),),
    "any": ((st.builds(combining.AnyOf, of=parts), LEAF_SECTIONS),),
    "at least": (
        (
            st.builds(
                lambda of, k: combining.AtLeast(of=of, k=min(k, len(of))), parts, st.integers(1, 3)
            ),
            LEAF_SECTIONS,
        ),
    ),
    "points": (
        (
            st.builds(
                lambda of, share: scoring.Points(
                    of=of, needed=max(1, round(share * sum(each.points for each in of)))
                ),
                st.lists(
                    st.builds(scoring.Scored, points=st.integers(1, 6), for_=trees),
                    min_size=1,
                    max_size=4,
                ).map(tuple),
                st.floats(0.1, 1),
            ),
            LEAF_SECTIONS,
        ),
    ),
    "not": ((st.builds(combining.Not, of=trees), LEAF_SECTIONS),),
    "conflict": (
        (
            st.builds(combining.Conflict, of=st.lists(leaves, min_size=1, max_size=3).map(tuple)),
            LEAF_SECTIONS,
        ),
    ),
    "bands": ((bands(), ("practice", "qualifications", "registrations", *LEAF_SECTIONS[1:])),),
    "for each": (
        (
            for_each(),
            ("person", "practice", "stays", "registrations", "certificates", "papers"),
        ),
    ),
    "same as": ((st.just(combining.SameAs(requirement="other")), ("practice",)),),
    "refer": ((refer, ("person",)),),
    "by hand": (
        (
            st.just(combining.ByHand(id="passage", text="A passage.", checked_by="an adviser")),
            ("reviews",),
        ),
    ),
}
OTHERS: Mapping[str, Requirement] = {
    "other": practising.Recency(within=Period(months=6), anchor="beginning first idle day")
}
