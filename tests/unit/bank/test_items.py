"""The written items of the starter bank, file by file and as one bank.

What makes an item well written is taken from Haladyna, Downing and Rodriguez (2002), Applied
Measurement in Education 15, 309-333; the counts are what the bank promises.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import TYPE_CHECKING, Final

import pytest

from comity.bank.resources import load_models, starter_bank, texts_in
from comity.core.exam.cautions import cautions_beside
from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK
from comity.core.exam.items import BestAnswer, NumberAnswer, SeveralAnswers
from comity.core.exam.reviews import ReviewState
from comity.core.exam.writing import flaws_between, flaws_of, flaws_of_form
from comity.core.exam.writing_text import content
from comity.files.item_bank import read_bank, read_blueprint
from comity.service.exam_items import draw_items

if TYPE_CHECKING:
    from comity.core.exam.items import Item

FILES: Final = starter_bank()
ITEMS: Final = tuple(item for file in FILES if file.value for item in file.value.items)
FEWEST: Final = {
    "nutrients": 20, "assessment": 28, "diagnosis": 14, "intervention": 45, "monitoring": 12,
    "population": 15, "food-service": 16, "evidence": 10, "conduct": 10,
}  # fmt: skip
LEVELS: Final = {"recall": 0.20, "apply": 0.55, "judge": 0.25}
MOST_LINES: Final = 350
NEAR: Final = 0.5
"""Two stems that share this part of their words would ask about the same thing."""
FLAWS_THAT_STAY: Final[dict[tuple[str, str], str]] = {}
"""Item and code of each flaw that is left on purpose, with the reason."""


def written_by_kind(kind: type[Item]) -> list[Item]:
    return [item for item in ITEMS if isinstance(item, kind)]


def test_every_file_of_items_is_read_with_no_problem() -> None:
    assert [problem for file in FILES for problem in file.problems] == []
    assert all(file.value is not None for file in FILES)


def test_a_file_is_short_enough_to_read_in_one_go() -> None:
    n_lines = {name: text.count("\n") for name, text in texts_in("items").items()}
    assert {name: n for name, n in n_lines.items() if n > MOST_LINES} == {}


def test_there_are_150_written_items_and_enough_of_each_domain() -> None:
    counts = Counter(item.domain for item in ITEMS)
    assert len(ITEMS) >= 150
    assert {domain: counts[domain] for domain in FEWEST if counts[domain] < FEWEST[domain]} == {}


def test_each_domain_is_one_of_the_blueprint() -> None:
    blueprint = read_blueprint(texts_in("blueprints")["dietetics.yaml"], "dietetics.yaml").value
    assert blueprint is not None
    assert {item.domain for item in ITEMS} == {domain.id for domain in blueprint.domains}


def test_levels_keep_to_their_shares_within_eight_points() -> None:
    counts = Counter(item.level.value for item in ITEMS)
    shares = {level: counts[level] / len(ITEMS) for level in LEVELS}
    assert shares == pytest.approx(LEVELS, abs=0.08)


def test_ids_are_given_once_over_all_files() -> None:
    ids = Counter(item.id for item in ITEMS)
    assert [id_ for id_, n in ids.items() if n > 1] == []


def test_cases_are_named_once_over_all_files() -> None:
    cases = Counter(case.id for file in FILES if file.value for case in file.value.cases)
    assert [id_ for id_, n in cases.items() if n > 1] == []


def test_each_case_has_two_to_four_items() -> None:
    sizes = Counter(item.case for item in ITEMS if item.case is not None)
    assert set(sizes.values()) <= {2, 3, 4}
    assert len(sizes) >= 5


@pytest.mark.parametrize("kind", [SeveralAnswers, NumberAnswer])
def test_kinds_besides_the_best_answer_occur(kind: type[Item]) -> None:
    assert len(written_by_kind(kind)) >= 5


def test_every_item_has_source_explanation_and_something_to_study() -> None:
    bare = [i.id for i in ITEMS if not (i.source.strip() and i.explanation and i.study)]
    assert bare == []


def test_every_source_tells_its_year_or_its_number() -> None:
    # A fact sheet stands on the web and is changed there; it has neither.
    undated = [i for i in ITEMS if not any(char.isdigit() for char in i.source)]
    assert [item.id for item in undated if "fact sheet" not in item.source] == []


def test_every_wrong_option_says_which_error_it_stands_for() -> None:
    silent = [
        (item.id, option.id)
        for item in ITEMS
        if isinstance(item, (BestAnswer, SeveralAnswers))
        for option in item.choices
        if option.id not in item.keys and not option.error
    ]
    assert silent == []


def test_every_item_was_read_again_and_says_against_what() -> None:
    # No practitioner has approved them: that state is not given before one has.
    assert {item.state for item in ITEMS} == {ReviewState.READ_AGAIN}
    assert [item.id for item in ITEMS if not item.reviews[-1].note] == []


def test_what_was_not_checked_at_a_source_says_so() -> None:
    starts = ("Read against", "From memory")
    notes = [item.reviews[-1].note or "" for item in ITEMS]
    assert [note for note in notes if not note.startswith(starts)] == []


def test_every_item_carries_its_cautions() -> None:
    for item in ITEMS:
        cautions = cautions_beside(item, names_source=True)
        assert EDUCATION in cautions
        assert (HIGH_RISK in cautions) == item.high_risk


def test_no_item_has_a_flaw_that_is_not_listed() -> None:
    found = {
        (item.id, flaw.code)
        for item in ITEMS
        for flaw in flaws_of(item)
        if flaw.weight in ("warning", "error")
    }
    assert found == set(FLAWS_THAT_STAY)


def test_no_item_gives_another_away() -> None:
    assert [flaw.got for flaw in flaws_between(ITEMS)] == []


def test_keys_stand_at_every_place_and_are_not_the_longest_too_often() -> None:
    assert flaws_of_form(ITEMS) == ()


def test_no_two_stems_are_nearly_equal() -> None:
    bags = [(item.id, content(item.stem)) for item in ITEMS]
    near = [
        (one, other)
        for (one, a), (other, b) in combinations(bags, 2)
        if a | b and len(a & b) / len(a | b) > NEAR
    ]
    assert near == []


def test_with_one_item_of_each_model_there_are_240() -> None:
    (file,) = (read_bank(text, name) for name, text in texts_in("drawn").items())
    assert file.value is not None
    assert len(ITEMS) + len(file.value.items) >= 240
    assert {item.id for item in file.value.items}.isdisjoint(item.id for item in ITEMS)
    models = [item.generated.model for item in file.value.items if item.generated]
    assert sorted(models) == sorted(each.model.model for each in load_models().models)


@pytest.mark.parametrize("name", ["bmi", "nitrogen-balance", "tube-rate"])
def test_the_drawn_items_are_what_the_models_give(name: str) -> None:
    """`comity exam draw --all --seed 1` writes the file anew after a model has changed."""
    shipped = read_bank(texts_in("drawn")["calculations.yaml"], "calculations.yaml").value
    assert shipped is not None
    kept = next(item for item in shipped.items if item.generated and item.generated.model == name)
    model = next(each for each in load_models().models if each.model.model == name)
    (drawn,) = draw_items([model], n_each=1, seed=1).items
    assert (drawn.stem, drawn.explanation) == (kept.stem, kept.explanation)
