"""The fixed words of the brief and the letter, one value a language.

Labels, reasons and remedies come from the assessment; here stand headings, table headers and the
sentences around them. Page one is written for a worried applicant: short, warm, exact.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

from comity.charts.wording import ENGLISH as CHART_ENGLISH
from comity.charts.wording import ChartWording
from comity.core.days.calendar import Day, date_from_day
from comity.core.eligibility.assessment import Assumption, Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

NO_BREAK: Final = "\N{NO-BREAK SPACE}"
Direction = Literal["ltr", "rtl"]
# ISO 639 and ISO 15924: what is written from right to left unless a script is named (as the common
# locale data has it, and Aramaic); such scripts.
RIGHT_TO_LEFT: Final = frozenset(
    {
        "apc", "ar", "arc", "bal", "bgn", "ckb", "dv", "fa", "he", "ks", "lrc", "mzn", "nqo", "ps",
        "rhg", "sd", "sdh", "skr", "syr", "trw", "ug", "ur", "yi",
    }
)  # fmt: skip
RIGHT_TO_LEFT_SCRIPTS: Final = frozenset({"Adlm", "Arab", "Hebr", "Nkoo", "Rohg", "Syrc", "Thaa"})
ISO_DATE: Final = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")


@dataclass(frozen=True, slots=True)
class PlainWording:
    """Words of the page for the applicant."""

    for_whom: str = "For {name}"
    overview: str = "Where you stand"
    overview_lead: str = "We looked at {n} possibilities for you. Each has a page of its own below."
    overview_columns: tuple[str, str, str] = ("Where and as what", "Answer", "Next")
    answers: Mapping[Verdict, str] = field(
        default_factory=lambda: {
            Verdict.MET: "Yes",
            Verdict.NOT_MET: "Not yet",
            Verdict.UNKNOWN: "Not known yet",
            Verdict.REFER: "The authority decides",
            Verdict.NOT_APPLICABLE: "Not meant for you",
        }
    )
    so_far: str = "Nothing against it so far"
    sentences: Mapping[Verdict, str] = field(
        default_factory=lambda: {
            Verdict.MET: "What you told us meets everything that we checked.",
            Verdict.NOT_MET: "Something is still missing. Below stands what you can do about it.",
            Verdict.UNKNOWN: "We need to know a little more before we can answer.",
            Verdict.REFER: "The rules leave this to the authority. You can put your case to it.",
            Verdict.NOT_APPLICABLE: "These rules are not meant for your situation; others may be.",
        }
    )
    partly_read_met: str = (
        "We have not read all of this authority's rules yet. Nothing read so far excludes you."
    )
    partly_read: str = "We have not read all of this authority's rules yet; it may ask for more."
    stale: str = "We read some of these rules a while ago. They may have changed since."
    condition: str = "A condition would come with it: {condition}"
    perhaps: str = "A condition may come with it: {condition}"
    steps_below: str = "What to do stands below."
    why: str = "Why"
    items: Mapping[Verdict, str] = field(
        default_factory=lambda: {
            Verdict.MET: "This is in order.",
            Verdict.NOT_MET: "This is not met yet.",
            Verdict.UNKNOWN: "We do not know enough about this yet.",
            Verdict.REFER: "The authority looks at this case by case.",
            Verdict.NOT_APPLICABLE: "This does not concern you.",
        }
    )
    more_reasons: str = "The remaining points ({n}) are on the next pages."
    what_next: str = "What to do next"
    hand_in: str = "Hand in your application to the authority."
    hand_in_when: str = "Hand in your application once these points are settled."
    tell_us: str = "Tell us or your adviser what is still open here: {question}."
    put_case: str = "Ask your adviser to prepare a letter that puts your case to the authority."
    other_rules: str = "Ask your adviser which rules are meant for you."
    employers: str = "Employers, not the authority, also ask for something: {step}"
    by_hand: str = "Your adviser has to look at this: {label}."
    talk: str = "Go through this point with your adviser: {label}."
    possible_from: str = "From {day} at the earliest."
    by_when: str = "By when"
    hand_in_by: str = "Hand in by {day}."
    limits_it: str = "After that day this no longer holds: {label}."
    no_end_known: str = "No last day is known today."
    earliest: str = "The earliest day on which all of it can hold together is {day}."
    as_soon: str = "As soon as these points are settled."
    open_dates: str = "You could hand in {span}."
    open_dates_possible: str = "If what is missing turns out well, you could hand in {span}."
    no_date: str = "No day can be named yet; ask your adviser."
    if_you_stop: str = "If you stopped working today, this would hold only until {day}."
    change: str = "New rules apply from {day}. The answer may then be another one."
    write_to: str = "A person to write to"
    default_contact: str = (
        "Your adviser, who can look at this with you. You may also ask the authority itself:"
        " {authority}."
    )
    caution: str = (
        "The authority decides, and its current text counts: check it before you act."
        " This is no legal or immigration advice. We took what you told us as true."
    )


@dataclass(frozen=True, slots=True)
class DetailWording:
    """Words of the pages for the adviser."""

    heading: str = "Details for the adviser"
    facts: Mapping[str, str] = field(
        default_factory=lambda: {
            "applicant": "Applicant",
            "title": "Title",
            "authority": "Authority",
            "on": "Assessed for",
            "assumption": "Assumption",
            "pathway": "Pathway",
            "edition": "Edition",
        }
    )
    assumptions: Mapping[Assumption, str] = field(
        default_factory=lambda: {
            "continues": "practice going on today is taken to go on",
            "stops": "practice going on today is taken to end today",
        }
    )
    other_assumption: str = "otherwise: {verdict}"
    requirements: str = "Requirements"
    columns: tuple[str, str, str] = ("Requirement", "Verdict", "Amount and dates")
    verdicts: Mapping[Verdict, str] = field(
        default_factory=lambda: {
            Verdict.MET: "met",
            Verdict.NOT_MET: "not met",
            Verdict.UNKNOWN: "unknown",
            Verdict.REFER: "refer",
            Verdict.NOT_APPLICABLE: "not applicable",
        }
    )
    key: str = (
        "Checked when the application is handed in, unless a later point is named. Refer: the"
        " authority decides on the case. Unknown: facts are missing; they are named."
    )
    checked_at: str = "at: {milestone}"
    amount: str = "{amount} of {needed} {unit}"
    amount_alone: str = "{amount} {unit}"
    asked: str = "{needed} {unit} asked for"
    allowed: str = "{needed} {unit} allowed"
    short_by: str = "short by {shortfall}"
    over_by: str = "over by {shortfall}"
    no_date: str = "no day found"
    remedy: str = "What would fix it"
    earliest: str = "Earliest day: {day}"
    missing: str = "Missing"
    deemed: str = "Deemed met by"
    conflict: str = "Sources disagree"
    source: str = "Source"
    edition: str = "edition {edition}"
    open_dates: str = "Open dates"
    open_dates_lead: str = (
        "A day is open when everything checked at submission holds on it."
        " Solid bars are certain, hatched bars possible."
    )
    strip_alt: str = "Window strip."
    by_hand: str = "To be checked by hand"
    by_hand_lead: str = "No verdict was computed for these passages; a person reads them."
    conditions: str = "Conditions of the licence"
    unread: str = (
        "This rulebook is not wholly read. The best verdict it can give is that nothing read so far"
        " excludes the applicant."
    )
    coming: str = "Coming changes"
    coming_line: str = "Edition {edition}, from {day}: {before} becomes {after}."
    coming_same: str = "Edition {edition}, from {day}: the verdict stays {after}."
    concerns: str = "Concerns: {labels}."
    stale: str = "Not read again for a while"
    notes: str = "Facts as taken"
    notes_lead: str = "Facts stated by the applicant were taken as true."
    sources: str = "Sources"
    read_on: str = "read {day}"
    never_read: str = "day of reading not noted"
    cautions: str = "Cautions"
    next_question: str = "Next question"


@dataclass(frozen=True, slots=True)
class PlanWording:
    """Words of the pages of the plan, for the applicant."""

    heading: str = "Your plan"
    lead: str = (
        "Nobody knows how long an authority will take, or whether an examination is passed at once."
        " So each date stands twice: the earliest day, if all goes quickly, and the day to plan"
        " for. Both take it that you do what is yours as soon as it is due. Tell your adviser what"
        " has happened, and the plan is made anew."
    )
    milestone_columns: tuple[str, str, str] = ("What is reached", "Earliest", "Plan for")
    done: str = "done on {day}"
    no_day: str = "no day yet"
    picture: str = "Step by step"
    picture_lead: str = (
        "Each bar is a step, as things will most likely go; the thin line behind it shows how early"
        " or late it may end. A thick bar holds everything up."
    )
    next_steps: str = "Now and in the next weeks"
    now: str = "now"
    on_day: str = "on {day}"
    orders: str = "Papers that run out"
    orders_lead: str = (
        "Asked for too early, such a paper may be too old when it is needed; too late, it holds"
        " everything up."
    )
    order_columns: tuple[str, str, str] = ("Paper", "Ask for it", "Not outside")
    not_before: str = "not before {day}"
    not_after: str = "not after {day}"
    money: str = "What it costs"
    total: str = "Still to be paid: about {amount}."
    total_safe: str = (
        "Still to be paid: about {amount}. Have {safe} at hand to be on the safe side."
    )
    paid: str = "Paid so far: {amounts}."
    within: str = "With what you can put aside, all can be done by {day}."
    fee_columns: tuple[str, str, str] = ("What for", "Amount", "When")
    span: str = "{low} to {high}"
    month_columns: tuple[str, str, str] = ("Month", "Have ready", "")
    about: str = "about {day}"
    month: str = "{month} {year}"
    before: str = "Before you pay"
    sure_of: str = "“{fee}” is lost if you are refused. Be sure of {points} first."


@dataclass(frozen=True, slots=True)
class ReadyWording:
    """Words of the page on readiness, for the applicant."""

    heading: str = "Are you ready?"
    about: str = "Your examination on {day}"
    about_if: str = "If your examination were on {day}"
    weeks: str = "Your weeks of study"
    weeks_lead: str = (
        "So the hours you have are spread over what the examination asks. A week that goes another"
        " way is no harm; go on with the next one."
    )
    columns: tuple[str, str, str] = ("Week that begins on", "Hours", "What to study")
    hours: str = "{hours} h"
    part: str = "{domain} {hours} h"


@dataclass(frozen=True, slots=True)
class LetterWording:
    """Words of the letter to an authority."""

    requirements: str = "The requirements concerned"
    columns: tuple[str, str, str, str] = ("Requirement", "Asked for", "Held", "Short by")
    source: str = "Source: {source}"
    speaks_for: str = "What speaks for discretion"
    papers: str = "Papers attached"
    cautions: str = "Before you send this"
    not_part: str = "This page is for you and does not belong to the letter."
    signature: str = "Date and signature"
    draft: str = "Case for discretion"


@dataclass(frozen=True, slots=True)
class Wording:
    """Everything the brief writes itself, in one language."""

    language: str = "en"
    direction: Direction = "ltr"
    months: tuple[str, ...] = (
        "January", "February", "March", "April", "May", "June", "July", "August", "September",
        "October", "November", "December",
    )  # fmt: skip
    date: str = "{day}\N{NO-BREAK SPACE}{month}\N{NO-BREAK SPACE}{year}"
    from_until: str = "from {start} until {until}"
    from_on: str = "from {start} on"
    up_to: str = "until {until}"
    always: str = "at any time"
    page: str = "Page {number} of {total}"
    replaced: str = (
        "Some letters are not in the typefaces of this document; \N{REPLACEMENT CHARACTER} stands"
        " for each of them."
    )
    plain: PlainWording = field(default_factory=PlainWording)
    detail: DetailWording = field(default_factory=DetailWording)
    plan: PlanWording = field(default_factory=PlanWording)
    ready: ReadyWording = field(default_factory=ReadyWording)
    letter: LetterWording = field(default_factory=LetterWording)
    chart: ChartWording = CHART_ENGLISH

    def day(self, day: Day) -> str:
        """Return a day as people write it: ``3 March 2027``."""
        date = date_from_day(day)
        return self.date.format(day=date.day, month=self.months[date.month - 1], year=date.year)

    def span(self, start: Day | None, until: Day | None) -> str:
        """Return a run of days in words; None is open."""
        if start is None:
            return self.always if until is None else self.up_to.format(until=self.day(until))
        if until is None:
            return self.from_on.format(start=self.day(start))
        return self.from_until.format(start=self.day(start), until=self.day(until))

    def spoken(self, text: str) -> str:
        """Return the text with ISO dates written out; no date breaks across lines."""
        kept = self._written_date().sub(lambda found: NO_BREAK.join(found.groups()), text)
        return ISO_DATE.sub(self._spoken_date, kept)

    def _written_date(self) -> re.Pattern[str]:
        """Return the pattern of a date in words."""
        return re.compile(rf"\b(\d{{1,2}}) ({'|'.join(self.months)}) (\d{{4}})\b")

    def _spoken_date(self, match: re.Match[str]) -> str:
        """Return one date in words; what is no date stays as it is."""
        year, month, day = map(int, match.groups())
        if not 1 <= month <= len(self.months):
            return match[0]
        return self.date.format(day=day, month=self.months[month - 1], year=year)


ENGLISH: Final = Wording()
WORDINGS: Final[Mapping[str, Wording]] = {wording.language: wording for wording in (ENGLISH,)}


def direction_of(language: str) -> Direction:
    """Return which way a language is read, by its tag (BCP 47): ``ar``, ``uz-Arab``, ``en-GB``.

    Examples
    --------
    >>> direction_of("fa"), direction_of("ar-Latn"), direction_of("en-GB")
    ('rtl', 'ltr', 'ltr')
    """
    primary, *more = language.split("-")
    script = next((each for each in more if len(each) == len("Arab") and each.isalpha()), "")
    if script:
        return "rtl" if script.title() in RIGHT_TO_LEFT_SCRIPTS else "ltr"
    return "rtl" if primary in RIGHT_TO_LEFT else "ltr"


def nearest_wording(language: str) -> Wording:
    """Return the words of a language, by its tag; English ones where there are none."""
    return WORDINGS.get(language) or WORDINGS.get(language.partition("-")[0]) or ENGLISH


def wording_of(language: str) -> Wording:
    """Return the words of a language.

    Raises
    ------
    ValueError
        When the brief does not speak it.
    """
    if language not in WORDINGS:
        message = f"no wording for the language {language!r}; there is {', '.join(WORDINGS)}"
        raise ValueError(message)
    return WORDINGS[language]
