"""Packs of unlike cells against the fast engine, Kirchhoff's laws and an exact exchange."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel
from packdesign.engineering.discharge.unlike_cells import UnlikeCells, UnlikePoint
from packdesign.engineering.discharge.unlike_run import run_unlike
from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.electrical.spread import MIXED_CELLS, draw_cells
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError

ROOM = Conditions(ambient_degc=22.0, start_degc=22.0)
STRIPS = PackNetwork(joint_ohm=5e-4, strip_ohm=8e-4)
PERFECT = PackNetwork()


def pack_of(series: int, parallel: int, *, path_ohm: float = 0.0) -> PackModel:
    return PackModel(
        cell=model_from_datasheet(load_cells().find("INR18650-30Q")),
        series=series,
        parallel=parallel,
        path_ohm=path_ohm,
        thermal=ThermalPath(
            cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
        ),
    )


def unlike(
    pack: PackModel,
    *,
    capacity: FloatArray | float = 1.0,
    resistance: FloatArray | float = 1.0,
    soc: FloatArray | float = 1.0,
    network: PackNetwork = PERFECT,
    packs: int = 1,
) -> UnlikeCells:
    shape = (packs, pack.series, pack.parallel)
    capacity, resistance, soc = (
        np.broadcast_to(np.asarray(each, dtype=float), shape).copy()
        for each in (capacity, resistance, soc)
    )
    return UnlikeCells(
        pack=pack,
        network=network,
        capacity_factor=capacity,
        resistance_factor=resistance,
        start_soc=soc,
    )


def demand(
    *pieces: tuple[float, float, float], repeats: bool = False, minimum_v: float = 0.0
) -> Demand:
    """Pieces of seconds, amperes and watts."""
    seconds, amperes, watts = np.array(pieces, dtype=float).T
    return Demand(
        duration_s=seconds,
        current_a=amperes,
        power_w=watts,
        label=("piece",) * len(pieces),
        repeats=repeats,
        minimum_v=minimum_v,
    )


@pytest.mark.parametrize(
    "asked",
    [
        pytest.param(demand((9000, 6, 0)), id="current"),
        pytest.param(demand((9000, 0, 90)), id="power"),
        pytest.param(demand((20, 9, 0), (60, 0.5, 12), repeats=True), id="pulses"),
    ],
)
def test_like_cells_run_as_the_fast_engine_runs_them(asked: Demand) -> None:
    pack = pack_of(4, 2, path_ohm=0.02)
    found = run_unlike(unlike(pack, network=PackNetwork(joint_ohm=5e-4)), asked, ROOM)
    alike = run_pack(pack, asked, ROOM).summary()
    assert found.end_s[0] == pytest.approx(alike.run_time_s, rel=3e-4)
    assert found.delivered_ah[0] == pytest.approx(alike.delivered_ah, rel=3e-4)
    assert found.peak_cell_degc[0] == pytest.approx(alike.peak_cell_degc, abs=0.1)
    assert found.reasons == (alike.ends_by,)
    assert found.largest_pack_a[0] == pytest.approx(alike.peak_current_a, rel=1e-3)
    assert found.largest_cell_a[0] == pytest.approx(alike.peak_current_a / 2, rel=1e-3)


def test_the_weakest_of_a_string_ends_it_as_it_would_alone() -> None:
    """In series all carry the same, whatever the others are."""
    pack = pack_of(4, 1)
    capacity = np.array([1.0, 1.02, 0.9, 0.97]).reshape(1, 4, 1)
    asked = demand((9000, 3, 0))
    found = run_unlike(unlike(pack, capacity=capacity), asked, ROOM)
    weak = replace(pack_of(1, 1), cell=pack.cell.aged(capacity_fraction=0.9, resistance_factor=1.0))
    alone_s = run_pack(weak, asked, ROOM).summary().run_time_s
    assert found.end_s[0] == pytest.approx(alone_s, rel=3e-4)
    assert (found.group[0], found.position[0]) == (2, 0)
    assert found.reasons == (EndReason.CUTOFF,)


def test_a_cell_twice_as_large_is_two_cells() -> None:
    asked = demand((9000, 9, 0))
    double = unlike(
        pack_of(1, 2), capacity=np.array([[[2.0, 1.0]]]), resistance=np.array([[[0.5, 1.0]]])
    )
    found = run_unlike(double, asked, ROOM)
    three = run_unlike(unlike(pack_of(1, 3)), asked, ROOM)
    # its surface and its heat are those of one cell, so it gets warmer than two
    assert found.end_s[0] == pytest.approx(three.end_s[0], rel=0.02)
    assert found.largest_cell_a[0] == pytest.approx(6.0, rel=0.05)


def test_currents_add_up_and_cells_in_parallel_stand_at_one_voltage() -> None:
    capacity, resistance = draw_cells(MIXED_CELLS, shape=(3, 2, 3), seed=4)
    points: list[UnlikePoint] = []
    cells = unlike(pack_of(2, 3), capacity=capacity, resistance=resistance, packs=3)
    run_unlike(cells, demand((600, 9, 0), (300, 0, 0)), ROOM, watch=points.append)
    for point in points:
        pack_a = np.sum(point.cell_a, axis=2)
        wanted = 9.0 if point.time_s < 600 or point is points[0] else pack_a[0, 0]
        np.testing.assert_allclose(pack_a, wanted, atol=1e-9)
        np.testing.assert_allclose(np.ptp(point.cell_v, axis=2), 0.0, atol=1e-9)
    assert np.max(np.abs(points[-1].cell_a)) > 0.01  # at rest they still even out


def test_charge_given_is_charge_taken_from_every_group() -> None:
    capacity, resistance = draw_cells(MIXED_CELLS, shape=(4, 3, 2), seed=2)
    pack = pack_of(3, 2)
    cells = unlike(
        pack, capacity=capacity, resistance=resistance, soc=0.95, network=STRIPS, packs=4
    )
    found = run_unlike(cells, demand((9000, 0, 60)), ROOM)
    taken = (cells.start_soc - found.soc) * capacity * pack.cell.capacity_ah
    given = np.repeat(found.delivered_ah[:, None], 3, axis=1)
    np.testing.assert_allclose(np.sum(taken, axis=2), given, rtol=1e-6)


def test_each_pack_ends_as_it_would_alone() -> None:
    capacity, resistance = draw_cells(MIXED_CELLS, shape=(3, 2, 2), seed=9)
    pack, asked = pack_of(2, 2), demand((9000, 6, 0))
    together = run_unlike(
        unlike(pack, capacity=capacity, resistance=resistance, packs=3), asked, ROOM
    )
    for k in range(3):
        alone = run_unlike(
            unlike(pack, capacity=capacity[k : k + 1], resistance=resistance[k : k + 1]),
            asked,
            ROOM,
        )
        assert together.end_s[k] == pytest.approx(alone.end_s[0], rel=1e-4)
        assert together.group[k] == alone.group[0]


def test_the_step_does_not_decide_the_answer() -> None:
    capacity, resistance = draw_cells(MIXED_CELLS, shape=(1, 2, 3), seed=5)
    cells = unlike(pack_of(2, 3), capacity=capacity, resistance=resistance, network=STRIPS)
    coarse = run_unlike(cells, demand((9000, 9, 0)), ROOM)
    fine = run_unlike(cells, demand((1, 9, 0), repeats=True), ROOM)
    assert coarse.end_s[0] == pytest.approx(fine.end_s[0], rel=3e-4)
    np.testing.assert_allclose(coarse.soc, fine.soc, atol=1e-3)


def test_two_unlike_cells_follow_the_exact_exchange() -> None:
    """A straight line of voltage and one resistance: one linear equation, here by scipy."""
    line = linear_cell(pack_of(1, 1).cell, ohm=0.03)
    pack = replace(pack_of(1, 2), cell=line)
    capacity, ohm, amps = np.array([0.8, 1.04]), np.array([1.5, 0.8]), 4.0

    def rates(_: float, soc: FloatArray) -> FloatArray:
        emf = 3.0 + 1.2 * soc
        branch = 0.03 * ohm
        volts = (np.sum(emf / branch) - amps) / np.sum(1 / branch)
        return np.asarray(-(emf - volts) / branch / (capacity * line.capacity_ah) / 3600)

    wanted = solve_ivp(rates, (0, 1500), [1.0, 0.9], rtol=1e-10, atol=1e-12).y[:, -1]
    cells = unlike(
        pack,
        capacity=capacity[None, None],
        resistance=ohm[None, None],
        soc=np.array([[[1.0, 0.9]]]),
    )
    found = run_unlike(cells, demand((1500, amps, 0)), ROOM)
    np.testing.assert_allclose(found.soc[0, 0], wanted, atol=5e-4)


def linear_cell(cell: CellModel, *, ohm: float) -> CellModel:
    """A cell whose voltage is a straight line behind one resistance."""
    nothing, ones = np.zeros(SOC_GRID.size), np.ones(TEMPERATURE_GRID_DEGC.size)
    return replace(
        cell,
        ocv_v=3.0 + 1.2 * SOC_GRID,
        ohmic_ohm=ohm,
        charge_transfer_ohm=1e-9,
        rc_ohm=(0.0, 0.0),
        lag_per_a=0.0,
        transfer_rise=nothing,
        rc_rise=nothing,
        ohmic_temperature_factor=ones,
        rc_temperature_factor=ones,
        empty_soc=0 * ones,
    )


def test_what_else_ends_a_pack() -> None:
    pack = pack_of(2, 2)
    over = run_unlike(unlike(pack), demand((600, 1, 0)), ROOM)
    assert (over.reasons, over.group[0]) == ((EndReason.DEMAND_OVER,), -1)
    assert over.end_s[0] == pytest.approx(600.0)
    rail = run_unlike(unlike(pack), demand((9000, 4, 0), minimum_v=7.2), ROOM)
    assert (rail.reasons, rail.group[0]) == ((EndReason.RAIL,), -1)
    beyond = run_unlike(unlike(pack), demand((9000, 0, 5000)), ROOM)
    assert (beyond.reasons, beyond.end_s[0]) == ((EndReason.POWER,), 0.0)
    hot = run_unlike(
        unlike(pack, resistance=np.array([[[1.0, 1.0], [1.0, 3.0]]])),
        demand((9000, 20, 0)),
        replace(ROOM, max_cell_degc=40.0),
    )
    # beside a cell of three times its resistance one carries 15 of the 20 A
    assert (hot.reasons, hot.group[0], hot.position[0]) == ((EndReason.TEMPERATURE,), 1, 0)
    empty = run_unlike(unlike(pack, soc=0.0), demand((9000, 4, 0)), ROOM)
    assert (empty.end_s[0], empty.delivered_ah[0]) == (0.0, 0.0)


def test_cells_that_do_not_make_the_pack_are_refused() -> None:
    pack = pack_of(2, 2)
    ones = np.ones((1, 2, 3))
    with pytest.raises(OutOfRangeError, match="must all be"):
        UnlikeCells(
            pack=pack,
            network=PERFECT,
            capacity_factor=ones,
            resistance_factor=ones,
            start_soc=ones,
        )
    with pytest.raises(OutOfRangeError, match="above 0"):
        unlike(pack, capacity=0.0)
    with pytest.raises(OutOfRangeError, match="from 0 to 1"):
        unlike(pack, soc=1.2)
