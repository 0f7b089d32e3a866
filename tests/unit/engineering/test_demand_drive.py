"""Ramps, chopping, bodies, loads and the torque on the hand."""

from __future__ import annotations

import pytest

from packdesign.engineering.demand.circuit import Circuit, Clamp, Machine
from packdesign.engineering.demand.drive import Drive, DutyProfile, RampShape, ramp_for_reaction_s
from packdesign.engineering.demand.inertia import (
    disc_kg_m2,
    ring_kg_m2,
    rod_about_centre_kg_m2,
    rod_about_end_kg_m2,
    tube_kg_m2,
)
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.pwm import ripple_peak_to_peak_a
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError

MOTOR = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.1)
PACK = PackSource(open_circuit_v=12, instant_ohm=0.1)


def test_the_ramp_down_takes_half_the_time_unless_given() -> None:
    assert Drive(ramp_s=0.4).down_s == pytest.approx(0.2)
    assert Drive(ramp_s=0.4, ramp_down_s=0.3).down_s == pytest.approx(0.3)
    assert Drive(ramp_s=0.4).reversing(hold_s=1).end_s == pytest.approx(1.6)


def test_a_soft_start_is_one_stretch_and_a_sharp_ramp_two() -> None:
    assert len(Drive(ramp_s=0.4).starting(hold_s=1).stretches()) == 2
    assert len(Drive(ramp_s=0.4, shape=RampShape.SMOOTH).starting(hold_s=1).stretches()) == 1
    assert len(Drive().starting(hold_s=1).stretches()) == 1


def test_a_reversal_is_cut_where_it_changes_direction() -> None:
    for shape in RampShape:
        stretches = Drive(ramp_s=0.4, shape=shape).reversing(hold_s=1).stretches()
        assert stretches[0][1][-1] == 0.0
        assert stretches[1][0][0] == stretches[0][0][-1] == pytest.approx(0.3)


def test_a_cut_profile_is_off_afterwards() -> None:
    cut = Drive(ramp_s=1.0).starting(hold_s=1).cut_at(time_s=0.5)
    assert cut.end_s == 2.0
    assert cut.duty[-3:] == (0.5, 0.0, 0.0)


@pytest.mark.parametrize(
    ("kind", "message"),
    [
        ({"time_s": (0.0,), "duty": (0.0,)}, "two corners"),
        ({"time_s": (0.0, 1.0, 0.5), "duty": (0.0, 1.0, 1.0)}, "never runs backwards"),
        ({"time_s": (0.0, 1.0), "duty": (0.0, 1.5)}, "between -1 and 1"),
    ],
)
def test_impossible_profiles_are_refused(kind: dict[str, tuple[float, ...]], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        DutyProfile(**kind)


@pytest.mark.parametrize(
    ("kind", "message"),
    [
        ({"duty": 1.2}, "between -1 and 1"),
        ({"ramp_s": -1.0}, "0 or more"),
        ({"current_limit_a": 0.0}, "left out for none"),
        ({"stall_timeout_s": -1.0}, "left out for none"),
    ],
)
def test_impossible_drives_are_refused(kind: dict[str, float], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        Drive(**kind)


def test_chopping() -> None:
    slow = ripple_peak_to_peak_a(duty=0.3, supply_v=12, frequency_hz=2e4, inductance_h=3e-4)
    fast = ripple_peak_to_peak_a(
        duty=0.3, supply_v=12, frequency_hz=2e4, inductance_h=3e-4, fast_decay=True
    )
    assert fast == pytest.approx(2 * slow)
    with pytest.raises(OutOfRangeError, match="between 0 and 1"):
        ripple_peak_to_peak_a(duty=25, supply_v=12, frequency_hz=2e4, inductance_h=3e-4)
    with pytest.raises(OutOfRangeError, match="inductance above 0 H"):
        ripple_peak_to_peak_a(duty=0.3, supply_v=12, frequency_hz=2e4, inductance_h=0)


def test_bodies() -> None:
    assert rod_about_end_kg_m2(mass_kg=1, length_m=1) == pytest.approx(
        4 * rod_about_centre_kg_m2(mass_kg=1, length_m=1)
    )
    thin = tube_kg_m2(mass_kg=1, outer_radius_m=0.1, inner_radius_m=0.1 - 1e-9)
    assert thin == pytest.approx(ring_kg_m2(mass_kg=1, radius_m=0.1))
    full = tube_kg_m2(mass_kg=1, outer_radius_m=0.1, inner_radius_m=0)
    assert full == pytest.approx(disc_kg_m2(mass_kg=1, radius_m=0.1))
    with pytest.raises(OutOfRangeError, match="mass_kg is 0"):
        disc_kg_m2(mass_kg=0, radius_m=1)
    with pytest.raises(OutOfRangeError, match="inner_radius_m is 2"):
        tube_kg_m2(mass_kg=1, outer_radius_m=1, inner_radius_m=2)


def test_load_torque_adds_its_parts() -> None:
    load = LoadTorque(
        constant_nm=1, per_rad_per_s_nm=0.1, per_rad_per_s_squared_nm=0.01, break_away_nm=1.5
    )
    assert load.torque_nm(speed_rad_per_s=-10) == pytest.approx(3)
    assert load.extra_at_rest_nm == pytest.approx(0.5)
    with pytest.raises(OutOfRangeError, match="break_away_nm is -1"):
        LoadTorque(break_away_nm=-1)
    with pytest.raises(OutOfRangeError, match="speed above 0"):
        LoadTorque.square_through(torque_nm=1, speed_rad_per_s=0)


def test_the_ramp_for_the_hand_holds_in_the_transient() -> None:
    """An even run-up in that time twists the hand by the limit, less what the motor lags."""
    machine = Machine(motor=MOTOR, inertia_kg_m2=1e-5)
    speed = MOTOR.no_load_rad_per_s(voltage_v=12)
    ramp_s = ramp_for_reaction_s(
        output_inertia_kg_m2=1e-5, output_speed_rad_per_s=speed, load_torque_nm=0, limit_nm=0.012
    )
    result = simulate_start(
        circuit=Circuit(source=PACK), machine=machine, drive=Drive(ramp_s=ramp_s)
    )
    assert result.peak_hand_nm == pytest.approx(0.012, rel=0.03)


def test_a_ramp_with_nothing_to_spin_or_no_room_is_refused() -> None:
    kind = {"output_speed_rad_per_s": 100.0, "limit_nm": 1.0}
    with pytest.raises(OutOfRangeError, match="must be above 0: give the mass"):
        ramp_for_reaction_s(output_inertia_kg_m2=0, load_torque_nm=0, **kind)
    with pytest.raises(OutOfRangeError, match="no ramp helps"):
        ramp_for_reaction_s(output_inertia_kg_m2=1, load_torque_nm=2, **kind)
    with pytest.raises(OutOfRangeError, match="no run-up to solve"):
        simulate_start(
            circuit=Circuit(source=PACK), machine=Machine(motor=MOTOR), drive=Drive(ramp_s=0.2)
        )


def test_impossible_circuits_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="wiring_ohm is -1"):
        Circuit(source=PACK, wiring_ohm=-1)
    with pytest.raises(OutOfRangeError, match="needs a capacitor"):
        Circuit(source=PACK, accepts_charge=False)
    with pytest.raises(OutOfRangeError, match="without any resistance"):
        Circuit(source=PackSource(open_circuit_v=12, instant_ohm=0), capacitor_f=1e-3)
    with pytest.raises(OutOfRangeError, match="parallel_count is 0"):
        Circuit(source=PACK, parallel_count=0)
    with pytest.raises(OutOfRangeError, match="a clamp needs"):
        Clamp(above_v=13, resistance_ohm=0)
    with pytest.raises(OutOfRangeError, match="count is 0"):
        Machine(motor=MOTOR, count=0)
