from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.electrical.sharing import CellTable, SharedCells, share_discharge
from packdesign.foundation.errors import OutOfRangeError

SOC = np.linspace(0, 1, 201)
LINE = CellTable(ocv_v=3.0 + 1.2 * SOC, ohm=np.full(201, 0.03))


def _cells(shape, *, table=LINE, capacity=2.5, factor=1.0, soc=1.0) -> SharedCells:
    return SharedCells(
        table=table,
        capacity_ah=np.broadcast_to(np.asarray(capacity, dtype=float), shape).copy(),
        resistance_factor=np.broadcast_to(np.asarray(factor, dtype=float), shape).copy(),
        soc=np.broadcast_to(np.asarray(soc, dtype=float), shape).copy(),
    )


def _run(cells, *, amps=5.0, seconds=7200.0, cutoff=3.0, **more):
    return share_discharge(
        cells,
        more.pop("network", PackNetwork()),
        duration_s=np.array([seconds]),
        current_a=np.array([amps]),
        cutoff_v=cutoff,
        **more,
    )


def test_like_cells_share_evenly_and_end_by_ohms_law():
    # 2.5 A each: the cut-off of 3.3 V is met at an open-circuit voltage of 3.375 V.
    run = _run(_cells((1, 2, 2)), cutoff=3.3)
    assert run.soc[0] == pytest.approx((3.375 - 3.0) / 1.2, abs=1e-4)
    assert run.delivered_ah[0] == pytest.approx(5.0 * (1 - 0.3125), abs=1e-3)
    assert run.largest_share[0] == pytest.approx(1.0)


def test_charge_given_is_charge_taken_from_every_group():
    generator = np.random.default_rng(2)
    cells = _cells((6, 3, 3), capacity=generator.uniform(2.0, 3.0, (6, 3, 3)), factor=0.9, soc=0.95)
    run = _run(cells, network=PackNetwork(strip_ohm=1e-3, joint_ohm=5e-4), amps=7.0)
    taken = np.sum((cells.soc - run.soc) * cells.capacity_ah, axis=2)
    np.testing.assert_allclose(taken, np.repeat(run.delivered_ah[:, None], 3, axis=1), rtol=1e-9)


def test_the_weakest_group_ends_it():
    capacity = np.full((1, 4, 1), 2.5)
    capacity[0, 2] = 2.2
    run = _run(_cells((1, 4, 1), capacity=capacity), amps=2.5)
    assert run.ended_by_group[0] == 2
    alone = _run(_cells((1, 1, 1), capacity=2.2), amps=2.5)
    assert run.end_s[0] == pytest.approx(alone.end_s[0])


def test_a_demand_that_is_over_first_ends_nothing():
    run = _run(_cells((2, 1, 1)), amps=1.0, seconds=600.0)
    np.testing.assert_array_equal(run.ended_by_group, [-1, -1])
    np.testing.assert_allclose(run.end_s, 600.0)
    np.testing.assert_allclose(run.delivered_ah, 1 / 6)


def test_two_unlike_cells_follow_the_exact_exchange():
    # Straight-line voltage: the difference of charge obeys one linear equation, here by scipy.
    capacity, ohm, amps = np.array([2.0, 2.6]), np.array([0.045, 0.025]), 4.0

    def rates(_, soc):
        emf = 3.0 + 1.2 * soc
        volts = (np.sum(emf / ohm) - amps) / np.sum(1 / ohm)
        return -(emf - volts) / ohm / capacity / 3600

    wanted = solve_ivp(rates, (0, 1500), [1.0, 0.9], rtol=1e-10, atol=1e-12).y[:, -1]
    cells = _cells(
        (1, 1, 2), capacity=capacity[None, None], factor=ohm[None, None] / 0.03,
        soc=np.array([[[1.0, 0.9]]]),
    )  # fmt: skip
    found = _run(cells, amps=amps, seconds=1500.0, cutoff=2.0)
    np.testing.assert_allclose(found.soc[0, 0], wanted, atol=2e-5)


def test_the_step_does_not_decide_the_answer():
    curve = CellTable(
        ocv_v=3.0 + 0.9 * SOC + 0.3 * SOC**6 - 0.5 * np.exp(-30 * SOC), ohm=0.03 + 0.05 * (1 - SOC)
    )
    cells = _cells((1, 2, 3), table=curve, factor=np.array([0.8, 1.0, 1.3]))
    fine = _run(cells, amps=6.0, longest_step_s=1.0)
    coarse = _run(cells, amps=6.0, longest_step_s=40.0)
    assert coarse.end_s[0] == pytest.approx(fine.end_s[0], rel=2e-3)
    np.testing.assert_allclose(coarse.soc, fine.soc, atol=3e-3)


def test_unlike_resistances_even_out_over_a_long_discharge():
    # The stronger cell gives more at first and less later, for its charge runs ahead.
    cells = _cells((1, 1, 2), factor=np.array([[[1.0, 1.6]]]))
    run = _run(cells, amps=5.0, keeps_currents=True, cutoff=3.2)
    first, last = run.cell_a[0, 0, 0], run.cell_a[-2, 0, 0]
    assert first[0] > first[1]
    assert first[0] - first[1] > 2 * abs(last[0] - last[1])
    assert run.cell_a.shape[0] == run.time_s.shape[0]
    assert 1.15 < run.largest_share[0] < 1.25


def test_a_pack_that_starts_at_its_cut_off_ends_at_once():
    run = _run(_cells((1, 1, 1), soc=0.0), amps=5.0)
    assert (run.end_s[0], run.delivered_ah[0], run.ended_by_group[0]) == (0.0, 0.0, 0)


def test_packs_end_one_by_one():
    factor = np.array([1.0, 4.0]).reshape(2, 1, 1)
    run = _run(_cells((2, 1, 1), factor=factor), amps=4.0, cutoff=3.3)
    assert run.end_s[1] < run.end_s[0]
    alone = _run(_cells((1, 1, 1), factor=4.0), amps=4.0, cutoff=3.3)
    assert run.end_s[1] == pytest.approx(alone.end_s[0])
    assert run.soc[1, 0, 0] == pytest.approx(alone.soc[0, 0, 0])


def test_what_makes_no_sense_is_refused():
    with pytest.raises(OutOfRangeError, match=r"\(k,\) or \(series"):
        CellTable(ocv_v=np.zeros(3), ohm=np.ones(4))
    with pytest.raises(OutOfRangeError, match="2 points of charge"):
        CellTable(ocv_v=np.ones(3), ohm=np.zeros(3))
    with pytest.raises(OutOfRangeError, match="soc must lie"):
        _cells((1, 1, 1), soc=1.2)
    with pytest.raises(OutOfRangeError, match="capacities and resistance"):
        _cells((1, 1, 1), capacity=0.0)
    with pytest.raises(OutOfRangeError, match="packs, series, parallel"):
        SharedCells(
            table=LINE, capacity_ah=np.ones(2), resistance_factor=np.ones(2), soc=np.ones(2)
        )
    with pytest.raises(OutOfRangeError, match="longer than 0 s"):
        _run(_cells((1, 1, 1)), seconds=0.0)
    with pytest.raises(OutOfRangeError, match="as many currents"):
        share_discharge(
            _cells((1, 1, 1)),
            PackNetwork(),
            duration_s=np.array([]),
            current_a=np.array([]),
            cutoff_v=3.0,
        )
