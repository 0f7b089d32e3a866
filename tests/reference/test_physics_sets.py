"""The physics engine against PyBaMM's own use of the same set, and the scaling of sets to cells."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.physics_engine import (
    PHYSICS_SETS,
    physics_set_for,
    run_pack_physics,
)
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import UnknownNameError

WELL_COOLED = ThermalPath(
    cell_to_surface_w_per_k=500.0, surface_to_air_w_per_k=500.0, surface_j_per_k=1000.0
)
ROOM = Conditions(ambient_degc=25.0, start_degc=25.0, cutoff_v=2.5)


def demand(current_a: float, power_w: float) -> Demand:
    return Demand(
        duration_s=np.array([7200.0]),
        current_a=np.array([current_a]),
        power_w=np.array([power_w]),
        label=("hold",),
    )


def pack(part_number: str, series: int = 1, parallel: int = 1, path_ohm: float = 0.0) -> PackModel:
    return PackModel(
        cell=model_from_datasheet(load_cells().find(part_number)),
        series=series,
        parallel=parallel,
        path_ohm=path_ohm,
        thermal=WELL_COOLED,
    )


def plain(name: str, *, current_a: float):  # type: ignore[no-untyped-def]
    import pybamm

    values = pybamm.ParameterValues(name)
    values["Current function [A]"] = current_a
    values["Lower voltage cut-off [V]"] = 2.5
    model = pybamm.lithium_ion.SPMe()
    return pybamm.Simulation(
        model, parameter_values=values, solver=pybamm.IDAKLUSolver(rtol=1e-6, atol=1e-6)
    ).solve([0, 7200], initial_soc=1.0)


@pytest.mark.parametrize(
    ("part_number", "name"),
    [
        ("INR21700-M50", "Chen2020"),
        ("ANR26650M1-B", "Prada2013"),
        ("SLPB75106100", "Ecker2015"),
    ],
)
def test_one_well_cooled_cell_is_pybamms_own_cell(part_number: str, name: str) -> None:
    cell = load_cells().find(part_number)
    assert physics_set_for(cell) == name
    one = pack(part_number)
    set_ah = next(each.capacity_ah for each in PHYSICS_SETS if each.name == name)
    trace = run_pack_physics(one, demand(one.capacity_ah, 0.0), ROOM, cell)
    own = plain(name, current_a=set_ah)
    assert trace.ends_by is EndReason.CUTOFF
    assert trace.time_s[-1] == pytest.approx(own.t[-1], rel=2e-3)
    time_s = np.linspace(10.0, 0.95 * own.t[-1], 50)
    apart_v = np.interp(time_s, trace.time_s, trace.voltage_v) - own["Voltage [V]"](time_s)
    assert np.max(np.abs(apart_v)) < 0.005


def test_pack_is_cells_in_series_and_parallel_behind_its_path() -> None:
    cell = load_cells().find("INR21700-M50")
    one = run_pack_physics(pack("INR21700-M50"), demand(5.0, 0.0), ROOM, cell)
    many = run_pack_physics(pack("INR21700-M50", 3, 2, 0.02), demand(10.0, 0.0), ROOM, cell)
    assert many.time_s[-1] == pytest.approx(one.time_s[-1], rel=1e-3)
    middle = np.interp(1800.0, many.time_s, many.voltage_v)
    assert middle == pytest.approx(
        3 * np.interp(1800.0, one.time_s, one.voltage_v) - 0.02 * 10.0, abs=0.003
    )


def test_a_surface_in_still_air_settles_between_two_steady_losses() -> None:
    cell = load_cells().find("INR21700-M50")
    still = ThermalPath(
        cell_to_surface_w_per_k=2.0,
        surface_to_air_w_per_k=0.04,
        surface_j_per_k=20.0,
        buoyant_fraction=0.6,
    )

    def peak_degc(thermal: ThermalPath) -> float:
        warm = replace(pack("INR21700-M50"), thermal=thermal)
        return float(np.max(run_pack_physics(warm, demand(7.0, 0.0), ROOM, cell).surface_degc))

    peak = peak_degc(still)
    linear, strongest = peak_degc(still.frozen(15.0)), peak_degc(still.frozen(peak - 25.0))
    assert strongest + 0.1 < peak < linear - 0.1


def test_power_is_what_was_asked_for() -> None:
    cell = load_cells().find("INR21700-M50")
    trace = run_pack_physics(pack("INR21700-M50", 2, 1), demand(0.5, 20.0), ROOM, cell)
    assert trace.voltage_v * (trace.current_a - 0.5) == pytest.approx(20.0, rel=1e-3)


def test_cell_without_a_set_is_refused_with_what_there_is() -> None:
    cell = load_cells().find("INR18650-30Q")
    assert physics_set_for(cell) is None
    with pytest.raises(UnknownNameError, match="no physics set for a cell named"):
        run_pack_physics(pack("INR18650-30Q"), demand(3.0, 0.0), ROOM, cell)
