"""How the stored packings of equal circles in a circle were found: many starts, each polished.

Run once, offline; what it found is in ``circle_positions.csv`` and read by
:mod:`packdesign.engineering.geometry.circle_packing`. Kept so that anyone can find them again.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import NonlinearConstraint, minimize

from packdesign.foundation.errors import OutOfRangeError, SolverError

__all__ = ["search_packing"]

FloatArray = NDArray[np.float64]

_PATIENCE = 25
"""So many disturbances in vain, and the search starts afresh. [-]"""
_NEAR = 3.2
"""Pairs farther apart than this many radii cannot meet during one polish; measured, not proved:
the result is checked over all pairs afterwards."""


def search_packing(
    *, count: int, starts: int, seed: int, stop_ratio: float = 0.0
) -> tuple[float, FloatArray]:
    """Find a tight packing of ``count`` unit circles in a circle.

    Parameters
    ----------
    count : int
        How many circles. [-]
    starts : int
        How many starts: a scattered one, then disturbed ones as long as they lead on. [-]
    seed : int
        Seed of the random numbers. [-]
    stop_ratio : float
        Stop early once the ratio is at or below this. [-]

    Returns
    -------
    tuple of float and array
        Ratio of the outer radius to the radius of one circle [-], and the centres in radii of one
        circle, shape (count, 2). [-]

    Raises
    ------
    OutOfRangeError
        If ``count`` or ``starts`` is below 1.
    SolverError
        If no start led to a packing without overlap.

    Notes
    -----
    Each start spreads the circles by minimising the sum of squared overlaps, then shrinks the outer
    circle under the exact constraints (sequential quadratic programming). The result is an upper
    bound of the true ratio, never a proof.

    Examples
    --------
    Five circles: 1 + sqrt(2 (1 + 1/sqrt(5))) = 2.701302, proved by Graham 1968.

    >>> ratio, centres = search_packing(count=5, starts=4, seed=1)
    >>> round(ratio, 6)
    2.701302
    """
    if count < 1 or starts < 1:
        msg = f"a search needs at least 1 circle and 1 start; got {count} and {starts}"
        raise OutOfRangeError(msg)
    if count == 1:
        return 1.0, np.zeros((1, 2))
    rng = np.random.default_rng(seed)
    best_ratio, best = np.inf, np.zeros((count, 2))
    here_ratio, here, in_vain = np.inf, best, _PATIENCE
    for _ in range(starts):
        is_fresh = in_vain >= _PATIENCE
        guess = _scattered(rng, count=count) if is_fresh else _shaken(rng, here)
        radius = _first_radius(count) * rng.uniform(0.97, 1.06)
        ratio, centres = _polished(_spread(guess, radius=radius))
        if is_fresh or ratio < here_ratio - 1e-9:
            here_ratio, here, in_vain = ratio, centres, 0
        else:
            in_vain += 1
        if here_ratio < best_ratio:
            best_ratio, best = here_ratio, here
        if best_ratio <= stop_ratio:
            break
    if not np.isfinite(best_ratio):
        msg = f"no packing of {count} circles found in {starts} starts; allow more starts"
        raise SolverError(msg)
    return float(best_ratio), best


def _first_radius(count: int) -> float:
    return float(np.sqrt(count / 0.80))


def _scattered(rng: np.random.Generator, *, count: int) -> FloatArray:
    """Random points in the disc."""
    angle = rng.uniform(0, 2 * np.pi, count)
    distance = (_first_radius(count) - 1) * np.sqrt(rng.uniform(0, 1, count))
    return np.column_stack([distance * np.cos(angle), distance * np.sin(angle)])


def _shaken(rng: np.random.Generator, packing: FloatArray) -> FloatArray:
    """Disturb a packing: move one circle anywhere, shake all a little, or some hard."""
    points = packing.copy()
    way = rng.integers(3)
    if way == 0:
        points[rng.integers(len(points))] = _scattered(rng, count=len(points))[0]
    elif way == 1:
        points += rng.normal(0, rng.choice([0.1, 0.2, 0.35]), points.shape)
    else:
        middle = _scattered(rng, count=len(points))[0]
        near = np.hypot(*(points - middle).T) < 2.8
        points[near] += rng.normal(0, 0.7, (int(near.sum()), 2))
    return points


def _spread(guess: FloatArray, *, radius: float) -> FloatArray:
    first, second = np.triu_indices(len(guess), 1)

    def energy(flat: FloatArray) -> tuple[float, FloatArray]:
        points = flat.reshape(-1, 2)
        apart = points[first] - points[second]
        distance = np.maximum(np.hypot(apart[:, 0], apart[:, 1]), 1e-9)
        overlap = np.maximum(2 - distance, 0)
        from_middle = np.maximum(np.hypot(points[:, 0], points[:, 1]), 1e-9)
        outside = np.maximum(from_middle - (radius - 1), 0)
        slope = np.zeros_like(points)
        push = (-2 * overlap / distance)[:, None] * apart
        np.add.at(slope, first, push)
        np.add.at(slope, second, -push)
        slope += (2 * outside / from_middle)[:, None] * points
        return float(overlap @ overlap + outside @ outside), slope.ravel()

    result = minimize(energy, guess.ravel(), jac=True, method="L-BFGS-B", options={"maxiter": 300})
    spread: FloatArray = result.x.reshape(-1, 2)
    return spread


def _polished(points: FloatArray) -> tuple[float, FloatArray]:
    """Shrink the outer circle until the packing is rigid; infinite ratio where circles overlap."""
    count = len(points)
    for _ in range(3):
        first, second = np.triu_indices(count, 1)
        near = np.hypot(*(points[first] - points[second]).T) < _NEAR
        points = _shrunk(points, first[near], second[near])
    first, second = np.triu_indices(count, 1)
    tightest = float(np.min(np.hypot(*(points[first] - points[second]).T)))
    if tightest < 1.9:
        return np.inf, points
    points = points * (2 / tightest)
    return float(np.max(np.hypot(*points.T)) + 1), points


def _shrunk(points: FloatArray, first: NDArray[np.intp], second: NDArray[np.intp]) -> FloatArray:
    count, pairs = len(points), len(first)
    rows = np.arange(pairs)

    def room(flat: FloatArray) -> FloatArray:
        at = flat[:-1].reshape(-1, 2)
        apart = at[first] - at[second]
        inside = (flat[-1] - 1) ** 2 - np.sum(at**2, axis=1)
        room_left: FloatArray = np.concatenate([np.sum(apart**2, axis=1) - 4, inside])
        return room_left

    def slope(flat: FloatArray) -> FloatArray:
        at = flat[:-1].reshape(-1, 2)
        apart = 2 * (at[first] - at[second])
        out = np.zeros((pairs + count, 2 * count + 1))
        for axis in (0, 1):
            out[rows, 2 * first + axis] = apart[:, axis]
            out[rows, 2 * second + axis] = -apart[:, axis]
            out[pairs + np.arange(count), 2 * np.arange(count) + axis] = -2 * at[:, axis]
        out[pairs:, -1] = 2 * (flat[-1] - 1)
        return out

    def outer(flat: FloatArray) -> tuple[float, FloatArray]:
        return float(flat[-1]), goal

    goal = np.zeros(2 * count + 1)
    goal[-1] = 1.0
    begin = np.append(points.ravel(), np.max(np.hypot(*points.T)) + 1)
    result = minimize(
        outer,
        begin,
        jac=True,
        method="SLSQP",
        constraints=NonlinearConstraint(room, 0.0, np.inf, jac=slope),
        options={"maxiter": 120, "ftol": 1e-13},
    )
    shrunk: FloatArray = result.x[:-1].reshape(-1, 2)
    return shrunk
