"""Which days an edition applies on, and the ways through what it lists."""

from __future__ import annotations

import pytest

from comity.core.days.calendar import FOREVER
from comity.core.days.period import Period
from comity.core.rulebook.editions import (
    Days,
    certain_on,
    conditions_of,
    days_of,
    edition_by_id,
    everything_in,
    full_id,
    label_of,
    ordered,
    possible_on,
    requirement_by_id,
    requirements_of,
    target_of,
    title_of,
    walk,
)
from comity.core.rulebook.kinds.base import Source
from comity.core.rulebook.kinds.combining import AnyOf
from comity.core.rulebook.kinds.testing import ExaminationPassed
from comity.core.rulebook.model import Condition, Deems, Grant, Pathway, Renewal, Rulebook
from tests.unit.core.rulebook.samples import (
    AUTHORITY,
    RULES,
    applies,
    day,
    edition,
    nationality,
    title,
)


def days(start: str, end: str) -> Days:
    """Return the run from one day to the other, the last one included."""
    return Days(day(start), day(end) + 1)


def test_exact_days_apply_for_certain_the_last_day_included() -> None:
    found = days_of(applies(start="2026-03-01", end="2026-12-31"))
    assert found.certain == found.possible == days("2026-03-01", "2026-12-31")
    assert day("2026-12-31") in found.certain
    assert day("2027-01-01") not in found.certain


@pytest.mark.parametrize("end", [None, ".."])
def test_without_an_end_an_edition_goes_on(end: str | None) -> None:
    found = days_of(applies(start="2026-03-01", end=end))
    assert found.certain == found.possible == Days(day("2026-03-01"), FOREVER)


def test_without_a_start_an_edition_has_always_applied() -> None:
    assert days_of(applies(end="2026-03-01")).certain == Days(0, day("2026-03-02"))


def test_a_partly_known_start_is_certain_from_its_latest_day() -> None:
    found = days_of(applies(start="2026-03", end="2027"))
    assert found.certain == days("2026-03-31", "2027-01-01")
    assert found.possible == days("2026-03-01", "2027-12-31")


def test_with_an_unknown_end_only_the_first_day_is_certain() -> None:
    found = days_of(applies(start="2020-08-01", end="unknown"))
    assert found.certain == days("2020-08-01", "2020-08-01")
    assert found.possible == Days(day("2020-08-01"), FOREVER)


def test_editions_are_ordered_by_their_first_day_then_by_id() -> None:
    texts = [("b", "2026"), ("c", None), ("a", "2026"), ("d", "2024-02")]
    editions = [edition(rulebook=name, applies=applies(start=start)) for name, start in texts]
    assert [each.rulebook for each in ordered(editions)] == ["c", "d", "a", "b"]


def test_the_editions_of_a_day_are_told_certain_from_possible() -> None:
    old = edition(rulebook="old", applies=applies(end="2026"))
    new = edition(rulebook="new", applies=applies(start="2026-07-01"))
    rulebook = Rulebook(authority=AUTHORITY, editions=(old, new))
    asked = day("2026-08-01")
    assert certain_on(rulebook, asked) == (new,)
    assert possible_on(rulebook, asked) == (old, new)
    assert edition_by_id(rulebook, "new") is new
    assert edition_by_id(rulebook, "2019") is None


def test_a_rulebook_has_the_titles_of_all_its_editions_the_newest_first() -> None:
    old = edition(title(id="assistant"), title(), rulebook="old")
    new = edition(title(id="aide"), title(id="assistant"), rulebook="new")
    rulebook = Rulebook(authority=AUTHORITY, editions=(old, new))
    assert list(rulebook.titles()) == ["aide", "assistant", "dietitian"]


def test_titles_and_requirements_are_found_by_id() -> None:
    inner = nationality("inner")
    place = title(requires=(AnyOf(id="outer", of=(inner, nationality())),))
    other = title(id="assistant", requires=(nationality("helper"),))
    both = edition(place, other)
    assert title_of(both, "assistant") is other
    assert title_of(both, "physician") is None
    found = requirement_by_id(place, "inner")
    assert found is not None
    assert found.path == ("requires", 0, "of", 0)
    assert found.requirement is inner
    assert requirement_by_id(place, "helper") is None


def test_same_as_may_point_into_another_title() -> None:
    place, other = title(), title(id="assistant", requires=(nationality("helper"),))
    both = edition(place, other)
    found = target_of(both, place, name="assistant/helper")
    assert found is not None
    assert (found[0], found[1].requirement.id) == (other, "helper")
    assert target_of(both, other, name="helper") == found
    assert target_of(both, place, name="helper") is None
    assert target_of(both, place, name="physician/helper") is None


def test_labels_are_made_of_label_id_or_kind() -> None:
    assert label_of(nationality("x", label="eligible nationality")) == "Eligible nationality"
    assert label_of(nationality("right-to-work")) == "Right to work"
    assert label_of(nationality()) == "Nationality"


def test_a_full_id_names_authority_title_and_requirement() -> None:
    assert full_id("xa-council", title="dietitian", requirement="a") == "xa-council/dietitian/a"


def test_walking_goes_from_outside_to_inside_with_paths() -> None:
    inner = nationality("inner", when=nationality("cause"))
    whole = AnyOf(of=(inner,), unless=nationality("bar"))
    found = [(path, each.id) for path, each in walk(whole)]
    assert found == [
        ((), None),
        (("unless",), "bar"),
        (("of", 0), "inner"),
        (("of", 0, "when"), "cause"),
    ]


def test_listed_requirements_take_over_source_and_check_point() -> None:
    own, pathway_source = Source(document="Own"), Source(document="Pathway")
    inner = nationality("inner", when=nationality())
    place = title(
        requires=(AnyOf(id="outer", source=RULES, at="decision", of=(inner,)),),
        pathways=(
            Pathway(
                id="p",
                label="P",
                when=nationality(),
                source=pathway_source,
                requires=(nationality("taken"), nationality("own", source=own)),
            ),
        ),
    )
    found = [(each.path, each.source, each.at, each.is_top) for each in requirements_of(place)]
    assert found == [
        (("requires", 0), RULES, "decision", True),
        (("pathways", 0, "requires", 0), pathway_source, "submission", True),
        (("pathways", 0, "requires", 1), own, "submission", True),
    ]
    parts = [each for each in everything_in(place) if len(each.path) > 2]
    below = {each.path: each for each in parts}
    part = below["requires", 0, "of", 0]
    assert (part.source, part.at, part.is_top, part.is_condition) == (
        RULES,
        "decision",
        False,
        False,
    )
    assert below["requires", 0, "of", 0, "when"].is_condition
    assert below["pathways", 0, "when"].source is pathway_source


def test_conditions_and_renewal_belong_to_everything_in_a_title() -> None:
    remedial = nationality("course")
    place = title(
        pathways=(Pathway(id="rest", label="All others", requires=()),),
        deems=(Deems(id="d", label="D", when=nationality(), satisfies=("x",)),),
        grants=Grant(
            instrument="licence", conditions=(Condition(when=nationality(), says="Supervised."),)
        ),
        renewal=Renewal(
            every=Period(months=12),
            requires=(
                ExaminationPassed(id="x", examination="e", remedial_after=2, remedial=remedial),
            ),
        ),
    )
    assert [each.path for each in everything_in(place)] == [
        ("renewal", "requires", 0),
        ("renewal", "requires", 0, "remedial"),
        ("deems", 0, "when"),
        ("grants", "conditions", 0, "when"),
    ]
    assert all(each.is_condition and not each.is_top for each in conditions_of(place))
