"""What sections and fields of an applicant file are called on a form."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from comity.core.eligibility.question_words import FIELDS

if TYPE_CHECKING:
    from collections.abc import Mapping


class SectionWords(NamedTuple):
    """A section's heading, what one entry is called, and what an empty list means."""

    heading: str
    one: str
    none: str = ""


SECTION_WORDS: Final[Mapping[str, SectionWords]] = {
    "about": SectionWords("Name", "name"),
    "person": SectionWords("Person", "person"),
    "qualifications": SectionWords(
        "Degrees and diplomas", "degree or diploma", "No degree or diploma."
    ),
    "practice": SectionWords("Posts held", "post", "Has not worked in the profession."),
    "registrations": SectionWords(
        "Registrations and licences", "registration", "Never registered anywhere."
    ),
    "certificates": SectionWords(
        "Certificates about the person", "certificate", "No certificate at hand."
    ),
    "stays": SectionWords("Countries lived in", "stay", "None given."),
    "updating": SectionWords("Updating after time out", "piece of updating", "No updating done."),
    "education": SectionWords("Continuing education", "course", "No course done."),
    "declarations": SectionWords("Declared answers", "answer", "Nothing declared."),
    "language": SectionWords("Language tests", "language test", "No language test sat."),
    "examinations": SectionWords(
        "Examination attempts", "attempt", "No examination sat or entered for."
    ),
    "papers": SectionWords("Papers", "paper", "No paper at hand."),
    "reviews": SectionWords("Looked at by hand", "finding", "Nothing looked at by hand yet."),
    "progress": SectionWords("What has happened so far", "event", "Nothing yet."),
    "payments": SectionWords("Payments made", "payment", "Nothing paid yet."),
    "preferences": SectionWords("Wishes and limits", "wishes"),
}
"""In the order in which they are shown."""

_DAY: Final = "As exactly as you know: 3 May 2019, May 2019, about May 2019, or 2019."
_LAST_DAY: Final = f"{_DAY} Write still while it goes on."

LABELS: Final[Mapping[str, str]] = {
    "name": "Name",
    "as_of": "Facts gone through on",
    "born": "Date of birth",
    "nationality": "Nationalities",
    "residence": "Country of residence",
    "evidence": "How it is known",
    "papers": "Papers that show it",
    "note": "Remark for the adviser",
    "title": "Title",
    "level": "Level",
    "field": "Field",
    "country": "Country",
    "institution": "School",
    "accredited_by": "Accredited by",
    "equivalent_to": "Found equivalent to",
    "length": "Length of the programme",
    "completed": "Completed on",
    "hours": "Hours",
    "employer": "Employer",
    "setting": "Kind of work",
    "registered": "Registered there at the time",
    "supervised": "Under supervision",
    "start": "First day",
    "end": "Last day",
    "hours_a_week": "Hours a week",
    "authority": "Authority",
    "category": "Category",
    "state": "Held, or eligible for it",
    "of": "What it certifies",
    "issued": "Day of issue",
    "expires": "Valid until",
    "sent": "How it reaches the authority",
    "how": "Kind of updating",
    "supervisor": "Supervisor",
    "registered_since": "Supervisor on the register since",
    "same_profession": "Supervisor of the same profession",
    "sanctioned": "Supervisor ever under proceedings or a sanction",
    "earned": "Ended on",
    "units": "Units",
    "answer": "Answer",
    "kind": "What it is",
    "status": "Where it stands",
    "issuer": "Issued by",
    "form": "Form at hand",
    "certified_by": "Copy certified by",
    "language": "Language",
    "translated_into": "Translated into",
    "translated_by": "Translated by",
    "legalised": "Legalised",
    "width_mm": "Width in millimetres",
    "height_mm": "Height in millimetres",
    "face_share": "Share of the height from chin to crown",
    "test": "Test",
    "taken": "Day of the sitting",
    "overall": "Overall result",
    "parts": "Result of each part",
    "place": "Where it was sat",
    "examination": "Examination",
    "stage": "Stage",
    "outcome": "Outcome",
    "score": "Score",
    "domains": "Result of each domain",
    "application": "Application it belongs to",
    "requirement": "Requirement",
    "verdict": "Finding",
    "by": "Looked at by",
    "on": "On",
    "reason": "Reason",
    "milestone": "What happened",
    "purpose": "What was paid for",
    "amount": "Amount",
    "payer": "Paid by",
    "receipt": "Number of the receipt",
    "attempt": "For which attempt",
    "refundable_until": "Can be had back until",
    "refunded": "Paid back on",
    "currency": "Currency to count in",
    "savings_a_month": "Can put aside a month",
    "practice/title": "Post held",
    "qualifications/title": "What it is called",
    "qualifications/country": "Country of training",
    "qualifications/hours": "Hours by category",
    "registrations/title": "Registered as",
    "papers/language": "Written in",
    "preferences/language": "Language of the brief",
    "preferences/hours_a_week": "Hours of study a week",
    "updating/hours": "Hours in all",
}
"""By field, or by section and field where they differ."""

HINTS: Final[Mapping[str, str]] = {
    "day": _DAY,
    "last day": _LAST_DAY,
    "date": "A whole day, as 3 May 2019.",
    "country": "Two letters, as in a passport.",
    "countries": "Two letters each, with a semicolon between.",
    "list": "With a semicolon between; none, if there are none.",
    "by part": "A line each, as taught: 2900.",
    "length": "As 4 years.",
    "hours": "As 37.5.",
    "share": "As 70 %.",
}
"""How to write an answer, by the sort of control."""

FIELD_HINTS: Final[Mapping[str, str]] = {
    "setting": "As clinical, community, teaching.",
    "category": "As full, provisional, non-practising.",
    "kind": "As passport, diploma, transcript.",
    "certified_by": "As notary.",
    "place": "As at home, or test centre.",
    "overall": "A number or a grade.",
    "parts": "A line each, as listening: 80.",
    "domains": "A line each, as assessment: 58.",
    "translated_into": "Codes as en or ar, with a semicolon between.",
    "savings_a_month": "As EUR 200.",
    "milestone": "As in the rulebook.",
    "purpose": "The fee as in the rulebook, or in words.",
    "amount": "As EUR 120.",
    "payer": "As applicant, employer.",
    "attempt": "1 for the first one.",
}
"""How to write an answer, where the sort of control does not tell."""

EVIDENCE_WORDS: Final[Mapping[str, str]] = {
    "stated": "stated by the applicant",
    "seen": "seen on a paper",
    "confirmed": "confirmed by its issuer",
}
_CHOICES: Final[Mapping[str, Mapping[str, str]]] = {
    "evidence": EVIDENCE_WORDS,
    "status": {
        "requested": "asked for",
        "received": "received",
        "accepted": "accepted by the authority",
    },
    "state": {"held": "held", "eligible": "eligible, where the law names no register"},
}


def label_of(section: str, name: str) -> str:
    """Return what a field is called on a form."""
    return LABELS.get(f"{section}/{name}") or LABELS.get(name) or name.replace("_", " ")


def read_as(section: str, name: str) -> Mapping[str, str]:
    """Return what people read for the words of a choice."""
    if name in _CHOICES:
        return _CHOICES[name]
    asked = FIELDS.get(f"{section}/{name}")
    return dict(asked.choices) if asked else {}
