"""Projects that textbooks work through, with their tables.

Reliable Construction: Hillier and Lieberman, "Introduction to Operations Research", chapter on
project management with PERT/CPM; Milwaukee Paper: Heizer and Render, "Operations Management",
chapter on project management. Both from memory; the books round z to two places.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import pytest

from comity.core.plan.critical_path import chance_by, critical_path
from comity.core.plan.network import After, Duration, Network, Step
from comity.core.plan.sampling import mean_of, variance_of
from comity.core.plan.simulating import draw, simulate

Project = dict[str, tuple[tuple[float, float, float], str]]

RELIABLE: Final[Project] = {
    "A": ((1, 2, 3), ""),
    "B": ((2, 3.5, 8), "A"),
    "C": ((6, 9, 18), "B"),
    "D": ((4, 5.5, 10), "C"),
    "E": ((1, 4.5, 5), "C"),
    "F": ((4, 4, 10), "E"),
    "G": ((5, 6.5, 11), "D"),
    "H": ((5, 8, 17), "EG"),
    "I": ((3, 7.5, 9), "C"),
    "J": ((3, 9, 9), "FI"),
    "K": ((4, 4, 4), "J"),
    "L": ((1, 5.5, 7), "J"),
    "M": ((1, 2, 3), "H"),
    "N": ((5, 5.5, 9), "KL"),
}
MILWAUKEE: Final[Project] = {
    "A": ((1, 2, 3), ""),
    "B": ((2, 3, 4), ""),
    "C": ((1, 2, 3), "A"),
    "D": ((2, 4, 6), "AB"),
    "E": ((1, 4, 7), "C"),
    "F": ((1, 2, 9), "C"),
    "G": ((3, 4, 11), "DE"),
    "H": ((1, 2, 3), "FG"),
}
HALF_WEEKS: Final = 2
"""Reliable Construction has durations of half weeks; our days are whole."""


def _before(project: Project) -> dict[str, tuple[str, ...]]:
    return {name: tuple(before) for name, (_days, before) in project.items()}


def _expected(project: Project) -> dict[str, float]:
    return {name: (a + 4 * m + b) / 6 for name, ((a, m, b), _before) in project.items()}


def _critical(project: Project) -> list[str]:
    times = critical_path(_expected(project), _before(project))
    return [name for name in project if times[name].slack == pytest.approx(0)]


def _variance(project: Project) -> float:
    return sum(
        ((project[name][0][2] - project[name][0][0]) / 6) ** 2 for name in _critical(project)
    )


@pytest.mark.parametrize(
    ("project", "path", "weeks"),
    [(RELIABLE, "ABCEFJLN", 44), (MILWAUKEE, "ACEGH", 15)],
    ids=["Reliable Construction", "Milwaukee Paper"],
)
def test_the_critical_path_is_the_books(project: Project, path: str, weeks: int) -> None:
    times = critical_path(_expected(project), _before(project))
    assert "".join(_critical(project)) == path
    assert max(each.early_finish for each in times.values()) == pytest.approx(weeks)


def test_the_slacks_of_milwaukee_paper_are_the_books() -> None:
    times = critical_path(_expected(MILWAUKEE), _before(MILWAUKEE))
    slacks = {name: round(each.slack, 9) for name, each in times.items()}
    assert slacks == {"A": 0, "B": 1, "C": 0, "D": 1, "E": 0, "F": 6, "G": 0, "H": 0}


def test_the_variance_and_the_chance_of_47_weeks_are_the_books() -> None:
    assert _variance(RELIABLE) == pytest.approx(9)
    assert chance_by(47, mean=44, variance=9) == pytest.approx(0.8413, abs=5e-5)


def test_the_chance_of_16_weeks_differs_from_the_book_by_its_rounding_only() -> None:
    assert _variance(MILWAUKEE) == pytest.approx(3.11, abs=5e-3)
    assert chance_by(16, mean=15, variance=_variance(MILWAUKEE)) == pytest.approx(0.7157, abs=2e-3)


def _network(project: Project) -> Network:
    steps = []
    for name, ((a, m, b), before) in project.items():
        least, likely, most = (round(HALF_WEEKS * each) for each in (a, m, b))
        after = tuple(After(each) for each in before)
        steps.append(Step(name, name, "builder", Duration(least, most, likely), after=after))
    return Network.of(tuple(steps))


def test_simulation_tells_that_the_normal_law_is_too_hopeful() -> None:
    """A simulation of the beta-PERT law gives 0.816 where the normal law gives 0.841."""
    network = _network(RELIABLE)
    futures = simulate(network, draw(network, 100_000, np.random.default_rng(20261125)))
    last = np.maximum(futures.ends["M"], futures.ends["N"])
    # Durations are rounded to half weeks: half a unit of the limit belongs to either side.
    chance = (np.mean(last <= HALF_WEEKS * 47) + np.mean(last < HALF_WEEKS * 47)) / 2
    assert chance == pytest.approx(0.816, abs=0.01)


def test_three_points_have_the_textbook_mean_and_variance() -> None:
    duration = Duration(2, 14, 5)
    assert mean_of(duration) == 6
    assert variance_of(duration) == 4
