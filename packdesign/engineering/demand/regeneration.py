"""How far braking lifts the supply, and the clamp or the brake limit that just holds it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from scipy.optimize import brentq

from packdesign.engineering.demand.circuit import Circuit, Clamp, Machine
from packdesign.engineering.demand.drive import Decay, Drive
from packdesign.engineering.demand.transient import (
    running_state,
    settling_s,
    simulate,
)
from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["RailRise", "brake_limit_that_holds_a", "clamp_that_holds", "rail_rise", "stop"]

_SEARCH_DECADES: Final = 3.0
_SETTLE_SHARE: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class RailRise:
    """Highest supply voltage while the machine is braked from full speed."""

    connected_v: float
    """With the pack as it is. [V]"""
    full_v: float | None
    """With a full pack; None where its full voltage is not known. [V]"""
    open_v: float | None
    """With a protection board that takes no charge; None where there is no capacitor at the
    driver, for then nothing bounds it but what breaks. [V]"""
    into_pack_a: float
    """Largest current pushed into the pack, as it is. [A]"""
    returned_j: float
    """Energy that came back to the pack, as it is. [J]"""


def stop(
    *, circuit: Circuit, machine: Machine, drive: Drive, settle_s: float | None = None
) -> TransientResult:
    """Brake from steady running to rest with the driver's ramp down.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, capacitor, clamp.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty before the stop, ramp down, brake limit.
    settle_s : float or None
        Time after the ramp; None is long enough to come to rest. [s]
    """
    if settle_s is None:
        settle_s = settling_s(circuit=circuit, machine=machine, drive=drive)
    return simulate(
        circuit=circuit,
        machine=machine,
        drive=drive,
        profile=drive.stopping(hold_s=settle_s),
        start_state=running_state(circuit=circuit, machine=machine, drive=drive),
    )


def _full(circuit: Circuit) -> Circuit:
    source, full_v = circuit.source, circuit.source.full_v
    if full_v is None:
        return circuit
    return replace(circuit, source=replace(source, open_circuit_v=full_v))


def rail_rise(*, circuit: Circuit, machine: Machine, drive: Drive) -> RailRise:
    """How far the supply rises in a stop: pack connected, pack full, protection board open.

    Parameters
    ----------
    circuit : Circuit
        Pack with its full voltage, wires, capacitor, clamp if any.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty before the stop, ramp down, brake limit.

    Returns
    -------
    RailRise
        Three voltages, and what goes into the pack. A protection board opens on a full pack, so
        the open case starts from the full voltage where it is known.

    Notes
    -----
    A lithium pack below 0 degC, or full, must not be charged, by braking either.
    """
    as_it_is = stop(circuit=circuit, machine=machine, drive=drive)
    full = _full(circuit)
    full_v = None
    if circuit.source.full_v is not None:
        full_v = stop(circuit=full, machine=machine, drive=drive).highest_bus_v
    open_v = None
    if circuit.capacitor_f > 0:
        blocked = replace(full, accepts_charge=False)
        open_v = stop(circuit=blocked, machine=machine, drive=drive).highest_bus_v
    back_w = (as_it_is.pack_v * as_it_is.pack_a).clip(max=0.0)
    return RailRise(
        connected_v=as_it_is.highest_bus_v,
        full_v=full_v,
        open_v=open_v,
        into_pack_a=max(-float(as_it_is.pack_a.min()), 0.0),
        returned_j=-float((as_it_is.weight_s * back_w).sum()),
    )


def _worst(circuit: Circuit) -> Circuit:
    """Full pack behind a board that takes no charge, where a capacitor makes that solvable."""
    full = _full(circuit)
    return replace(full, accepts_charge=False) if circuit.capacitor_f > 0 else full


def clamp_that_holds(
    *, circuit: Circuit, machine: Machine, drive: Drive, limit_v: float
) -> Clamp | None:
    """Largest clamp resistor that keeps the supply under a limit with the board open.

    Parameters
    ----------
    circuit : Circuit
        Needs a capacitor at the driver.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty before the stop, ramp down, brake limit.
    limit_v : float
        Highest voltage that everything on the supply bears. [V]

    Returns
    -------
    Clamp or None
        Begins to draw halfway between the full pack and the limit; None if none is needed.

    Raises
    ------
    OutOfRangeError
        If the limit is not above the full pack, or no resistor holds it.
    """
    worst = _worst(circuit)
    full_v = worst.source.open_circuit_v
    if circuit.capacitor_f <= 0 or limit_v <= full_v:
        msg = (
            f"a clamp needs a capacitor at the driver (got {circuit.capacitor_f} F) and a limit "
            f"above the full pack ({full_v:.2f} V, got {limit_v:.2f} V)"
        )
        raise OutOfRangeError(msg)

    def over_v(decades: float) -> float:
        clamp = Clamp(above_v=(full_v + limit_v) / 2, resistance_ohm=10**decades)
        held = replace(worst, clamp=clamp)
        return stop(circuit=held, machine=machine, drive=drive).highest_bus_v - limit_v

    if stop(circuit=worst, machine=machine, drive=drive).highest_bus_v <= limit_v:
        return None
    middle = math.log10(limit_v / machine.motor.stall_a(voltage_v=limit_v))
    low, high = middle - _SEARCH_DECADES, middle + _SEARCH_DECADES
    if over_v(low) > 0:
        msg = (
            f"no clamp resistor holds {limit_v:.2f} V: brake more gently (brake limit, longer ramp "
            "down), or put a larger capacitor at the driver"
        )
        raise OutOfRangeError(msg)
    root = _just_inside(low, high, over_v) if over_v(high) > 0 else high
    return Clamp(above_v=(full_v + limit_v) / 2, resistance_ohm=10**root)


def _just_inside(low: float, high: float, over: Callable[[float], float]) -> float:
    """Root of a rising function, stepped back to the side where it is not above zero."""
    root = float(brentq(over, low, high, xtol=_SETTLE_SHARE))
    return root - 2 * _SETTLE_SHARE


def brake_limit_that_holds_a(
    *, circuit: Circuit, machine: Machine, drive: Drive, limit_v: float
) -> float | None:
    """Largest brake current that keeps the supply under a limit with a full or open pack. [A]

    Parameters
    ----------
    circuit : Circuit
        Pack with its full voltage, wires, capacitor.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty before the stop, ramp down.
    limit_v : float
        Highest voltage that everything on the supply bears. [V]

    Returns
    -------
    float or None
        None if no limit is needed.

    Raises
    ------
    OutOfRangeError
        If even the gentlest braking goes over: then let it coast.
    """
    worst = _worst(circuit)
    stall_a = machine.motor.stall_a(voltage_v=worst.source.open_circuit_v)

    def over_v(brake_a: float) -> float:
        gentle = replace(drive, brake_limit_a=brake_a, decay=Decay.SYNCHRONOUS)
        return stop(circuit=worst, machine=machine, drive=gentle).highest_bus_v - limit_v

    if stop(circuit=worst, machine=machine, drive=drive).highest_bus_v <= limit_v:
        return None
    low = _SETTLE_SHARE * stall_a
    if over_v(low) > 0:
        msg = (
            f"even {low:.3g} A of braking lifts the supply over {limit_v:.2f} V: let the motor "
            "coast (diode decay), or short it through the driver instead of ramping down"
        )
        raise OutOfRangeError(msg)
    root = float(brentq(over_v, low, stall_a, xtol=_SETTLE_SHARE * stall_a))
    return max(root - 2 * _SETTLE_SHARE * stall_a, low)
