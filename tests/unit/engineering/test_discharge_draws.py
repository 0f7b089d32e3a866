"""Draws and ranks of the bands: those of scipy.stats, number for number."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc

from packdesign.engineering.discharge.draws import average_ranks, normal_hypercube


@pytest.mark.parametrize(("samples", "inputs", "seed"), [(20, 8, 0), (200, 8, 1), (33, 3, 7)])
def test_the_draws_are_those_of_scipy(samples: int, inputs: int, seed: int) -> None:
    uniform = qmc.LatinHypercube(d=inputs, rng=np.random.default_rng(seed)).random(samples)
    drawn = normal_hypercube(samples, inputs=inputs, seed=seed)
    np.testing.assert_allclose(drawn, stats.norm.ppf(uniform), rtol=1e-13)


def test_every_share_of_the_normal_distribution_is_drawn_once() -> None:
    drawn = normal_hypercube(50, inputs=4, seed=3)
    share = np.floor(stats.norm.cdf(drawn) * 50)
    np.testing.assert_array_equal(np.sort(share, axis=0), np.arange(50.0)[:, None] + np.zeros(4))


def test_the_ranks_are_those_of_scipy_with_equal_values_too() -> None:
    values = np.round(np.random.default_rng(5).normal(size=(60, 4)), 1)
    np.testing.assert_array_equal(average_ranks(values), stats.rankdata(values, axis=0))
