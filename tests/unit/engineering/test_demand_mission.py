"""Missions: pieces that keep charge and heating, shares of time, rails, and what goes wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.engineering.demand.actions import Action, Deed, Standing, act
from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Decay, Drive
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.loads import light_watts
from packdesign.engineering.demand.mission import (
    Driven,
    Mode,
    actions_from_modes,
    demand_of_mission,
)
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.rail_tree import Rail, RailTree
from packdesign.engineering.demand.rails import Regulator, RegulatorKind
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

CIRCUIT = Circuit(source=PackSource(open_circuit_v=11.1, instant_ohm=0.1), wiring_ohm=0.02)
MOTOR = MotorCase(
    resistance_ohm=1.2, torque_constant_nm_per_a=0.0147, no_load_a=0.4, gear_ratio=30,
    gear_efficiency_fraction=0.7, rotor_inertia_kg_m2=7e-6,
)  # fmt: skip
CORER = Driven(
    machine=Machine(
        motor=MOTOR, inertia_kg_m2=1.5e-4, load=LoadTorque(constant_nm=0.9, break_away_nm=1.3)
    ),
    drive=Drive(ramp_s=0.4, current_limit_a=8, decay=Decay.DIODE),
    lowest_v=6.5,
)
BUCK = Regulator(
    name="5 V", kind=RegulatorKind.BUCK, output_v=5, dropout_v=2.0, efficiency_points=((1.0, 0.8),)
)
RAILS = RailTree(
    rails=(Rail(name="5 V", regulator=BUCK),),
    loads=(
        light_watts(name="logic", power_w=0.4, rail="5 V"),
        light_watts(name="lamp", power_w=4.0, rail="5 V", on_fraction=0.5),
    ),
)
START = Action(deed=Deed.START, duration_s=0.8)
HOLD = Action(deed=Deed.HOLD, duration_s=7.0)
REST = Action(deed=Deed.REST, duration_s=2.0)


def test_the_pieces_of_a_start_keep_its_charge_and_its_heating() -> None:
    result = act(
        START, circuit=CIRCUIT, machine=CORER.machine, drive=CORER.drive, before=Standing()
    )
    trace = result.transient
    assert trace is not None
    solved_s = trace.time_s[-1]
    inside = np.cumsum(result.duration_s) <= solved_s + 1e-9
    charge = float(np.sum((result.duration_s * result.current_a)[inside]))
    square = float(np.sum((result.duration_s * result.current_a**2)[inside]))
    assert charge == pytest.approx(float(np.sum(trace.weight_s * trace.pack_a)), rel=1e-3)
    assert square == pytest.approx(float(np.sum(trace.weight_s * trace.pack_a**2)), rel=0.01)
    assert len(result.duration_s) < 40
    assert float(np.sum(result.duration_s)) == pytest.approx(0.8)


def test_a_mission_adds_up() -> None:
    found = demand_of_mission(
        [START, HOLD, REST], circuit=CIRCUIT, driven={"corer": CORER}, rails=RAILS,
        rest_between_uses_s=10,
    )  # fmt: skip
    demand, summary = found.demand, found.summary
    assert demand.period_s == pytest.approx(0.8 + 7 + 2 + 10)
    assert demand.repeats
    assert (demand.minimum_v, demand.minimum_v_device) == (7.0, "5 V")
    holding = demand.current_a[demand.label.index("hold")]
    assert holding == pytest.approx(0.4 + 0.9 / (30 * 0.7 * 0.0147), rel=1e-6)
    resting = demand.current_a[demand.label.index("rest")]
    assert resting == 0
    output_a = (0.4 + 2.0) / 5
    assert demand.power_w[-1] == pytest.approx(
        5 * output_a / BUCK.efficiency_fraction(output_a=output_a)
    )
    assert summary.mean_a < summary.rms_a < summary.piece_peak_a <= summary.transient_peak_a
    assert summary.charge_per_use_ah == pytest.approx(summary.mean_a * 19.8 / 3600)
    assert summary.lowest_bus_v is not None
    assert summary.lowest_bus_v < 11.1
    assert summary.problems == ()


def test_hold_from_rest_starts_first_and_reverse_turns_back() -> None:
    from_rest = demand_of_mission([HOLD], circuit=CIRCUIT, driven={"corer": CORER})
    assert from_rest.deeds[0][2].transient is not None
    back = demand_of_mission(
        [START, Action(deed=Deed.REVERSE, duration_s=2.0), Action(deed=Deed.HOLD, duration_s=1.0)],
        circuit=CIRCUIT, driven={"corer": CORER},
    )  # fmt: skip
    steady = [result.steady for _, _, result in back.deeds]
    assert [point.speed_rad_per_s > 0 for point in steady if point] == [True, False, False]
    assert back.deeds[2][2].transient is None


def test_a_run_up_that_outlasts_its_action_goes_on_in_the_next() -> None:
    heavy = replace(CORER, machine=replace(CORER.machine, inertia_kg_m2=0.5, load=LoadTorque()))
    whole = demand_of_mission(
        [replace(START, duration_s=10.0)], circuit=CIRCUIT, driven={"corer": heavy}
    )
    parts = demand_of_mission(
        [START, replace(HOLD, duration_s=9.2)], circuit=CIRCUIT, driven={"corer": heavy}
    )
    assert parts.summary.charge_per_use_ah == pytest.approx(
        whole.summary.charge_per_use_ah, rel=2e-3
    )
    assert parts.demand.current_a[parts.demand.label.index("hold")] > 2 * 0.4


def test_loads_off_and_a_measured_current() -> None:
    found = demand_of_mission(
        [
            Action(
                deed=Deed.HOLD, duration_s=5, motor_a=3.0, duty=0.5, loads_off=("lamp",),
                label="dig",
            )
        ],
        circuit=CIRCUIT, driven={"corer": CORER}, rails=RAILS,
    )  # fmt: skip
    assert found.demand.current_a.tolist() == [1.5]
    assert found.demand.label == ("dig",)
    assert found.demand.power_w[0] == pytest.approx(
        0.4 / BUCK.efficiency_fraction(output_a=0.4 / 5)
    )


def test_braking_gives_back_only_where_the_bridge_can() -> None:
    stop = Action(deed=Deed.BRAKE, duration_s=1.0)
    spin = replace(CORER, machine=replace(CORER.machine, inertia_kg_m2=0.05, load=LoadTorque()))
    long = replace(START, duration_s=20.0)
    coasting = demand_of_mission([long, stop], circuit=CIRCUIT, driven={"corer": spin})
    assert np.min(coasting.demand.current_a) >= -1e-6
    braking = replace(spin, drive=replace(spin.drive, decay=Decay.SYNCHRONOUS, ramp_down_s=0.5))
    found = demand_of_mission([long, stop], circuit=CIRCUIT, driven={"corer": braking})
    assert np.min(found.demand.current_a) < -0.5
    assert found.summary.highest_bus_v is not None
    assert found.summary.highest_bus_v > 11.1


def test_a_stall_lasts_until_the_timeout() -> None:
    drive = replace(CORER.drive, current_limit_a=None, stall_timeout_s=0.5)
    result = act(
        Action(deed=Deed.STALL, duration_s=2.0), circuit=CIRCUIT, machine=CORER.machine,
        drive=drive, before=Standing(),
    )  # fmt: skip
    assert result.duration_s.tolist() == [0.5, 1.5]
    assert result.current_a[0] == pytest.approx(11.1 / (1.2 + 0.12))
    assert result.current_a[1] == 0


def test_two_machines_add_up_over_their_own_pieces() -> None:
    wheels = replace(CORER, machine=replace(CORER.machine, count=2, load=LoadTorque()))
    driven = {"corer": CORER, "wheels": wheels}
    both = demand_of_mission([START, HOLD], circuit=CIRCUIT, driven=driven)
    one = demand_of_mission([replace(START, machine="corer"), replace(HOLD, machine="corer")],
                            circuit=CIRCUIT, driven=driven)  # fmt: skip
    assert both.demand.period_s == pytest.approx(one.demand.period_s)
    at_end = both.demand.current_a[-1] - one.demand.current_a[-1]
    assert at_end == pytest.approx(2 * 0.4, rel=0.01)


def test_shares_of_time_become_actions() -> None:
    modes = [
        Mode(action=Action(deed=Deed.HOLD, duration_s=1, label="drive"), share_fraction=0.6),
        Mode(action=Action(deed=Deed.REST, duration_s=1), share_fraction=0.4),
    ]
    actions = actions_from_modes(modes, period_s=100)
    assert [action.duration_s for action in actions] == [60.0, 40.0]
    with pytest.raises(OutOfRangeError, match="add up to 1 at most"):
        actions_from_modes([modes[0], modes[0]])


def test_a_device_without_motors_is_only_its_rails() -> None:
    found = demand_of_mission([REST], circuit=CIRCUIT, driven={}, rails=RAILS)
    assert found.demand.current_a.tolist() == [0.0]
    assert found.summary.lowest_bus_v is None
    assert found.summary.mean_a > 0


def test_what_goes_wrong_is_named() -> None:
    stuck = replace(CORER, machine=replace(CORER.machine, load=LoadTorque(constant_nm=50)))
    found = demand_of_mission([HOLD], circuit=CIRCUIT, driven={"corer": stuck})
    assert "cannot turn its load" in found.summary.problems[0]
    assert "breakaway" not in found.summary.problems[0]
    tight = LoadTorque(constant_nm=0.1, break_away_nm=50)
    rusty = replace(CORER, machine=replace(CORER.machine, load=tight))
    found = demand_of_mission([HOLD], circuit=CIRCUIT, driven={"corer": rusty})
    assert "breakaway torque of the motor's load, 50 N*m" in found.summary.problems[0]
    timed = replace(stuck, drive=replace(CORER.drive, stall_timeout_s=0.2))
    found = demand_of_mission([HOLD], circuit=CIRCUIT, driven={"corer": timed})
    assert "the driver let go" in found.summary.problems[0]
    assert found.demand.current_a[-1] == 0


def test_impossible_missions_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="at least one action"):
        demand_of_mission([], circuit=CIRCUIT, driven={})
    with pytest.raises(UnknownNameError, match="no machine named 'corerr'; nearest: corer"):
        demand_of_mission(
            [replace(HOLD, machine="corerr")], circuit=CIRCUIT, driven={"corer": CORER}
        )
    with pytest.raises(OutOfRangeError, match="lasts 0 s"):
        Action(deed=Deed.HOLD, duration_s=0)
    with pytest.raises(OutOfRangeError, match="has duty 80"):
        Action(deed=Deed.HOLD, duration_s=1, duty=80)
    with pytest.raises(OutOfRangeError, match="has repeats 0"):
        Action(deed=Deed.HOLD, duration_s=1, repeats=0)
    flat = Circuit(source=PackSource(open_circuit_v=6.0, instant_ohm=0.1))
    with pytest.raises(OutOfRangeError, match=r"needs 7\.00 V"):
        demand_of_mission([REST], circuit=flat, driven={}, rails=RAILS)
