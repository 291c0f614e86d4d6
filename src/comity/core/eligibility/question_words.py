"""What each fact is asked as, in plain words.

Every section and field that a requirement reads has its question here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal, NamedTuple

AnswerKind = Literal[
    "names",
    "day",
    "last day",
    "yes or no",
    "listed",
    "number",
    "hours",
    "share",
    "country",
    "countries",
    "language",
    "text",
    "texts",
    "choice",
    "length",
    "hours by part",
    "results by part",
    "supervisor",
]


class Asked(NamedTuple):
    """A fact's question; ``{name}`` stands for what the entry is called."""

    text: str
    kind: AnswerKind
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


NAMED_BY: Final[Mapping[str, str]] = {
    "qualifications": "title",
    "practice": "employer",
    "registrations": "authority",
    "certificates": "of",
    "stays": "country",
    "updating": "how",
    "education": "note",
    "papers": "kind",
    "language": "test",
    "examinations": "examination",
}
"""The field by which an entry of a section goes when it is first named."""

_SEVERAL: Final = "All of them, with a semicolon between; none, if there are none."
_UPDATING: Final = (
    ("supervised practice", "practice under supervision"),
    ("formal study", "a course or other formal study"),
    ("private study", "study on your own"),
)
_CERTIFICATES: Final = (
    ("good standing", "certificate of good standing"),
    ("criminal record", "criminal record certificate"),
    ("health", "health certificate"),
)

SECTIONS: Final[Mapping[str, Asked]] = {
    "qualifications": Asked(
        "Which degrees, diplomas and internships have you completed?", "names", _SEVERAL
    ),
    "practice": Asked(
        "For whom have you worked in your profession? Name every post, today's too.",
        "names",
        f"{_SEVERAL} A post whose hours changed is two.",
    ),
    "registrations": Asked(
        "With which authorities are you registered or licensed, or have you ever been?",
        "names",
        _SEVERAL,
    ),
    "certificates": Asked(
        "Which of these certificates do you have at hand?", "names", _SEVERAL, _CERTIFICATES
    ),
    "stays": Asked(
        "In which countries have you lived?",
        "names",
        f"{_SEVERAL} Two-letter codes; a country you came back to stands twice.",
    ),
    "updating": Asked(
        "Which updating have you done after time out of your profession?",
        "names",
        _SEVERAL,
        _UPDATING,
    ),
    "education": Asked(
        "Which courses of continuing education have you done?",
        "names",
        _SEVERAL,
    ),
    "papers": Asked(
        "Which papers do you have at hand: these, and others an authority may ask for?",
        "names",
        _SEVERAL,
    ),
    "language": Asked("Which language tests have you sat?", "names", _SEVERAL),
    "examinations": Asked(
        "For which of these examinations have you sat or entered?",
        "names",
        f"{_SEVERAL} One that you sat twice stands twice.",
    ),
}
"""Sections that nobody has filled."""

_COUNTRY_HINT: Final = "Two letters, as in a passport."
_DAY_HINT: Final = "As exactly as you know: 3 May 2019, May 2019, or 2019."
_LAST_DAY_HINT: Final = f"{_DAY_HINT} Write still, if it goes on."
_LEVELS: Final = (
    ("4", "course after secondary school"),
    ("5", "short higher course or higher diploma"),
    ("6", "bachelor or equal"),
    ("7", "master or equal"),
    ("8", "doctorate"),
)
_FIELDS: Final = {
    "0512": "biochemistry",
    "0721": "food science and processing",
    "0910": "health, several fields",
    "0912": "medicine",
    "0913": "nursing and midwifery",
    "0914": "medical diagnosis and treatment technology",
    "0915": "therapy and rehabilitation, dietetics too",
    "0916": "pharmacy",
    "0923": "social work and counselling",
    "1013": "hotel, restaurants and catering",
    "1014": "sports",
}
FIELD_NAMES: Final[Mapping[str, str]] = _FIELDS
"""Names of ISCED-F 2013 detailed fields near the health professions."""

FIELDS: Final[Mapping[str, Asked]] = {
    "person/born": Asked("When were you born?", "day", _DAY_HINT),
    "person/nationality": Asked(
        "Which nationalities do you hold?", "countries", "Two letters each, as in a passport."
    ),
    "person/residence": Asked("In which country do you live?", "country", _COUNTRY_HINT),
    "qualifications/title": Asked("What is {name} called on the diploma?", "text"),
    "qualifications/level": Asked("Of which level is {name}?", "choice", "", _LEVELS),
    "qualifications/field": Asked(
        "In which field is {name}?",
        "choice",
        "",
        tuple(_FIELDS.items()),
    ),
    "qualifications/country": Asked("In which country did you earn {name}?", "country"),
    "qualifications/accredited_by": Asked(
        "Which of these accredit the programme of {name}?", "texts", _SEVERAL
    ),
    "qualifications/equivalent_to": Asked(
        "What has an evaluating body found {name} equal to?", "texts", _SEVERAL
    ),
    "qualifications/length": Asked("How long is the programme of {name}?", "length", "As 4 years."),
    "qualifications/completed": Asked("When did you complete {name}?", "day", _DAY_HINT),
    "qualifications/hours": Asked(
        "How many hours of each kind had {name}?", "hours by part", "As taught 2900, placement 640."
    ),
    "practice/title": Asked("As what did you work at {name}?", "text"),
    "practice/setting": Asked("What sort of work was it at {name}?", "text"),
    "practice/country": Asked("In which country was {name}?", "country", _COUNTRY_HINT),
    "practice/registered": Asked(
        "Were you registered there while you worked at {name}?", "yes or no"
    ),
    "practice/supervised": Asked("Did you work under supervision at {name}?", "yes or no"),
    "practice/start": Asked("When did you begin at {name}?", "day", _DAY_HINT),
    "practice/end": Asked("When did you leave {name}?", "last day", _LAST_DAY_HINT),
    "practice/hours_a_week": Asked(
        "How many hours a week did you work at {name}, by contract?", "hours", "As 37.5."
    ),
    "registrations/authority": Asked("Which authority is {name}?", "text"),
    "registrations/country": Asked("In which country is {name}?", "country", _COUNTRY_HINT),
    "registrations/title": Asked("As what are or were you registered with {name}?", "text"),
    "registrations/category": Asked("In which category, with {name}?", "text"),
    "registrations/start": Asked("Since when have you been with {name}?", "day", _DAY_HINT),
    "registrations/end": Asked(
        "Until when did your registration with {name} last?", "last day", _LAST_DAY_HINT
    ),
    "certificates/authority": Asked("Who issued your {name}?", "text"),
    "certificates/country": Asked("Of which country is your {name}?", "country", _COUNTRY_HINT),
    "certificates/issued": Asked("On which day was your {name} issued?", "day", _DAY_HINT),
    "certificates/expires": Asked("Until when is your {name} valid?", "day", _DAY_HINT),
    "certificates/sent": Asked(
        "How does your {name} reach the authority?",
        "choice",
        "",
        (("directly", "its issuer sends it"), ("by applicant", "you hand it in")),
    ),
    "stays/country": Asked("Which country is {name}?", "country", _COUNTRY_HINT),
    "stays/start": Asked("When did you begin to live in {name}?", "day", _DAY_HINT),
    "stays/end": Asked("When did you leave {name}?", "last day", _LAST_DAY_HINT),
    "updating/how": Asked("What kind of updating was {name}?", "choice", "", _UPDATING),
    "updating/start": Asked("When did your {name} begin?", "day", _DAY_HINT),
    "updating/end": Asked("When did your {name} end?", "day", _DAY_HINT),
    "updating/hours": Asked("How many hours in all was your {name}?", "hours", "As 120."),
    "updating/supervisor": Asked(
        "Who supervised your {name}: on the register since when, of your profession, and ever "
        "under proceedings or a sanction?",
        "supervisor",
        "As 2010, yes, no; a question mark for what you do not know.",
    ),
    "education/earned": Asked("On which day did {name} end?", "day", _DAY_HINT),
    "education/units": Asked("How many units did {name} give?", "number", "As 4 or 7.5."),
    "education/category": Asked("Of which category was {name}?", "text"),
    "papers/issuer": Asked("Who issued your {name}?", "text"),
    "papers/country": Asked("From which country is your {name}?", "country", _COUNTRY_HINT),
    "papers/issued": Asked("On which day was your {name} issued?", "day", _DAY_HINT),
    "papers/expires": Asked("Until when is your {name} valid?", "day", _DAY_HINT),
    "papers/form": Asked(
        "In which form do you have your {name}?",
        "choice",
        "",
        (
            ("original", "the original"),
            ("certified copy", "a certified copy"),
            ("plain copy", "a plain copy"),
        ),
    ),
    "papers/certified_by": Asked("Who certified the copy of your {name}?", "text"),
    "papers/language": Asked(
        "In which language is your {name} written?", "language", "Its code, as en or ar."
    ),
    "papers/translated_by": Asked("Who translated your {name}?", "text"),
    "papers/legalised": Asked(
        "How is your {name} legalised?",
        "choice",
        "",
        (("apostille", "apostille"), ("consular", "by a consulate"), ("no", "not at all")),
    ),
    "papers/width_mm": Asked("How wide is your {name}, in millimetres?", "number"),
    "papers/height_mm": Asked("How high is your {name}, in millimetres?", "number"),
    "papers/face_share": Asked(
        "How much of the height of your {name} is the face, from chin to crown?",
        "share",
        "As 70 %.",
    ),
    "language/taken": Asked("On which day did you sit {name}?", "day", _DAY_HINT),
    "language/overall": Asked("What was your overall result in {name}?", "text"),
    "language/parts": Asked(
        "What was your result in each part of {name}?",
        "results by part",
        "As listening 80, reading 79.",
    ),
    "language/place": Asked("Where did you sit {name}?", "text", "As at home, or test centre."),
    "examinations/taken": Asked("On which day is or was your {name}?", "day", _DAY_HINT),
    "examinations/outcome": Asked(
        "What came of your {name}?",
        "choice",
        "",
        (
            ("booked", "entered for, not sat yet"),
            ("awaiting", "sat, result not yet known"),
            ("passed", "passed"),
            ("failed", "failed"),
        ),
    ),
    "examinations/score": Asked("What was your score in {name}?", "number"),
    "examinations/stage": Asked("Which stage of {name} was it?", "text"),
    "progress/on": Asked("On which day was {name}?", "day", _DAY_HINT),
}
"""Fields that stand open, by section and field."""
