"""The baseline: EM with SQUAREM in plain NumPy: 61 nodes, complete answers, no errors."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats

NODES = np.linspace(-6, 6, 61)
LOG_WEIGHTS = -0.5 * NODES**2 - np.log(np.exp(-0.5 * NODES**2).sum())
TOLERANCE = 1e-4


def plain_two_pl(scores: Floats) -> tuple[Floats, Floats]:
    """Return a and d."""
    share = scores.mean(axis=0)
    x = np.concatenate((np.ones(share.size), np.log(share / (1 - share))))
    for _ in range(500):
        first = _em(scores, x)
        if np.abs(first - x).max() < TOLERANCE:
            break
        second = _em(scores, first)
        last, bend = first - x, second - 2 * first + x
        length = min(-1.0, -float(np.linalg.norm(last) / np.linalg.norm(bend)))
        x = _em(scores, x - 2 * length * last + length**2 * bend)
    a, d = np.split(first, 2)
    return a, d


def _em(scores: Floats, x: Floats) -> Floats:
    """Return the parameters after one E step and one Newton step."""
    a, d = np.split(x, 2)
    z = np.outer(a, NODES) + d[:, None]
    joint = scores @ z - np.logaddexp(0, z).sum(axis=0) + LOG_WEIGHTS
    joint = np.exp(joint - joint.max(axis=1, keepdims=True))
    joint /= joint.sum(axis=1, keepdims=True)
    right, seen = scores.T @ joint, joint.sum(axis=0)
    p = 1 / (1 + np.exp(-z))
    residual, weight = right - seen * p, seen * p * (1 - p)
    by_a, by_d = residual @ NODES, residual.sum(axis=1)
    aa, ad, dd = weight @ NODES**2, weight @ NODES, weight.sum(axis=1)
    determinant = aa * dd - ad**2
    step_a = (dd * by_a - ad * by_d) / determinant
    step_d = (aa * by_d - ad * by_a) / determinant
    return np.concatenate((a + step_a, d + step_d))
