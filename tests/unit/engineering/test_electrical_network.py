"""The split of current: Kirchhoff for all, closed forms where there are any."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.charging.paralleling import JoinSide, levelling
from packdesign.engineering.electrical.network import (
    PackNetwork,
    split_current,
)
from packdesign.engineering.electrical.spread import MIXED_CELLS, SINGLE_BATCH, draw_cells
from packdesign.foundation.errors import OutOfRangeError

counts = st.integers(1, 5)


def _random_cells(packs: int, series: int, parallel: int, seed: int):
    generator = np.random.default_rng(seed)
    shape = (packs, series, parallel)
    return generator.uniform(3.0, 4.2, shape), generator.uniform(0.005, 0.1, shape)


@given(counts, counts, counts, st.integers(0, 99), st.sampled_from([0.0, 2e-4, 5e-3]))
def test_kirchhoff_holds_everywhere(packs, series, parallel, seed, strip):
    emf, ohm = _random_cells(packs, series, parallel, seed)
    asked = np.linspace(-5, 20, packs)
    network = PackNetwork(joint_ohm=3e-4, strip_ohm=strip, positive_position=parallel - 1)
    split = split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=asked)
    np.testing.assert_allclose(
        split.cell_a.sum(axis=2), np.repeat(asked[:, None], series, axis=1), atol=1e-9
    )
    np.testing.assert_allclose(split.cell_v, emf - split.cell_a * ohm, atol=1e-12)


@given(counts, counts, st.integers(0, 99))
def test_power_made_is_power_lost_and_power_given(series, parallel, seed):
    emf, ohm = _random_cells(1, series, parallel, seed)
    network = PackNetwork(joint_ohm=3e-4)
    split = split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=np.array([12.0]))
    made = np.sum(emf * split.cell_a)
    lost = np.sum(split.cell_a**2 * (ohm + 3e-4))
    assert made - lost == pytest.approx(12.0 * split.pack_v[0], rel=1e-9)


def test_two_unequal_cells_share_in_inverse_proportion():
    ohm = np.array([[[0.021, 0.047]]])
    split = split_current(
        PackNetwork(), emf_v=np.full((1, 1, 2), 3.6), cell_ohm=ohm, pack_a=np.array([8.0])
    )
    np.testing.assert_allclose(split.cell_a[0, 0], [8 * 47 / 68, 8 * 21 / 68])
    assert split.pack_v[0] == pytest.approx(3.6 - 8 * 0.021 * 0.047 / 0.068)


def test_two_cells_at_unlike_charge_equalise():
    emf, ohm = np.array([[[4.0, 3.7]]]), np.array([[[0.03, 0.05]]])
    network = PackNetwork(joint_ohm=0.01)
    split = split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=np.zeros(1))
    wanted = levelling(
        JoinSide(rested_v=4.0, resistance_ohm=0.04, capacity_ah=2.5),
        JoinSide(rested_v=3.7, resistance_ohm=0.06, capacity_ah=2.5),
        slope_v_per_soc=1.0,
    ).peak_a
    np.testing.assert_allclose(split.cell_a[0, 0], [wanted, -wanted])
    assert wanted == pytest.approx(3.0)  # 0.3 V over 0.1 ohm


def test_a_resistive_strip_of_two_cells_against_the_closed_form():
    # One group, both leads at position 0: the far cell sees two strips more, both ways.
    ohm, strip, amps = 0.02, 0.002, 10.0
    split = split_current(
        PackNetwork(strip_ohm=strip),
        emf_v=np.full((1, 1, 2), 3.7),
        cell_ohm=np.full((1, 1, 2), ohm),
        pack_a=np.array([amps]),
    )
    far = amps * ohm / (2 * ohm + 2 * strip)
    np.testing.assert_allclose(split.cell_a[0, 0], [amps - far, far])


def test_leads_at_opposite_corners_share_better_than_at_one_end():
    emf, ohm = np.full((1, 1, 4), 3.7), np.full((1, 1, 4), 0.02)
    amps = np.array([20.0])

    def unevenness(position: int) -> float:
        network = PackNetwork(strip_ohm=0.002, positive_position=position)
        return float(np.ptp(split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=amps).cell_a))

    assert unevenness(3) < 0.6 * unevenness(0)


def test_a_nearly_perfect_strip_is_a_perfect_one():
    emf, ohm = _random_cells(3, 3, 4, 5)
    amps = np.array([1.0, 5.0, 9.0])
    ideal = split_current(PackNetwork(), emf_v=emf, cell_ohm=ohm, pack_a=amps)
    nearly = split_current(PackNetwork(strip_ohm=1e-9), emf_v=emf, cell_ohm=ohm, pack_a=amps)
    np.testing.assert_allclose(nearly.cell_a, ideal.cell_a, atol=1e-4)
    np.testing.assert_allclose(nearly.pack_v, ideal.pack_v, atol=1e-6)


def test_many_packs_at_once_equal_one_at_a_time():
    emf, ohm = _random_cells(20, 2, 3, 9)
    amps = np.linspace(0, 30, 20)
    network = PackNetwork(strip_ohm=1e-3, joint_ohm=1e-4)
    together = split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=amps)
    for index in range(20):
        one = slice(index, index + 1)
        alone = split_current(network, emf_v=emf[one], cell_ohm=ohm[one], pack_a=amps[one])
        np.testing.assert_allclose(together.cell_a[one], alone.cell_a, atol=1e-9)


@pytest.mark.parametrize("spread", [SINGLE_BATCH, MIXED_CELLS])
def test_drawn_cells_have_the_spread_of_their_batch(spread):
    capacity, resistance = draw_cells(spread, shape=(2000, 3, 4), seed=4)
    assert np.std(capacity) == pytest.approx(spread.capacity_fraction, rel=0.05)
    assert np.std(resistance) == pytest.approx(spread.resistance_fraction, rel=0.05)
    assert np.mean(resistance) == pytest.approx(1.0, abs=0.002)
    assert np.min(resistance) >= 1 - 3 * spread.resistance_fraction
    again = draw_cells(spread, shape=(2000, 3, 4), seed=4)
    np.testing.assert_array_equal(capacity, again[0])


def test_what_makes_no_sense_is_refused():
    emf, ohm, amps = np.full((1, 1, 2), 3.7), np.full((1, 1, 2), 0.02), np.ones(1)
    with pytest.raises(OutOfRangeError, match="must both be"):
        split_current(PackNetwork(), emf_v=emf, cell_ohm=ohm[:, :, :1], pack_a=amps)
    with pytest.raises(OutOfRangeError, match="cell_ohm must be above 0"):
        split_current(PackNetwork(), emf_v=emf, cell_ohm=ohm * 0, pack_a=amps)
    with pytest.raises(OutOfRangeError, match="lead positions run from 0 to 1"):
        split_current(PackNetwork(positive_position=2), emf_v=emf, cell_ohm=ohm, pack_a=amps)
    with pytest.raises(OutOfRangeError, match="joint_ohm and strip_ohm"):
        PackNetwork(joint_ohm=-1.0)
    with pytest.raises(OutOfRangeError, match="count from 0"):
        PackNetwork(negative_position=-1)
    with pytest.raises(OutOfRangeError, match="must be 1 or more"):
        draw_cells(SINGLE_BATCH, shape=(1, 0, 1), seed=1)
