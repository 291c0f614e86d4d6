"""What the static checks find, and what they leave alone.

The message of each code is proved by its file in ``assets/bad``; here stand the boundaries.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from comity.core.days.period import Period
from comity.core.declaring import Money
from comity.core.rulebook.checks import check_edition, check_editions
from comity.core.rulebook.kinds.base import Source
from comity.core.rulebook.kinds.combining import AnyOf, Bands, SameAs
from comity.core.rulebook.kinds.qualifying import Elapsed
from comity.core.rulebook.kinds.testing import ExaminationPassed
from comity.core.rulebook.model import (
    Deems,
    Document,
    Examination,
    Fee,
    Grant,
    Milestone,
    PaperAsked,
    Pathway,
    Renewal,
)
from tests.unit.core.rulebook.samples import (
    RULES,
    applies,
    day,
    edition,
    edition_from,
    nationality,
    requirement,
    title,
)

EVERY_KIND = Path(__file__).parents[3] / "assets" / "rulebooks" / "every-kind.yaml"


def codes(*editions: object, today: str | None = None) -> list[str]:
    """Return the codes found in editions, in order."""
    found = check_editions(editions, today=None if today is None else day(today))  # type: ignore[arg-type]
    return [finding.code for finding in found]


def test_a_good_edition_with_every_kind_has_nothing_to_mend() -> None:
    whole = edition_from(EVERY_KIND.read_text("utf-8"))
    assert codes(whole, today="2026-11-25") == []


def test_no_editions_have_nothing_to_mend() -> None:
    assert codes() == []


def test_parts_need_neither_id_nor_source() -> None:
    place = title(requires=(AnyOf(id="a", source=RULES, of=(nationality(), nationality())),))
    assert codes(edition(place)) == []


def test_the_source_of_a_pathway_or_renewal_is_enough_for_what_it_asks() -> None:
    place = title(
        pathways=(Pathway(id="p", label="P", source=RULES, requires=(nationality("a"),)),),
        renewal=Renewal(every=Period(12), source=RULES, requires=(nationality("b"),)),
    )
    assert codes(edition(place)) == []


def test_ids_of_parts_count_as_ids_of_the_title() -> None:
    inner = nationality("inner")
    place = title(
        requires=(AnyOf(id="a", source=RULES, of=(inner,)), nationality("inner", source=RULES))
    )
    (found,) = check_edition(edition(place))
    assert (found.code, found.path) == ("R111", ("titles", 0, "requires", 1, "id"))
    assert found.related[0].path == ("titles", 0, "requires", 0, "of", 0, "id")


def test_two_titles_may_use_one_id() -> None:
    here = title(requires=(nationality("a", source=RULES),))
    there = title(id="nurse", requires=(nationality("a", source=RULES),))
    assert codes(edition(here, there)) == []


def test_milestones_of_fees_steps_and_elapsed_time_are_looked_up() -> None:
    place = title(
        milestones=(Milestone(id="submission", label="S"), Milestone(id="decision", label="D")),
        requires=(
            Elapsed(id="e", source=RULES, since="decision", at="decision", applies_by="sitting"),
            Elapsed(id="f", source=RULES, since="registration"),
        ),
        fees=(
            Fee(id="x", label="X", amount=Money(1, "EUR"), at="decision"),
            Fee(id="y", label="Y", amount=Money(1, "EUR"), at="renewal"),
            Fee(id="z", label="Z", amount=Money(1, "EUR")),
        ),
        grants=Grant(instrument="licence"),
    )
    found = list(check_edition(edition(place)))
    assert {finding.code for finding in found} == {"R114"}
    assert sorted(finding.path[2:] for finding in found) == [
        ("fees", 1, "at"),
        ("requires", 0, "applies_by"),
        ("requires", 1, "since"),
    ]


def test_the_event_of_an_edition_is_a_milestone_of_each_title() -> None:
    late = title(id="nurse", milestones=(Milestone(id="decision", label="D"),))
    (found,) = check_edition(edition(title(), late))
    assert (found.code, found.path) == ("R114", ("applies", "by"))


@pytest.mark.parametrize("name", ["rules", "The rules of 2019", "Rules"])
def test_a_document_in_words_or_listed_is_known(name: str) -> None:
    place = title(requires=(nationality("a", source=Source(document=name)),))
    assert codes(edition(place, sources={"rules": Document(title="R")})) == []


def test_without_a_list_any_document_will_do() -> None:
    place = title(requires=(nationality("a", source=Source(document="rules")),))
    assert codes(edition(place)) == []


def test_same_as_reaches_another_title_and_a_part() -> None:
    place = title(
        requires=(
            AnyOf(id="a", source=RULES, of=(nationality("inner"),)),
            SameAs(id="b", source=RULES, requirement="inner"),
            SameAs(id="c", source=RULES, requirement="nurse/n"),
        )
    )
    other = title(id="nurse", requires=(nationality("n", source=RULES),))
    assert codes(edition(place, other)) == []


def test_an_examination_is_looked_up_only_where_the_title_lists_some() -> None:
    asked = ExaminationPassed(id="x", source=RULES, examination="national")
    listed = (Examination(id="national", name="N"),)
    assert codes(edition(title(requires=(asked,)))) == []
    assert codes(edition(title(requires=(asked,), examinations=listed))) == []


def test_papers_and_deemings_that_point_somewhere_are_left_alone() -> None:
    place = title(
        requires=(nationality("a", source=RULES),),
        papers=(PaperAsked(kind="diploma"), PaperAsked(kind="passport", for_requirement="a")),
        deems=(Deems(id="d", label="D", when=nationality(), satisfies=("a",)),),
    )
    assert codes(edition(place)) == []


# -------------------------------------------------------------------------------------- rings


def test_a_ring_over_two_titles_is_told_once() -> None:
    here = title(requires=(SameAs(id="a", source=RULES, requirement="nurse/b"),))
    there = title(id="nurse", requires=(SameAs(id="b", source=RULES, requirement="dietitian/a"),))
    (found,) = check_edition(edition(here, there))
    assert (found.code, found.got) == ("R119", "b → a → b") or found.got == "a → b → a"
    assert len(found.related) == 1


def test_two_ways_to_the_same_requirement_are_no_ring() -> None:
    place = title(
        requires=(
            nationality("a", source=RULES),
            SameAs(id="b", source=RULES, requirement="a"),
            AnyOf(
                id="c",
                source=RULES,
                of=(SameAs(requirement="a"), SameAs(requirement="b"), SameAs(requirement="a")),
            ),
        )
    )
    assert codes(edition(place)) == []


def test_a_requirement_that_is_the_same_as_itself_is_a_ring() -> None:
    place = title(requires=(SameAs(id="a", source=RULES, requirement="a"),))
    (found,) = check_edition(edition(place))
    assert (found.code, found.got, found.related) == ("R119", "a → a", ())


def test_a_ring_through_two_deemings_names_both() -> None:
    def deems(name: str, *, satisfied: str, by: str) -> Deems:
        return Deems(id=name, label="D", when=SameAs(requirement=by), satisfies=(satisfied,))

    place = title(
        requires=(nationality("a", source=RULES), nationality("b", source=RULES)),
        deems=(deems("d", satisfied="a", by="b"), deems("e", satisfied="b", by="a")),
    )
    (found,) = check_edition(edition(place))
    assert found.got == "a → deemed by d → b → deemed by e → a"
    assert [other.says for other in found.related] == ["same as", "deemed by e", "same as"]


# -------------------------------------------------------------------------------------- bands


@pytest.mark.parametrize(
    ("bands", "expected"),
    [
        ("{below: 24 months, requires: []}, {from: 24 months, requires: []}", []),
        ("{up_to: 24 months, requires: []}, {more_than: 24 months, requires: []}", []),
        ("{below: 24 months, requires: []}, {from: 18 months, requires: []}", ["R131"]),
        ("{below: 24 months, requires: []}, {from: 30 months, requires: []}", ["R132"]),
        ("{below: 90 days, requires: []}, {from: 3 months, requires: []}", ["R132"]),
        ("{below: 24 months, requires: []}, {requires: []}", ["R131"]),
        ("{from: 0 days, requires: []}", []),
        ("{more_than: 0 days, requires: []}", ["R132"]),
        ("{up_to: 24 months, requires: []}", ["R133"]),
    ],
)
def test_bands_meet_without_overlap_or_hole(bands: str, expected: list[str]) -> None:
    asked = requirement(f"""
        id: back
        kind: bands
        source: {{document: Rules}}
        anchor: after last practice day
        bands: [{bands}]
    """)
    assert codes(edition(title(requires=(asked,)))) == expected


def test_bands_made_by_a_program_may_be_none() -> None:
    none = Bands(id="a", source=RULES, anchor="after last practice day", bands=())
    assert codes(edition(title(requires=(none,)))) == []


# ------------------------------------------------------------------------------ other values


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("kind: language, tests: [{test: T, overall: '7', parts: {reading: '6.5'}}]", []),
        ("kind: language, tests: [{test: T, overall: '7.5.1'}]", ["R135"]),
        (
            (
                "kind: language, tests: [{test: T, overall: B, parts: {r: C}, scale: [C, B],"
                " combining: {within: 6 months, least_overall: D, floor: {r: D}}}]"
            ),
            ["R135", "R135"],
        ),
        (
            "kind: language, tests: [{test: T, combining: {within: 6 months, floor: {r: 6}}}]",
            ["R136"],
        ),
        ("kind: continuing education, units: 5, look_back: 12 months", []),
        ("kind: continuing education, units: 5, cycle: {length: 1 year, ends_on: 3-31}", ["R137"]),
        ("kind: dates, from: 2026-03-01, until: 2026-03-01", []),
        ("kind: dates, until: 2026-03-01", []),
        ("kind: dates, every_year_from: 11-01, every_year_until: 02-28", []),
        ("kind: dates, every_year_until: 02-29", ["R137", "R138"]),
        ("kind: age, below: 70 years", []),
    ],
)
def test_values_that_do_not_go_together_are_found(text: str, expected: list[str]) -> None:
    asked = requirement(f"{{id: a, source: {{document: Rules}}, {text}}}")
    assert codes(edition(title(requires=(asked,)))) == expected


def test_the_end_of_a_grant_is_a_day_of_every_year() -> None:
    place = title(grants=Grant(instrument="licence", until_every_year="31 March"))
    (found,) = check_edition(edition(place))
    assert (found.code, found.path) == ("R137", ("titles", 0, "grants", "until_every_year"))


def test_a_pathway_for_all_others_comes_last() -> None:
    rest = Pathway(id="rest", label="R", requires=())
    near = Pathway(id="near", label="N", when=nationality(), requires=())
    assert codes(edition(title(pathways=(near, rest)))) == []
    assert codes(edition(title(pathways=(rest, near)))) == ["R123"]


# ----------------------------------------------------------------------------------- editions


def test_an_edition_is_fresh_on_the_last_day_and_stale_on_the_next() -> None:
    read = edition(read=day("2026-05-01"), read_again_after=Period(months=6))
    assert codes(read, today="2026-11-01") == []
    assert codes(read, today="2026-11-02") == ["R107"]


def test_an_edition_that_has_ended_is_never_stale() -> None:
    ended = edition(read=day("2020-05-01"), applies=applies(end="2026-10-31"))
    assert codes(ended, today="2026-10-31") == ["R107"]
    assert codes(ended, today="2026-11-01") == []


def test_editions_that_follow_each_other_fit() -> None:
    old = edition(rulebook="old", applies=applies(end="2026-12-31"))
    new = edition(rulebook="new", applies=applies(start="2027-01-01"))
    assert codes(old, new) == []


def test_a_day_in_two_editions_and_a_day_in_none_are_told() -> None:
    new = edition(rulebook="new", applies=applies(start="2027-01-01"))
    both = edition(rulebook="old", applies=applies(end="2027-01-01"))
    none = edition(rulebook="old", applies=applies(end="2026-12-30"))
    assert codes(both, new) == ["R104"]
    assert codes(none, new) == ["R105"]


def test_an_unknown_end_may_overlap() -> None:
    old = edition(rulebook="old", applies=applies(start="2020-08-01", end="unknown"))
    new = edition(rulebook="new", applies=applies(start="2021-01-01"))
    assert codes(old, new) == []


def test_an_edition_inside_another_leaves_no_hole() -> None:
    long = edition(rulebook="long", applies=applies(end="2026-12-31"))
    inside = edition(rulebook="inside", applies=applies(start="2026", end="2026"))
    new = edition(rulebook="new", applies=applies(start="2027-01-01"))
    assert codes(long, inside, new) == ["R104"]


def test_editions_chosen_by_different_events_are_not_compared() -> None:
    milestones = (Milestone(id="submission", label="S"), Milestone(id="decision", label="D"))
    old = edition(title(milestones=milestones), rulebook="old")
    new = edition_from("""
        rulebook: new
        authority: {id: xa-council, name: Council, country: XA}
        applies: {from: 2027-01-01, by: decision}
        read: 2026-05-01
        wholly_read: yes
        titles:
          - id: dietitian
            name: D
            profession: 2265
            milestones: [{id: submission, label: S}, {id: decision, label: D}]
    """)
    assert codes(old, new) == []


def test_editions_with_one_id_are_told_once_though_they_overlap() -> None:
    assert codes(edition(), edition()) == ["R103"]


def test_a_title_that_is_new_changes_no_kind() -> None:
    old = edition(rulebook="old", applies=applies(end="2026-12-31"))
    new = edition(
        title(id="nurse", requires=(nationality("a", source=RULES),)),
        rulebook="new",
        applies=applies(start="2027-01-01"),
    )
    assert codes(old, new) == []


def test_findings_know_their_edition() -> None:
    old = edition(rulebook="old", applies=applies(end="2026-12-31"))
    place = title(
        requires=(nationality("a", source=RULES), nationality("a", source=RULES)),
    )
    new = edition(place, rulebook="new", applies=applies(start="2027-01-01"))
    (found,) = check_editions((old, new))
    assert (found.edition, found.related[0].edition) == (1, 1)
