"""Pack, wires, driver, motor and load solved together, so that sag limits current and back.

The bridge is taken at its average over one chopping period; the ripple on top of it is in ``pwm``.
The equations are in ``transient_network``, what is read from the traces in ``transient_result``.
"""

from __future__ import annotations

import functools
import math
from bisect import bisect
from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive, DutyProfile
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.demand.steady import steady_point
from packdesign.engineering.demand.transient_network import Instant, Network
from packdesign.engineering.demand.transient_result import EnergyBalance, TransientResult
from packdesign.foundation.errors import OutOfRangeError, SolverError

__all__ = ["resting_state", "running_state", "settling_s", "simulate", "simulate_start"]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)
_STANDING_SHARE: Final = 0.01
"""Below this share of the no-load speed the shaft stands still, for the stall timeout."""
_REMEMBERED: Final = 96
"""Transients kept with their inputs: most changes of a brief leave most of them as they were."""
_SMALLEST_V: Final = 1e-9
_UNDER_POWER_DUTY: Final = 0.02
_RELATIVE_TOLERANCE: Final = 1e-5


def simulate_start(
    *,
    circuit: Circuit,
    machine: Machine,
    drive: Drive,
    hold_s: float | None = None,
    relative_tolerance: float = _RELATIVE_TOLERANCE,
) -> TransientResult:
    """Start the machine from rest with the driver's own ramp.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, capacitor, rails.
    machine : Machine
        Motor and load.
    drive : Drive
        Ramp, limits, resistance.
    hold_s : float or None
        Time after the ramp; None is long enough to settle: five mechanical time constants. [s]
    relative_tolerance : float
        Tolerance of the solver. [-]

    Returns
    -------
    TransientResult
        Traces, peaks, lowest rail, energies.

    Raises
    ------
    OutOfRangeError
        If nothing has any inertia.

    Examples
    --------
    >>> from packdesign.engineering.demand.motor_case import MotorCase
    >>> from packdesign.engineering.electrical.source import PackSource
    >>> motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2)
    >>> result = simulate_start(
    ...     circuit=Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=0.2)),
    ...     machine=Machine(motor=motor, inertia_kg_m2=1e-5),
    ...     drive=Drive(ramp_s=0.0),
    ... )
    >>> round(result.wire.peak_a, 2), round(result.lowest_bus_v, 2)
    (10.0, 10.0)
    """
    if hold_s is None:
        hold_s = settling_s(circuit=circuit, machine=machine, drive=drive)
    return simulate(
        circuit=circuit,
        machine=machine,
        drive=drive,
        profile=drive.starting(hold_s=hold_s),
        relative_tolerance=relative_tolerance,
    )


def settling_s(*, circuit: Circuit, machine: Machine, drive: Drive) -> float:
    """Time in which a run-up has settled, five mechanical time constants, at most 30 s. [s]

    Parameters
    ----------
    circuit : Circuit
        Its resistance slows the run-up.
    machine : Machine
        Motor and load.
    drive : Drive
        Its current limit slows it further.
    """
    motor = machine.motor
    loop = motor.resistance_ohm + drive.driver_ohm + machine.count * circuit.source.settled_ohm
    slow = replace(motor, resistance_ohm=loop)
    seconds = 5 * slow.mechanical_time_s(output_inertia_kg_m2=machine.inertia_kg_m2)
    if drive.current_limit_a is not None:
        stall = circuit.source.open_circuit_v / loop
        seconds *= max(1.0, stall / drive.current_limit_a)
    return min(max(seconds, 1e-3), 30.0)


def resting_state(*, circuit: Circuit, machine: Machine) -> tuple[float, ...]:
    """State before a start: shaft at rest, pack and capacitor settled under the rails alone.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, capacitor, rails.
    machine : Machine
        Motor and load.
    """
    point = steady_point(circuit=circuit, machine=machine, drive=Drive(duty=0.0))
    return _state(circuit, machine, speed=0.0, motor_a=0.0, bus_v=point.bus_v, pack_a=point.pack_a)


def running_state(*, circuit: Circuit, machine: Machine, drive: Drive) -> tuple[float, ...]:
    """State of a machine that has run at its duty for long.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, capacitor, rails.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty and limits.
    """
    point = steady_point(circuit=circuit, machine=machine, drive=drive)
    return _state(
        circuit, machine, speed=point.speed_rad_per_s, motor_a=point.motor_a,
        bus_v=point.bus_v, pack_a=point.pack_a,
    )  # fmt: skip


def _state(
    circuit: Circuit, machine: Machine, *, speed: float, motor_a: float, bus_v: float, pack_a: float
) -> tuple[float, ...]:
    state = [speed]
    if machine.motor.inductance_h:
        state.append(motor_a)
    if circuit.capacitor_f:
        state.append(circuit.source.open_circuit_v - bus_v)
    return (*state, *(ohm * pack_a for ohm in circuit.source.rc_ohm))


@functools.lru_cache(maxsize=_REMEMBERED)
def simulate(
    *,
    circuit: Circuit,
    machine: Machine,
    drive: Drive,
    profile: DutyProfile,
    start_state: tuple[float, ...] | None = None,
    relative_tolerance: float = _RELATIVE_TOLERANCE,
) -> TransientResult:
    """Follow a duty over time.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, capacitor, rails.
    machine : Machine
        Motor and load.
    drive : Drive
        Limits and resistance of the driver; its own ramp is not used, ``profile`` is.
    profile : DutyProfile
        Duty over time.
    start_state : tuple of float or None
        Where to begin: ``end_state`` of another result, or None for rest. [SI units]
    relative_tolerance : float
        Tolerance of the solver. [-]

    Returns
    -------
    TransientResult
        Ends early if the supply collapses, and says when.

    Raises
    ------
    OutOfRangeError
        If nothing has any inertia.
    SolverError
        If the solver gives up.
    """
    network = Network(circuit=circuit, machine=machine, drive=drive)
    begin = start_state or resting_state(circuit=circuit, machine=machine)
    result = _follow(network, profile, begin, relative_tolerance=relative_tolerance)
    cut_s = _stall_cut_s(result, profile, network)
    if cut_s is None:
        return result
    cut = _follow(
        network, profile.cut_at(time_s=cut_s), begin, relative_tolerance=relative_tolerance
    )
    return replace(cut, let_go_at_s=cut_s)


def _follow(
    network: Network, profile: DutyProfile, begin: tuple[float, ...], *, relative_tolerance: float
) -> TransientResult:
    times: list[FloatArray] = []
    weights: list[FloatArray] = []
    seen: list[Instant] = []
    state, collapsed_at_s = np.array(begin), None
    for piece in profile.stretches():
        begin_duty = piece[1][0]
        if network.collapse_margin(state.tolist(), duty=begin_duty) <= 0:
            collapsed_at_s = piece[0][0]
            times.append(np.array([collapsed_at_s]))
            weights.append(np.zeros(1))
            seen.append(network.instant(state.tolist(), duty=begin_duty))
            break
        solved = _solve_piece(network, piece, state, relative_tolerance=relative_tolerance)
        state = solved.y[:, -1]
        time, weight = _quadrature(solved.t)
        duty_at = _duty_law(piece)
        states = solved.sol(time).T.tolist()
        times.append(time)
        weights.append(weight)
        seen += [
            network.instant(each, duty=duty_at(when))
            for each, when in zip(states, time.tolist(), strict=True)
        ]
        if solved.status == 1:
            collapsed_at_s = float(solved.t[-1])
            break
    if not times:
        msg = "the duty profile has no piece longer than 0 s"
        raise OutOfRangeError(msg)
    return _collected(
        network, np.concatenate(times), np.concatenate(weights), seen,
        begin=begin, end=tuple(state.tolist()), collapsed_at_s=collapsed_at_s,
    )  # fmt: skip


def _solve_piece(
    network: Network,
    piece: tuple[tuple[float, ...], tuple[float, ...]],
    state: FloatArray,
    *,
    relative_tolerance: float,
) -> Any:
    start, end = piece[0][0], piece[0][-1]
    duty_at = _duty_law(piece)

    def rates(time: float, y: FloatArray) -> list[float]:
        return network.rates(y.tolist(), duty=duty_at(time))

    def collapse(time: float, y: FloatArray) -> float:
        return network.collapse_margin(y.tolist(), duty=duty_at(time))

    collapse.terminal = True  # type: ignore[attr-defined]

    def solve(tolerance: float) -> Any:
        return solve_ivp(
            rates,
            (start, end),
            state,
            method="LSODA",
            dense_output=True,
            events=collapse,
            rtol=tolerance,
            atol=_absolute_tolerance(network, tolerance),
            max_step=(end - start) / 10,
        )

    try:
        solved = solve(relative_tolerance)
    except ValueError:  # the moment of collapse slipped between a step and its interpolation
        solved = solve(relative_tolerance / 100)
    if solved.status < 0:
        msg = f"the transient could not be solved between {start:g} s and {end:g} s"
        raise SolverError(msg)
    return solved


def _duty_law(piece: tuple[tuple[float, ...], tuple[float, ...]]) -> Callable[[float], float]:
    times, duties = piece
    if len(times) == 2:
        slope = (duties[1] - duties[0]) / (times[1] - times[0])
        return lambda time: duties[0] + slope * (time - times[0])
    cubic = PchipInterpolator(times, duties)  # never overshoots, no bends for the solver to find
    knots, parts = list(times[1:-1]), cubic.c.T.tolist()

    def duty_at(time: float) -> float:
        part = bisect(knots, time)
        third, second, slope, first = parts[part]
        after = time - times[part]
        return float(((third * after + second) * after + slope) * after + first)

    return duty_at


def _absolute_tolerance(network: Network, relative_tolerance: float) -> FloatArray:
    circuit, motor = network.circuit, network.machine.motor
    open_v = circuit.source.open_circuit_v
    largest_a = open_v / (motor.resistance_ohm + circuit.source.settled_ohm)
    scales = [open_v / motor.torque_constant_nm_per_a]
    if network.inductance:
        scales.append(largest_a)
    if network.capacitor:
        scales.append(largest_a * circuit.series_ohm)
    scales += [max(largest_a * ohm, _SMALLEST_V) for ohm in circuit.source.rc_ohm]
    return np.array(scales) * relative_tolerance * 0.1


def _quadrature(step_s: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Ends of every step, with no weight, and three Gauss nodes inside it."""
    half = np.diff(step_s)[:, None] / 2
    middle = step_s[:-1, None] + half
    inside = middle + half * _NODES
    time = np.hstack([step_s[:-1, None], inside]).ravel()
    weight = np.hstack([np.zeros_like(half), half * _WEIGHTS]).ravel()
    return np.append(time, step_s[-1]), np.append(weight, 0.0)


def _collected(
    network: Network,
    time_s: FloatArray,
    weight_s: FloatArray,
    seen: list[Instant],
    *,
    begin: tuple[float, ...],
    end: tuple[float, ...],
    collapsed_at_s: float | None,
) -> TransientResult:
    trace = dict(zip(Instant._fields, np.array(seen).T, strict=True))

    def total(name: str) -> float:
        return float(np.sum(weight_s * trace[name]))

    energy = EnergyBalance(
        from_pack_j=float(np.sum(weight_s * trace["pack_v"] * trace["pack_a"])),
        pack_heat_j=total("pack_heat_w"),
        wiring_heat_j=total("wiring_heat_w"),
        driver_heat_j=total("driver_heat_w"),
        copper_heat_j=total("copper_heat_w"),
        friction_heat_j=total("friction_heat_w"),
        gear_heat_j=total("gear_heat_w"),
        clamp_heat_j=total("clamp_heat_w"),
        work_j=total("work_w"),
        rails_j=total("rails_w"),
        stored_j=network.stored_j(end) - network.stored_j(begin),
    )
    return TransientResult(
        time_s=time_s,
        weight_s=weight_s,
        bus_v=trace["bus_v"],
        pack_v=trace["pack_v"],
        pack_a=trace["pack_a"],
        motor_a=trace["motor_a"],
        speed_rad_per_s=trace["speed"],
        output_speed_rad_per_s=trace["speed"] / network.machine.motor.gear_ratio,
        duty=trace["duty"],
        hand_nm=trace["hand_nm"],
        energy=energy,
        parallel_count=network.circuit.parallel_count,
        end_state=end,
        collapsed_at_s=collapsed_at_s,
    )


def _stall_cut_s(result: TransientResult, profile: DutyProfile, network: Network) -> float | None:
    timeout_s = network.drive.stall_timeout_s
    if timeout_s is None:
        return None
    fastest = network.circuit.source.open_circuit_v / network.machine.motor.torque_constant_nm_per_a
    powered = np.abs(np.interp(result.time_s, profile.time_s, profile.duty)) > _UNDER_POWER_DUTY
    standing = powered & (np.abs(result.speed_rad_per_s) < _STANDING_SHARE * fastest)
    since = math.nan
    for time, stands in zip(result.time_s.tolist(), standing.tolist(), strict=True):
        if not stands:
            since = math.nan
        elif math.isnan(since):
            since = time
        elif time - since >= timeout_s:
            return since + timeout_s
    return None
