from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.exam.calibrating import place_items, priors_from
from comity.core.exam.classical import describe_items, describe_scores, times_longer
from comity.core.exam.classical_options import option_curves, score_groups, scores_on_others
from comity.core.exam.responses import responses_from_table
from comity.core.exam.suspects import Asked, items_to_look_at
from tests.unit.core.exam.psychometrics.samples import drawn, with_gaps

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats

NAN: float = float("nan")
TWENTY = (np.ones(20), np.linspace(-1.5, 1.5, 20))


def test_a_constant_column_has_no_discrimination_rather_than_none_at_all() -> None:
    easy = describe_items(responses_from_table([[1, 0, 1], [1, 1, 0], [1, 1, 1]]))[0]
    assert easy.difficulty.value == 1
    for figure in (easy.item_total, easy.item_rest, easy.biserial):
        assert figure.value is None
        assert figure.reason == "undefined: everyone who saw it was right"


def test_an_item_seen_by_one_person_says_so() -> None:
    once = describe_items(responses_from_table(np.array([[1, 0, 1], [NAN, 1, 0]])))[0]
    assert once.n_answers == 1
    assert once.item_total.reason == "answered by 1 of at least 2 people"


def test_an_item_nobody_saw_has_no_figures() -> None:
    unseen = describe_items(responses_from_table([[NAN, 1], [NAN, 0]]))[0]
    assert (unseen.difficulty.value, unseen.difficulty.reason) == (None, "nobody has answered it")


def test_equal_scores_leave_correlations_and_reliability_undefined() -> None:
    table = responses_from_table([[1, 0], [0, 1]])
    reason = "undefined: everyone has the same score"
    assert describe_items(table)[0].item_total.reason == reason
    assert describe_scores(table).kr20.reason == reason
    assert describe_scores(table).kr21.value is None


def test_figures_of_few_people_carry_a_caution() -> None:
    found = describe_items(drawn(*TWENTY, n_people=12))[5].item_rest
    assert found.value is not None
    assert found.reason == "rests on 12 people; wait for 30"
    assert describe_items(drawn(*TWENTY, n_people=30))[5].item_rest.reason == ""


def test_reliability_needs_people_who_saw_everything() -> None:
    found = describe_scores(responses_from_table([[1, NAN], [NAN, 0]]))
    assert found.n_people == 0
    assert found.mean.reason == found.kr20.reason == "nobody has answered every item"
    one = describe_scores(responses_from_table([[1, 0]]))
    assert one.kr20.reason == "1 people answered every item; reliability needs at least 2"
    single = describe_scores(responses_from_table([[1], [0]]))
    assert single.kr20.reason == "one item has no reliability"


def test_error_of_measurement_follows_from_deviation_and_reliability() -> None:
    found = describe_scores(drawn(*TWENTY, n_people=200))
    assert found.kr20.value is not None
    assert found.deviation.value is not None
    expected = found.deviation.value * (1 - found.kr20.value) ** 0.5
    assert found.standard_error.value == pytest.approx(expected)


@pytest.mark.parametrize("bad", [0.0, 1.0, 1.2])
def test_reliabilities_out_of_range_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match=r"lies between 0 and 1, got"):
        times_longer(0.7, bad)


def test_people_with_equal_scores_are_never_parted() -> None:
    assert score_groups(np.array([3.0, 1.0, 3.0, 3.0, 2.0, 3.0]), 3).tolist() == [2, 0, 2, 2, 0, 2]
    assert score_groups(np.array([]), 3).tolist() == []


def test_option_curves_follow_the_score_on_the_other_items() -> None:
    scores = np.array([[0, 0, 0], [0, 1, 0], [1, 1, 1], [1, 1, 1], [NAN, 1, 1]])
    table = responses_from_table(scores, items=("q", "r", "s"))
    assert scores_on_others(table, "q").tolist() == [0, 0.5, 1, 1, 1]
    key, rival = option_curves(table, "q", ("B", "B", "A", "A", None), n_groups=2)
    assert (key.option, key.n_chosen, key.share) == ("A", 2, 0.5)
    assert (key.by_group, key.n_in_group) == ((0.0, 1.0), (2, 2))
    assert rival.by_group == (1.0, 0.0)


def test_a_group_without_answers_has_no_share() -> None:
    table = responses_from_table([[1, 1], [0, 1]], items=("q", "r"))
    (key, rival) = option_curves(table, "q", ("A", "B"), n_groups=3)
    assert key.by_group == rival.by_group == (None, 0.5, None)


def planted() -> tuple[Floats, list[str | None]]:
    """Return scores of sixty, item 18 with the wrong key, and the options chosen there."""
    scores = drawn(*TWENTY, n_people=60).scores.copy()
    truth = scores[:, 17].copy()
    scores[:, 17] = 1 - truth
    return scores, ["B" if right else "A" for right in truth]


def test_a_planted_wrong_key_comes_first() -> None:
    scores, chosen = planted()
    asked = {"item 18": Asked(("A", "B", "C"), "A", tuple(chosen))}
    found = items_to_look_at(responses_from_table(scores), asked)
    assert (found[0].item, found[0].suspicion) == ("item 18", "key")
    assert found[0].why.endswith("the key 'A'")
    assert ("item 18", "backwards") in {(each.item, each.suspicion) for each in found}
    assert found[-1].why == "fewer than 5 % of 60 people chose 'C'"


def test_items_all_right_or_harder_than_guessing_are_named() -> None:
    scores = drawn(*TWENTY, n_people=12).scores.copy()
    scores[:, 0] = 1
    scores[:, 1] = [1] + [0] * 11
    asked = {"item 2": Asked(("A", "B", "C", "D"), "A", (None,) * 12)}
    found = {each.item: each for each in items_to_look_at(responses_from_table(scores), asked)}
    assert found["item 1"].why == "all 12 answers are right"
    assert found["item 2"].why == "8% are right, fewer than would guess it among 4 options"


def test_nothing_is_suspected_of_nine_answers() -> None:
    scores = drawn(*TWENTY, n_people=9).scores.copy()
    scores[:, 0] = 0
    assert items_to_look_at(responses_from_table(scores)) == ()


def test_a_class_of_twelve_is_told_what_cannot_be_known_yet() -> None:
    found = place_items(drawn(*TWENTY, n_people=12))
    assert found.shown == ()
    assert found.not_known == (
        "how hard 20 of 20 items are on a common scale: each needs 100 answers",
        "how well items tell strong from weak on a common scale: each needs 1000 answers",
    )
    assert found.calibration is not None
    assert found.calibration.converged


def test_no_answers_place_nothing() -> None:
    found = place_items(responses_from_table([[NAN, NAN]]))
    assert (found.calibration, found.not_known) == (None, ("nobody has answered anything yet",))


def test_a_thousand_answers_to_each_item_place_discriminations_too() -> None:
    found = place_items(drawn(*TWENTY, n_people=1000))
    assert found.calibration is not None
    assert found.calibration.model == "2pl"
    assert (len(found.shown), found.not_known) == (20, ())
    gaps = place_items(with_gaps(drawn(*TWENTY, n_people=1000), 0.1))
    assert gaps.calibration is not None
    assert gaps.calibration.model == "rasch"


def test_judged_difficulty_leads_until_there_are_answers() -> None:
    table = with_gaps(drawn(*TWENTY, n_people=3), 0.9)
    judged = {"item 1": 0.9, "item 2": 0.3}
    found = place_items(table, judged).calibration
    assert found is not None
    assert found.parameters.d[0] > found.parameters.d[1]
    priors = priors_from(("item 1", "item 3"), judged)
    assert priors.easiness_mean == pytest.approx([0.5 * np.log(9), 0])
    assert priors.easiness_deviation == pytest.approx([0.75, 1.0])


def test_a_judged_share_that_is_no_share_is_refused() -> None:
    with pytest.raises(ValueError, match=r"between 0 and 1, got 90 for 'q'$"):
        priors_from(("q",), {"q": 90})
