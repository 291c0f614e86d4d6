"""Which fact is asked next, and how."""

from __future__ import annotations

from dataclasses import replace

from comity.core.eligibility.questions import (
    Question,
    is_settled,
    next_question,
    question_for,
)
from comity.core.eligibility.vocabulary import Vocabulary, vocabulary_of
from comity.core.rulebook.model import Edition, Rulebook
from tests.unit.core.eligibility.samples import applicant, asking, assessed
from tests.unit.core.rulebook.samples import AUTHORITY

NOTHING = Vocabulary({}, {}, {}, frozenset())
ADULT = "{id: adult, label: Of age, kind: age, at_least: P18Y}"
NATIONAL = "{id: national, label: A national, kind: nationality, countries: [XA]}"
RESIDENT = "{id: resident, label: A resident, kind: residence, countries: [XA]}"
HONEST = "{id: honest, label: Honest, kind: declaration, declaration: honest, question: Honest?}"
EITHER = f"{{id: either, label: Born or bred, kind: any, of: [{NATIONAL}, {ADULT}]}}"


def words(*editions: Edition) -> Vocabulary:
    """Return the words of some editions."""
    return vocabulary_of([Rulebook(AUTHORITY, editions)])


def question(
    facts: str, *editions: Edition, asked: tuple[str, ...] = (), words_of: Vocabulary | None = None
) -> Question | None:
    """Return the next question of a file, each edition being the rules of a title of its own."""
    person = applicant(facts)
    found = [assessed(person, rules) for rules in editions]
    known = words_of or words(*editions)
    return next_question(found, applicant=person, vocabulary=known, asked=asked)


def asked_for(path: str, facts: str = "facts: {}", vocabulary: Vocabulary = NOTHING) -> Question:
    """Return how a missing fact is asked for."""
    return question_for(path, applicant=applicant(facts), vocabulary=vocabulary)


# ------------------------------------------------------------------------------- which is asked


def test_the_fact_for_which_most_titles_wait_is_asked_first() -> None:
    found = question("facts: {}", asking(NATIONAL), asking(ADULT), asking(RESIDENT, ADULT))
    assert found is not None
    assert (found.path, found.n_open) == ("person/born", 3)


def test_the_question_names_the_requirements_that_wait_for_it() -> None:
    assert question("facts: {}", asking(ADULT)) == Question(
        "person/born",
        "When were you born?",
        "day",
        hint="As exactly as you know: 3 May 2019, May 2019, or 2019.",
        because=("Of age (Dietitian, Council of Dietitians)",),
        n_open=1,
    )


def test_a_fact_that_settles_a_requirement_alone_goes_before_facts_needed_together() -> None:
    found = question("facts: {}", asking(EITHER, RESIDENT))
    assert found is not None
    assert found.path == "person/residence"


def test_what_people_do_not_like_to_be_asked_first_weighs_less() -> None:
    found = question("facts: {}", asking(HONEST, ADULT))
    assert found is not None
    assert found.path == "person/born"


def test_what_was_asked_already_is_not_asked_again() -> None:
    found = question("facts: {}", asking(NATIONAL, ADULT), asked=("person/nationality",))
    assert found is not None
    assert (found.path, found.because) == (
        "person/born",
        ("Of age (Dietitian, Council of Dietitians)",),
    )


def test_what_a_person_has_to_look_at_is_no_question_to_the_applicant() -> None:
    assert question("facts: {}", asking("{kind: by hand, text: Conduct, checked_by: us}")) is None


def test_a_requirement_of_employers_waits_for_no_answer() -> None:
    wished = HONEST[:-1] + ", demanded_by: employers}"
    assert question("facts: {}", asking(wished)) is None


def test_a_title_that_can_never_be_met_raises_no_question() -> None:
    found = question("facts: {person: {nationality: [XB]}}", asking(NATIONAL, ADULT))
    assert found is None


def test_a_settled_title_is_no_reason_for_a_question() -> None:
    never = replace(asking(NATIONAL, ADULT), authority=replace(AUTHORITY, name="Another"))
    found = question("facts: {person: {nationality: [XB]}}", never, asking(ADULT))
    assert found is not None
    assert (found.because, found.n_open) == (("Of age (Dietitian, Council of Dietitians)",), 1)


# ----------------------------------------------------------------------------------- is settled


def settled(facts: str, *requirements: str) -> tuple[str, bool]:
    """Return the verdict on a title, and whether it is settled."""
    rules = asking(*requirements)
    found = assessed(facts, rules)
    return found.verdict.value, is_settled(found, words(rules))


def test_a_title_with_an_unknown_fact_is_open() -> None:
    assert settled("facts: {}", ADULT) == ("unknown", False)


def test_a_title_that_is_met_is_settled() -> None:
    assert settled("facts: {person: {born: 1990-04-02}}", ADULT) == ("met", True)


def test_a_title_that_waits_for_a_paper_stays_open() -> None:
    assert settled("papers: []", "{kind: paper, paper: passport}") == ("not met", False)


def test_a_title_that_can_be_met_within_two_years_stays_open() -> None:
    assert settled("facts: {person: {born: 2010-01-01}}", ADULT) == ("not met", False)


def test_a_title_that_takes_more_than_two_years_is_settled() -> None:
    assert settled("facts: {person: {born: 2015-01-01}}", ADULT) == ("not met", True)


# ------------------------------------------------------------------------------ how it is asked


def test_a_section_that_nobody_filled_is_asked_by_names() -> None:
    found = asked_for("practice")
    assert (found.text, found.kind, found.fact) == (
        "For whom have you worked in your profession? Name every post, today's too.",
        "names",
        "practice",
    )


def test_an_entry_is_called_by_the_name_it_was_given() -> None:
    facts = "facts: {practice: [{id: post-1, employer: City Hospital}]}"
    found = asked_for("practice/post-1/start", facts)
    assert found.text == "When did you begin at City Hospital?"
    assert found.fact == "practice/start"


def test_an_entry_without_a_name_is_called_by_its_id() -> None:
    found = asked_for("practice/post-1/country", "facts: {practice: [{id: post-1}]}")
    assert found.text == "In which country was post 1?"


def test_entries_of_one_name_are_told_apart_by_their_number() -> None:
    posts = ", ".join(f"{{id: p{n}, employer: City Hospital}}" for n in range(5))
    facts = f"facts: {{practice: [{posts}]}}"
    asked = [asked_for(f"practice/p{n}/country", facts).text for n in range(5)]
    assert asked == [
        "In which country was City Hospital (the first)?",
        "In which country was City Hospital (the second)?",
        "In which country was City Hospital (the third)?",
        "In which country was City Hospital (a later one)?",
        "In which country was City Hospital (a later one)?",
    ]


def test_a_certificate_is_called_by_its_whole_name() -> None:
    found = asked_for("certificates/c1/issued", "facts: {certificates: [{id: c1, of: health}]}")
    assert found.text == "On which day was your health certificate issued?"


def test_a_registration_is_called_by_the_name_of_its_authority() -> None:
    facts = "facts: {registrations: [{id: r1, authority: xa-council}]}"
    found = asked_for("registrations/r1/category", facts, words(asking(ADULT)))
    assert "Council of Dietitians" in found.text


def test_a_milestone_is_called_by_its_words() -> None:
    facts = "progress: [{id: s1, milestone: xa-council/dietitian/letter-of-offer, on: 2026}]"
    assert asked_for("progress/s1/on", facts).text == "On which day was letter of offer?"


def test_a_milestone_that_is_not_in_the_file_is_called_by_its_id() -> None:
    assert asked_for("progress/first-visit/on").text == "On which day was first visit?"


def test_a_declaration_is_asked_in_the_authoritys_words_braces_and_all() -> None:
    asked = "{kind: declaration, declaration: sound, question: 'Fit {in body}?'}"
    found = asked_for("declarations/sound", vocabulary=words(asking(asked)))
    assert (found.text, found.kind) == ("Fit {in body}?", "yes or no")


def test_a_declaration_no_rulebook_knows_is_asked_by_its_id() -> None:
    assert asked_for("declarations/no-sanctions").text == "Your answer on no sanctions?"


# ------------------------------------------------------------------------------ what is offered


def test_words_of_the_rulebooks_are_offered_and_others_taken() -> None:
    found = asked_for("papers", vocabulary=words(asking("{kind: paper, paper: passport}")))
    assert (found.choices, found.is_open) == ((("passport", "passport"),), True)


def test_authorities_are_offered_for_registrations_by_their_names() -> None:
    found = asked_for("registrations", vocabulary=words(asking(ADULT)))
    assert found.choices == (("xa-council", "Council of Dietitians"),)


def test_examinations_are_only_those_the_rulebooks_name() -> None:
    rules = asking("{kind: examination, examination: final}", names={"final": "Final Examination"})
    found = asked_for("examinations", vocabulary=words(rules))
    assert (found.choices, found.is_open) == ((("final", "Final Examination"),), False)


def test_examinations_are_open_where_no_rulebook_names_one() -> None:
    assert asked_for("examinations").is_open


def test_our_own_choices_are_closed() -> None:
    found = asked_for("updating/u1/how", "facts: {updating: [{id: u1}]}")
    assert ("private study", "study on your own") in found.choices
    assert not found.is_open


def test_nothing_is_offered_where_a_day_is_asked_for() -> None:
    assert asked_for("person/born").choices == ()


def test_fields_are_offered_in_detail_the_rulebooks_first_and_others_are_taken() -> None:
    held = asking("{kind: qualification, fields: ['0915', '09', '0999']}")
    facts = "facts: {qualifications: [{id: q1, title: BSc}]}"
    found = asked_for("qualifications/q1/field", facts, words(held))
    assert found.choices[:2] == (
        ("0915", "therapy and rehabilitation, dietetics too"),
        ("0999", "0999"),
    )
    assert found.is_open


def test_a_list_of_which_one_thing_matters_is_a_yes_or_no() -> None:
    held = asking(
        "{kind: qualification, accredited_by: [xb-body]}", names={"xb-body": "The {Body}"}
    )
    facts = "facts: {qualifications: [{id: q1, title: BSc}]}"
    found = asked_for("qualifications/q1/accredited_by", facts, words(held))
    assert (found.text, found.kind, found.hint) == (
        "Is the programme of BSc accredited by The {Body}?",
        "listed",
        "yes or no",
    )


def test_a_list_of_which_several_things_matter_is_asked_as_a_list() -> None:
    held = asking("{kind: qualification, accredited_by: [one, two]}")
    facts = "facts: {qualifications: [{id: q1, title: BSc}]}"
    found = asked_for("qualifications/q1/accredited_by", facts, words(held))
    assert (found.kind, found.choices) == ("texts", (("one", "one"), ("two", "two")))
