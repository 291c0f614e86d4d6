"""Times calibration and abilities; run by the bench in a process with one BLAS thread."""

from __future__ import annotations

import json
import sys
from time import perf_counter
from typing import TYPE_CHECKING

import girth
import numpy as np

from comity.core.exam.ability import estimate_eap
from comity.core.exam.irt import ItemParameters, calibrate
from comity.core.exam.responses import responses_from_table
from tests.bench.psychometrics.plain_em import plain_two_pl
from tests.bench.registry import interleaved

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.core.exam.quadrature import Floats

SIZES = {"1000x100": (1000, 100), "5000x200": (5000, 200)}
RASCH_SIZE = (5000, 200)
EAP_SIZE = (10_000, 100)


def drawn(n_people: int, n_items: int) -> tuple[Floats, Floats, Floats]:
    """Return scores of people with normal abilities, and the items' true a and d."""
    rng = np.random.default_rng(2024)
    a = rng.lognormal(0.0, 0.3, n_items)
    d = -a * rng.normal(size=n_items)
    chance = 1 / (1 + np.exp(-(rng.normal(size=(n_people, 1)) * a + d)))
    return (rng.random(chance.shape) < chance).astype(np.float64), a, d


def time_two_pl(size: tuple[int, int], rounds: int) -> dict[str, float]:
    """Return seconds of ours, plain EM and girth, and the errors of the discriminations."""
    scores, a, _ = drawn(*size)
    table = responses_from_table(scores)
    ours, (plain_a, _) = calibrate(table, "2pl"), plain_two_pl(scores)
    seconds = interleaved(
        {"ours": lambda: calibrate(table, "2pl"), "plain": lambda: plain_two_pl(scores)}, rounds
    )
    return seconds | {
        # Once only: a minute at the larger size.
        "girth": _once(lambda: girth.twopl_mml(scores.T.astype(int))),
        "rmse": float(np.sqrt(np.mean((ours.parameters.a - a) ** 2))),
        "rmse_plain": float(np.sqrt(np.mean((plain_a - a) ** 2))),
        "gap": float(np.abs(ours.parameters.a - plain_a).max()),
    }


def time_rasch(rounds: int) -> dict[str, float]:
    """Return seconds of ours and girth with one common discrimination."""
    scores, _, _ = drawn(*RASCH_SIZE)
    table, theirs = responses_from_table(scores), scores.T.astype(int)
    ours = calibrate(table, "1pl").parameters.b
    found = np.asarray(girth.onepl_mml(theirs)["Difficulty"])
    seconds = interleaved(
        {"ours": lambda: calibrate(table, "1pl"), "girth": lambda: girth.onepl_mml(theirs)}, rounds
    )
    rasch = interleaved({"rasch": lambda: calibrate(table, "rasch")}, rounds)
    return seconds | rasch | {"gap": float(np.abs(ours - found).max())}


def time_eap(rounds: int) -> dict[str, float]:
    """Return seconds of ours and girth for posterior means on known items."""
    scores, a, d = drawn(*EAP_SIZE)
    table, theirs = responses_from_table(scores), scores.T.astype(int)
    items = ItemParameters(table.items, a, d)
    # girth's own nodes are coarser than the posteriors; for the comparison it gets finer ones.
    fine = {"quadrature_n": 161, "quadrature_bounds": (-6, 6)}
    found = girth.ability_eap(theirs, -d / a, a, options=fine)
    gap = np.abs(estimate_eap(table, items).theta - found).max()
    seconds = interleaved(
        {
            "ours": lambda: estimate_eap(table, items),
            "girth": lambda: girth.ability_eap(theirs, -d / a, a),
        },
        rounds,
    )
    return seconds | {"gap": float(gap)}


def _once(function: Callable[[], object]) -> float:
    """Return the seconds of one call."""
    start = perf_counter()
    function()
    return perf_counter() - start


def main() -> None:
    """Print the figures of one part as JSON."""
    part, rounds = sys.argv[1], int(sys.argv[2])
    if part in SIZES:
        found = time_two_pl(SIZES[part], rounds)
    else:
        found = {"rasch": time_rasch, "eap": time_eap}[part](rounds)
    print(json.dumps(found))


if __name__ == "__main__":
    main()
