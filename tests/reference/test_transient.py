"""The coupled transient against closed forms, another solver, and conservation of energy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Decay, Drive, RampShape
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.transient import running_state, simulate, simulate_start
from packdesign.engineering.electrical.source import PackSource

PACK = PackSource(
    open_circuit_v=11.1, instant_ohm=0.12, rc_ohm=(0.03, 0.05), rc_time_s=(1.0, 20.0), full_v=12.6
)
GEARED = MotorCase(
    resistance_ohm=0.8, torque_constant_nm_per_a=0.01, no_load_a=0.3, gear_ratio=19,
    gear_efficiency_fraction=0.7, inductance_h=300e-6, rotor_inertia_kg_m2=1.5e-6,
)  # fmt: skip
TOOL = Machine(
    motor=GEARED, inertia_kg_m2=2e-3, load=LoadTorque(constant_nm=0.3, break_away_nm=0.6)
)
FED = Circuit(source=PACK, wiring_ohm=0.02, capacitor_f=470e-6, rails_w=2.0, rails_a=0.05)


@pytest.mark.parametrize("inductance_h", [50e-6, 2e-3])
def test_step_response_of_a_motor_with_inductance_and_inertia(inductance_h: float) -> None:
    """Closed form of V = L i' + R i + k w, J w' = k i: two exponentials (any controls text)."""
    volts, ohm, constant, inertia = 12.0, 1.0, 0.02, 2e-5
    motor = MotorCase(
        resistance_ohm=ohm, torque_constant_nm_per_a=constant, no_load_a=0.0,
        inductance_h=inductance_h, rotor_inertia_kg_m2=inertia,
    )  # fmt: skip
    result = simulate_start(
        circuit=Circuit(source=PackSource(open_circuit_v=volts, instant_ohm=0)),
        machine=Machine(motor=motor),
        drive=Drive(),
        hold_s=0.2,
        relative_tolerance=1e-8,
    )
    middle = ohm / (2 * inductance_h)
    spread = np.sqrt(middle**2 - constant**2 / (inductance_h * inertia))
    slow, fast = -middle + spread, -middle - spread
    time = result.time_s
    current = volts / inductance_h * (np.exp(slow * time) - np.exp(fast * time)) / (slow - fast)
    ratio = (slow * np.exp(fast * time) - fast * np.exp(slow * time)) / (slow - fast)
    speed = volts / constant * (1 - ratio)
    np.testing.assert_allclose(result.motor_a, current, atol=1e-5 * volts / ohm)
    np.testing.assert_allclose(result.speed_rad_per_s, speed, atol=1e-5 * volts / constant)


def test_start_without_inductance_is_one_exponential_with_the_mechanical_time_constant() -> None:
    """i = V / (R + Rs) exp(-t / tau), tau = (R + Rs) J / k2: the pack's resistance counts too."""
    motor = MotorCase(
        resistance_ohm=0.8, torque_constant_nm_per_a=0.02, no_load_a=0.0, rotor_inertia_kg_m2=2e-5
    )
    result = simulate_start(
        circuit=Circuit(source=PackSource(open_circuit_v=12, instant_ohm=0.2)),
        machine=Machine(motor=motor),
        drive=Drive(),
    )
    expected = 12.0 * np.exp(-result.time_s / (1.0 * 2e-5 / 0.02**2))
    np.testing.assert_allclose(result.pack_a, expected, atol=2e-4 * 12)
    assert result.lowest_bus_v == pytest.approx(12 - 0.2 * 12)
    assert result.lowest_bus_time_s == 0


def test_a_general_solution_with_tightened_tolerance_agrees() -> None:
    """The same machine written out anew as plain equations, Radau at 1e-10."""
    drive = Drive(duty=0.9, ramp_s=0.3, driver_ohm=0.03)
    machine = replace(TOOL, load=LoadTorque(constant_nm=0.3))
    result = simulate_start(circuit=FED, machine=machine, drive=drive, hold_s=0.5)
    k, gear, eta = 0.01, 19.0, 0.7
    inertia = 1.5e-6 + 2e-3 / (gear**2 * eta)
    rest = 1e-3 * 11.1 / k

    def rates(time: float, state: np.ndarray) -> list[float]:
        speed, current, bus, slow1, slow2 = state
        duty = 0.9 * min(time / 0.3, 1.0)
        pack = (11.1 - slow1 - slow2 - bus) / 0.14
        brake = (k * 0.3 + 0.3 / (gear * eta)) * np.tanh(speed / rest)
        return [
            (k * current - brake) / inertia,
            (duty * bus - 0.83 * current - k * speed) / 300e-6,
            (pack - duty * current - 0.05 - 2.0 / bus) / 470e-6,
            (pack * 0.03 - slow1) / 1.0,
            (pack * 0.05 - slow2) / 20.0,
        ]

    known = 11.1 - 0.22 * 0.05
    bus = (known + np.sqrt(known**2 - 4 * 0.22 * 2.0)) / 2
    pack = 0.05 + 2.0 / bus
    begin = [0, 0, bus, pack * 0.03, pack * 0.05]
    first = solve_ivp(rates, (0, 0.3), begin, method="Radau", rtol=1e-10, atol=1e-12)
    then = solve_ivp(rates, (0.3, 0.8), first.y[:, -1], method="Radau", rtol=1e-10, atol=1e-12)
    joined = np.hstack([first.y, then.y])
    assert result.speed_rad_per_s[-1] == pytest.approx(then.y[0, -1], rel=1e-4)
    assert result.motor.peak_a == pytest.approx(np.max(joined[1]), rel=1e-3)
    assert result.lowest_bus_v == pytest.approx(np.min(joined[2]), rel=1e-4)


CASES = [
    (inductance, capacitor, limit, decay, shape)
    for inductance in (None, 300e-6)
    for capacitor in (0.0, 470e-6)
    for limit in (None, 8.0)
    for decay in Decay
    for shape in RampShape
]


@pytest.mark.parametrize(("inductance", "capacitor", "limit", "decay", "shape"), CASES)
def test_what_leaves_the_pack_is_heat_work_and_stored_energy(
    inductance: float | None, capacitor: float, limit: float | None, decay: Decay, shape: RampShape
) -> None:
    """Start, run, brake and reverse: the sum is right within 0.1 %."""
    machine = replace(TOOL, motor=replace(GEARED, inductance_h=inductance), count=2)
    circuit = replace(FED, capacitor_f=capacitor)
    drive = Drive(
        duty=0.9, ramp_s=0.2, shape=shape, decay=decay, current_limit_a=limit, driver_ohm=0.03
    )
    start = simulate_start(circuit=circuit, machine=machine, drive=drive, hold_s=0.2)
    assert start.energy.error_fraction < 1e-3
    assert start.energy.work_j > 0
    back = simulate(
        circuit=circuit, machine=machine, drive=drive, profile=drive.reversing(hold_s=0.2),
        start_state=running_state(circuit=circuit, machine=machine, drive=drive),
    )  # fmt: skip
    assert back.energy.error_fraction < 1e-3
    assert min(back.energy.gear_heat_j, back.energy.friction_heat_j, back.energy.work_j) >= 0


@settings(max_examples=15, deadline=None)
@given(
    ramp_s=st.floats(0.01, 0.6),
    factor=st.floats(1.05, 3.0),
    ohm=st.floats(0.3, 3.0),
    inertia=st.floats(2e-4, 5e-3),
    load_nm=st.floats(0.0, 0.4),
)
def test_a_slower_ramp_never_raises_the_peak(
    ramp_s: float, factor: float, ohm: float, inertia: float, load_nm: float
) -> None:
    machine = Machine(
        motor=replace(GEARED, resistance_ohm=ohm, inductance_h=None),
        inertia_kg_m2=inertia,
        load=LoadTorque(constant_nm=load_nm),
    )
    circuit = replace(FED, capacitor_f=0.0)
    quick, slow = (
        simulate_start(circuit=circuit, machine=machine, drive=Drive(duty=0.9, ramp_s=seconds))
        for seconds in (ramp_s, ramp_s * factor)
    )
    assert slow.motor.peak_a <= quick.motor.peak_a * (1 + 1e-3)
    assert slow.wire.peak_a <= quick.wire.peak_a * (1 + 1e-3)


@settings(max_examples=15, deadline=None)
@given(
    instant_ohm=st.floats(0.02, 0.5),
    factor=st.floats(1.05, 3.0),
    ramp_s=st.floats(0.0, 0.5),
    rails_w=st.floats(0.0, 5.0),
)
def test_a_weaker_pack_never_lowers_the_sag(
    instant_ohm: float, factor: float, ramp_s: float, rails_w: float
) -> None:
    machine = replace(TOOL, motor=replace(GEARED, inductance_h=None))
    strong, weak = (
        simulate_start(
            circuit=Circuit(
                source=replace(PACK, instant_ohm=instant_ohm * weaker), rails_w=rails_w
            ),
            machine=machine,
            drive=Drive(duty=0.9, ramp_s=ramp_s),
        )
        for weaker in (1.0, factor)
    )
    assert weak.lowest_bus_v <= strong.lowest_bus_v * (1 + 1e-4)
