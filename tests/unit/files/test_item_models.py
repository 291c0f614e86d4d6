from __future__ import annotations

import pytest

from comity.core.problems import Place
from comity.files.item_models import load_item_models
from tests.bad_files import FOLDER

GOOD = (FOLDER / "X101.yaml").read_text(encoding="utf-8").replace("share / (100", "share / 100")


def problems_of(*changes: tuple[str, str]) -> list[tuple[str, Place | None]]:
    text = GOOD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return [(each.code, each.place) for each in load_item_models({"m.yaml": text}).problems]


def test_a_good_model_is_ready() -> None:
    loaded = load_item_models({"m.yaml": GOOD.encode()})
    assert [ready.model.model for ready in loaded.models] == ["fat-of-a-plan"]
    assert loaded.is_sound


@pytest.mark.parametrize(
    ("written", "place"),
    [
        ("energys * share / 100", Place("m.yaml", 14, 19, 26)),
        ('"energys * share / 100"', Place("m.yaml", 14, 20, 27)),
    ],
)
def test_a_flaw_is_found_inside_plain_and_quoted_formulas(written: str, place: Place) -> None:
    assert problems_of(("energy * share / 100", written)) == [("X102", place)]


def test_text_over_several_lines_keeps_the_place_of_its_beginning() -> None:
    change = (
        "stem: A plan of {energy} takes {share}",
        "stem: >-\n  A plan of {energy} takes {shares}",
    )
    [(code, place)] = problems_of(change)
    assert code == "X107"
    assert place is not None
    assert (place.line, place.column) in ((15, 7), (16, 3))


def test_plain_text_that_goes_on_on_the_next_line_keeps_its_beginning() -> None:
    change = ("How much fat is that?", "How much fat\n  is that, with {shares}?")
    [(code, place)] = problems_of(change)
    assert code == "X107"
    assert place is not None
    assert (place.line, place.column) == (15, 7)


def test_a_file_that_is_no_yaml_gives_no_model() -> None:
    loaded = load_item_models({"m.yaml": "a: [", "n.yaml": "applicant: a"})
    assert loaded.models == ()
    assert not loaded.is_sound


def test_the_second_model_of_a_name_is_left_out() -> None:
    loaded = load_item_models({"m.yaml": GOOD, "n.yaml": GOOD})
    assert len(loaded.models) == 1
    assert [problem.code for problem in loaded.problems] == ["X111"]
