"""What the keys of a rulebook are called in sentences about changes."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

_WITHOUT_ARTICLE: Final = ("how ", "what ", "when ", "where ", "who ")

_WORDS: Final = MappingProxyType(
    {
        # of one record
        "Grant.after": "event from which it lasts",
        "Step.after": "steps before it",
        "Step.wait": "time after the steps before it",
        "Step.within": "limits",
        "TimeLimit.after": "event from which it runs",
        "TimeLimit.period": "time",
        "Fee.step": "step with which it is paid",
        "Fee.documents": "number of documents",
        "Fee.at": "event at which it falls due",
        "Fee.each": "what it is paid for anew",
        "Fee.most": "upper end",
        "AgeReached.at_least": "lowest age",
        "AgeReached.below": "age one must be below",
        "Elapsed.at_least": "shortest time",
        "Elapsed.within": "longest time",
        "Elapsed.since": "event from which it is counted",
        "Elapsed.happened": "the event must have happened",
        "CertificateHeld.of": "what it certifies",
        "LeastShare.of": "base of the share",
        "LeastShare.hours": "hours which the share is of",
        "Combining.within": "time between sittings",
        "Band.from": "lower end, included",
        "Band.more_than": "lower end, not included",
        "Band.below": "upper end, not included",
        "Band.up_to": "upper end, included",
        "Points.of": "what gives points",
        "Points.needed": "points needed",
        "Scored.for": "what must hold for the points",
        "Not.of": "part that must not hold",
        "ForEach.of": "part that must hold for each",
        "ForEach.excluded": "countries or authorities left out",
        "ExaminationPassed.registrations": "registration that must have ended",
        "RegistrationHeld.within": "time since it was held",
        "QualificationHeld.within": "time since completion",
        "UpdatingOwed.within": "time in which it must be done",
        "Applies.by": "event that chooses it",
        "Condition.says": "wording",
        "ByHand.text": "passage",
        # of any
        "accredited_by": "accrediting bodies",
        "after": "event after which it counts",
        "allowed": "kinds that count",
        "anchor": "day from which a gap counts",
        "answer": "the answer asked for",
        "applies_by": "event that chooses the edition",
        "at": "check point",
        "at_least_ago": "time that must have passed since completion",
        "attempts": "number of attempts",
        "attempts_count": "way of counting attempts",
        "bar": "time until attempts start anew",
        "by_appointment": "sat on days that are agreed",
        "caps": "upper limits",
        "carried_over": "surplus that counts in the next cycle",
        "certified_by": "who may certify copies",
        "checked_by": "who looks at it",
        "claim_within": "time for taking it up",
        "closes": "last day to enter",
        "combining": "way of combining sittings",
        "completed_from": "first day of completion",
        "following": "qualification that comes first",
        "following_within": "time after the qualification that comes first",
        "completed_until": "last day of completion",
        "counts": "events that count",
        "cycle": "cycle",
        "decided_by": "who decides",
        "deems": "circumstances that satisfy requirements",
        "demanded_by": "who asks for it",
        "duration": "time it takes",
        "ends_on": "day on which a cycle ends",
        "equivalent_to": "equivalence asked for",
        "every": "time between renewals",
        "every_year_from": "first day of every year",
        "every_year_until": "last day of every year",
        "excluded_categories": "categories refused",
        "excluded_countries": "countries refused",
        "excluded_fields": "fields refused",
        "excluded_places": "places of sitting refused",
        "excluded_settings": "settings refused",
        "factors": "factors looked at",
        "fictional": "invented",
        "first_is_long": "the first cycle is longer",
        "first_starts": "event with which the first cycle begins",
        "floor": "lowest results in every sitting",
        "for_at_least": "time it must have been held",
        "for_requirement": "requirement it is for",
        "from": "first day",
        "from_age": "age from which time counts",
        "full_time": "hours a week of full time",
        "gets": "paper it gets",
        "grace": "time after the end in which it can be asked for",
        "grants": "what the holder gets",
        "greatest": "longest gap",
        "greatest_age": "greatest age",
        "greatest_face": "greatest share of the face",
        "greatest_pause": "longest pause",
        "held": "when it must be held",
        "holidays_of": "country whose holidays count",
        "hours_a_day": "hours that make a day",
        "hours_a_month": "hours that make a month",
        "how": "kind",
        "how_many": "number of cycles",
        "in_all": "time it must have been held in all",
        "k": "number of parts that must hold",
        "lasts": "time it lasts",
        "late": "what happens when it is late",
        "least": "lowest number",
        "least_face": "lowest share of the face",
        "least_hours": "lowest hours by category",
        "least_hours_a_week": "lowest hours a week of a post",
        "least_in_all": "stays in all that matter",
        "least_length": "shortest length",
        "least_level": "lowest level",
        "least_overall": "lowest overall result of every sitting",
        "least_score": "score that passes",
        "least_stay": "shortest stay that matters",
        "look_back": "time looked back at",
        "marked_by": "who marks it",
        "minima": "lowest numbers",
        "minutes": "minutes allowed",
        "most": "greatest number",
        "not_sanctioned": "free of sanctions",
        "of": "parts",
        "on": "day",
        "opens": "time before the end from which it can be asked for",
        "or_eligible": "being eligible is enough",
        "outcomes": "outcomes that are enough",
        "over": "what is gone through",
        "overall": "lowest overall result",
        "overlap_cap": "limit for posts side by side",
        "paper": "paper",
        "parts": "lowest results",
        "party": "who does it",
        "prepare": "papers to prepare",
        "proves": "requirements it proves",
        "questions": "number of questions",
        "reaches": "event it reaches",
        "read": "day of reading",
        "read_again_after": "time until it must be read again",
        "refundable": "paid back on refusal",
        "registered": "while registered there",
        "registered_for": "time on the register",
        "registrations": "registrations that count",
        "remaining_validity": "validity that must remain",
        "remedial": "remedial work",
        "remedial_after": "number of failures after which remedial work is owed",
        "requirement": "requirement it points to",
        "requires": "requirements",
        "result_time": "time until the result",
        "run": "way of adding up",
        "same_profession": "of the same profession",
        "satisfies": "requirements it satisfies",
        "scale": "grades",
        "scope": "practice that counts",
        "sent": "how it must be sent",
        "shares": "shares of the curriculum",
        "sits": "examination sat in it",
        "since": "event from which gaps matter",
        "stages_in_order": "stages in order",
        "stages_within": "time for all stages",
        "study": "hours of study",
        "supervised": "under supervision",
        "supervisor": "who may supervise",
        "tests": "tests accepted",
        "to_pass": "share needed to pass",
        "total_hours": "hours in all",
        "translated_by": "who may translate",
        "unless": "condition under which it does not apply",
        "until": "last day",
        "until_every_year": "day on which it ends every year",
        "used_at": "event at which it is used",
        "wait": "time between attempts",
        "weekend": "days of the weekend",
        "when": "condition under which it applies",
        "which": "cycle looked at",
        "who": "who they are to the applicant",
        "wholly_read": "wholly read",
        "within": "time allowed",
    }
)
"""By key, or by record and key where one word has two meanings."""

_IN_MAPPING: Final = MappingProxyType(
    {
        "floor": "lowest result in {} of every sitting",
        "least_hours": "lowest hours in {}",
        "parts": "lowest result in {}",
        "sources": "document {}",
    }
)

_ENTRIES: Final = MappingProxyType(
    {"of": "part", "requires": "part", "minima": "lowest number", "within": "limit"}
)


def called(record: type, key: str) -> str:
    """Return what a key is called, without an article.

    Examples
    --------
    >>> called(object, "look_back"), called(object, "amount")
    ('time looked back at', 'amount')
    """
    own = _WORDS.get(f"{record.__name__}.{key}")
    return own or _WORDS.get(key) or key.replace("_", " ")


def entry_called(key: object, name: str) -> str:
    """Return what an entry of a mapping is called: ``lowest result in writing``."""
    return _IN_MAPPING.get(str(key), "{}").format(name)


def one_of(key: str) -> str:
    """Return what one entry of a list is called: ``band`` of `bands`, ``part`` of `of`."""
    return _ENTRIES.get(key, key.removesuffix("s"))


def with_article(name: str) -> str:
    """Return ``the amount``, but ``who decides``."""
    return name if name.startswith(("the ", *_WITHOUT_ARTICLE)) else f"the {name}"
