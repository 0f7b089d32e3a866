"""One action of a mission for one machine, as pieces of constant current at the battery.

A change of duty is solved as a transient and cut into pieces that keep its charge and its heating;
what follows runs at the steady point.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Decay, Drive, DutyProfile
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.demand.steady import SteadyPoint, steady_point
from packdesign.engineering.demand.transient import running_state, settling_s, simulate
from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Action", "Deed", "DeedResult", "Standing", "act"]

_BINS: Final = 64
_MERGE_SHARE: Final = 0.12
"""Neighbouring pieces closer than this share of the peak become one."""


class Deed(StrEnum):
    """What is done with the motor."""

    START = "start"
    """Up to the duty, forward, with the driver's ramp."""
    HOLD = "hold"
    """Go on at the duty in the same direction; from rest it starts first."""
    REVERSE = "reverse"
    """Down, and up the other way."""
    BRAKE = "brake"
    """Down to nothing with the driver's ramp."""
    STALL = "stall"
    """Shaft held under power, until the stall timeout if there is one."""
    COAST = "coast"
    """Driver off; the shaft runs out by itself."""
    REST = "rest"
    """Driver off; the shaft is taken to stand at the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One thing done for some seconds."""

    deed: Deed
    duration_s: float
    """[s]"""
    machine: str | None = None
    """Name of the machine; None is all of them."""
    duty: float | None = None
    """None is the driver's own. 0 to 1. [-]"""
    load: LoadTorque | None = None
    """Load meanwhile; None is the machine's own."""
    motor_a: float | None = None
    """Current of one motor where it was measured instead. [A]"""
    repeats: int = 1
    """How many times in a row. [-]"""
    loads_off: tuple[str, ...] = ()
    """Loads and lights that are off meanwhile."""
    label: str = ""
    """Name of the pieces; empty is the deed."""

    def __post_init__(self) -> None:
        if not 0 < self.duration_s < float("inf"):
            msg = f"the action '{self.name}' lasts {self.duration_s} s; it must be above 0"
            raise OutOfRangeError(msg)
        if self.duty is not None and not 0 <= self.duty <= 1:
            msg = f"the action '{self.name}' has duty {self.duty}; it must lie between 0 and 1"
            raise OutOfRangeError(msg)
        if self.motor_a is not None and not self.motor_a >= 0:
            msg = f"the action '{self.name}' has {self.motor_a} A; it must be 0 or more"
            raise OutOfRangeError(msg)
        if self.repeats < 1:
            msg = f"the action '{self.name}' has repeats {self.repeats}; it must be 1 or more"
            raise OutOfRangeError(msg)

    @property
    def name(self) -> str:
        """Label, or the deed where there is none."""
        return self.label or self.deed.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a machine stands between two actions."""

    duty: float = 0.0
    """Duty it is driven with; below zero is reverse. [-]"""
    state: tuple[float, ...] | None = None
    """State of its transient; None is rest. [SI units]"""
    settled: bool = True
    """Whether it has come to its steady point; if not, the next action goes on from here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedResult:
    """One action of one machine."""

    duration_s: FloatArray
    """Length of each piece. Shape (n,). [s]"""
    current_a: FloatArray
    """Current that the motors take from the battery. Shape (n,). [A]"""
    after: Standing
    transient: TransientResult | None = None
    """The transient at its beginning, if the duty changed."""
    steady: SteadyPoint | None = None
    """Where it settled."""
    problem: str = ""
    """What goes wrong in it, empty if nothing does."""
    reached_fraction: float | None = None
    """Speed at the end of its transient over the one at which it settles; None: nothing runs up or
    down to a speed in it. [-]"""


def act(
    action: Action, *, circuit: Circuit, machine: Machine, drive: Drive, before: Standing
) -> DeedResult:
    """Carry out one action once.

    Parameters
    ----------
    action : Action
        What is done.
    circuit : Circuit
        Pack, wires and rails meanwhile.
    machine : Machine
        Motor and load.
    drive : Drive
        Ramp and limits.
    before : Standing
        How the machine stood.

    Returns
    -------
    DeedResult
        Pieces of constant current, and how the machine stands afterwards.

    Notes
    -----
    While the load changes at one duty the machine is taken to be at its new steady point at once.
    """
    if action.load is not None:
        machine = replace(machine, load=action.load)
    if action.duty is not None:
        drive = replace(drive, duty=action.duty)
    if action.deed in (Deed.REST, Deed.COAST):
        return _still(action.duration_s)
    if action.deed is Deed.STALL:
        return _stalled(action, circuit, machine, drive)
    target = _target_duty(action.deed, drive.duty, before.duty)
    if action.motor_a is not None:
        return _measured(action, machine, target)
    if target == before.duty and before.settled:
        if target == 0:
            return _still(action.duration_s)
        pieces = (np.array([action.duration_s]), np.empty(0))
        return _settled(action, circuit, machine, replace(drive, duty=target), pieces, None)
    return _changed(action, circuit, machine, replace(drive, duty=target), before)


def _target_duty(deed: Deed, duty: float, before: float) -> float:
    if deed is Deed.BRAKE:
        return 0.0
    if deed is Deed.START:
        return duty
    if deed is Deed.REVERSE:
        return duty if before < 0 else -duty
    return -duty if before < 0 else duty


def _still(duration_s: float) -> DeedResult:
    return DeedResult(
        duration_s=np.array([duration_s]), current_a=np.array([0.0]), after=Standing()
    )


def _measured(action: Action, machine: Machine, target: float) -> DeedResult:
    """Battery current of a motor current read with a meter: duty times motor current."""
    battery_a = machine.count * abs(target) * (action.motor_a or 0.0)
    return DeedResult(
        duration_s=np.array([action.duration_s]),
        current_a=np.array([battery_a]),
        after=Standing(duty=target),
    )


def _stalled(action: Action, circuit: Circuit, machine: Machine, drive: Drive) -> DeedResult:
    held = replace(machine, load=LoadTorque(constant_nm=1e9))  # beyond any motor
    point = steady_point(circuit=circuit, machine=held, drive=drive)
    powered_s = min(action.duration_s, drive.stall_timeout_s or action.duration_s)
    lengths, currents = [powered_s], [point.motors_battery_a]
    if powered_s < action.duration_s:
        lengths.append(action.duration_s - powered_s)
        currents.append(0.0)
    return DeedResult(
        duration_s=np.array(lengths),
        current_a=np.array(currents),
        after=Standing(),
        steady=point,
    )


def _settled(
    action: Action,
    circuit: Circuit,
    machine: Machine,
    drive: Drive,
    pieces: tuple[FloatArray, FloatArray],
    transient: TransientResult | None,
) -> DeedResult:
    """Fill what is left of the action with the steady point; ``pieces`` has its length last."""
    point = steady_point(circuit=circuit, machine=machine, drive=drive)
    problem = ""
    if point.stalled:
        load = machine.load
        loose = ""
        if load.extra_at_rest_nm > 0:
            loose = (
                f" (from rest it takes the breakaway torque of the motor's load, "
                f"{load.break_away_nm:.3g} N*m)"
            )
        problem = (
            f"'{action.name}': the motor cannot turn its load{loose}; it stands with "
            f"{abs(point.motor_a):.1f} A in it: raise duty or current limit, or lower the gear"
        )
    return DeedResult(
        duration_s=pieces[0],
        current_a=np.append(pieces[1], point.motors_battery_a),
        after=Standing(
            duty=drive.duty, state=running_state(circuit=circuit, machine=machine, drive=drive)
        ),
        transient=transient,
        steady=point,
        problem=problem,
    )


def _changed(
    action: Action, circuit: Circuit, machine: Machine, drive: Drive, before: Standing
) -> DeedResult:
    """From one duty to another: a transient, then the steady point for the time that is left."""
    if drive.duty == 0 and drive.decay is Decay.DIODE and before.state is None:
        return _still(action.duration_s)
    ramp_s = _ramp_s(drive, before.duty)
    settle_s = settling_s(circuit=circuit, machine=machine, drive=drive)
    solved_s = min(action.duration_s, ramp_s + settle_s)
    profile = DutyProfile(
        time_s=(0.0, ramp_s, max(solved_s, ramp_s)), duty=(before.duty, drive.duty, drive.duty)
    )
    result = simulate(
        circuit=circuit, machine=machine, drive=drive, profile=profile, start_state=before.state
    )
    problem = _problem(action, result)
    if problem and result.time_s[-1] <= result.time_s[0]:  # it failed in the very first instant
        return replace(_still(action.duration_s), transient=result, problem=problem)
    lengths, currents = _pieces(result, circuit)
    left_s = action.duration_s - float(np.sum(lengths))
    if problem or left_s <= 0 or drive.duty == 0:
        if left_s > 0:
            lengths, currents = np.append(lengths, left_s), np.append(currents, 0.0)
        stands = (
            Standing()
            if problem or drive.duty == 0
            else Standing(duty=drive.duty, state=result.end_state, settled=False)
        )
        point = (
            None if stands.settled else steady_point(circuit=circuit, machine=machine, drive=drive)
        )
        return DeedResult(
            duration_s=lengths,
            current_a=currents,
            after=stands,
            transient=result,
            problem=problem,
            reached_fraction=_reached(result, point),
        )
    pieces = (np.append(lengths, left_s), currents)
    settled = _settled(action, circuit, machine, drive, pieces, result)
    return replace(settled, reached_fraction=_reached(result, settled.steady))


def _reached(result: TransientResult, point: SteadyPoint | None) -> float | None:
    if point is None or point.speed_rad_per_s == 0:
        return None
    return float(result.speed_rad_per_s[-1]) / point.speed_rad_per_s


def _ramp_s(drive: Drive, before: float) -> float:
    if drive.duty == before:
        return 0.0
    if drive.duty == 0:
        return drive.down_s
    if before * drive.duty < 0:
        return drive.down_s + drive.ramp_s
    return drive.ramp_s


def _problem(action: Action, result: TransientResult) -> str:
    if result.collapsed_at_s is not None:
        return (
            f"'{action.name}': the pack cannot carry this; its voltage collapses after "
            f"{result.collapsed_at_s:.3f} s: take a longer ramp, a lower current limit or more "
            "cells in parallel"
        )
    if result.let_go_at_s is not None:
        return (
            f"'{action.name}': the shaft stood still and the driver let go after "
            f"{result.let_go_at_s:.2f} s: more duty, a higher current limit or a lower gear"
        )
    return ""


def _pieces(result: TransientResult, circuit: Circuit) -> tuple[FloatArray, FloatArray]:
    """Cut a transient into few pieces of constant current, keeping charge and heating."""
    motors_a = result.pack_a - circuit.rails_a - circuit.rails_w / result.bus_v
    edges = np.linspace(result.time_s[0], result.time_s[-1], _BINS + 1)
    weighted = result.weight_s > 0
    weight, current = result.weight_s[weighted], motors_a[weighted]
    charge = np.concatenate([[0.0], np.cumsum(weight * current)])
    reached = np.concatenate([[edges[0]], edges[0] + np.cumsum(weight)])
    mean = np.diff(np.interp(edges, reached, charge)) / np.diff(edges)
    near = _MERGE_SHARE * max(float(np.max(np.abs(mean))), 1e-12)
    lengths, currents = [edges[1] - edges[0]], [float(mean[0])]
    for length, value in zip(np.diff(edges)[1:].tolist(), mean[1:].tolist(), strict=True):
        if abs(value - currents[-1]) <= near:
            total = lengths[-1] + length
            currents[-1] += (value - currents[-1]) * length / total
            lengths[-1] = total
        else:
            lengths.append(length)
            currents.append(value)
    return np.array(lengths), np.array(currents)
