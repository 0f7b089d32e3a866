"""What motors take from the pack while their shafts are held, one alone or several at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import brentq

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.foundation.errors import OverloadError

__all__ = ["HeldShafts", "held_shafts"]

_STEPS: Final = 400
"""Voltages between open circuit and nothing at which a balance is looked for. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldShafts:
    """Motors with their shafts held, on their pack."""

    motor_a: tuple[float, ...]
    """Current in one motor of each machine. [A]"""
    is_limited: tuple[bool, ...]
    """Whether its driver's limit holds it down."""
    pack_a: float
    """Current of the pack, rails included. [A]"""
    bus_v: float
    """Voltage at the drivers. [V]"""


def held_shafts(*, circuit: Circuit, driven: Sequence[tuple[Machine, Drive]]) -> HeldShafts:
    """Find what a pack gives motors that are all held at once.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, rails; the pack's settled resistance counts.
    driven : sequence of tuple of Machine and Drive
        The machines; their loads do not count.

    Raises
    ------
    OverloadError
        If the pack cannot carry this.

    Notes
    -----
    A held motor takes ``duty V / R`` or what its driver lets through, and its bridge takes the heat
    of that current from the supply: a limited motor takes the more from the battery, the hotter its
    winding and the lower the voltage. Of two voltages that balance, a pack stands at the upper one.

    Examples
    --------
    >>> from packdesign.engineering.demand.motor_case import MotorCase
    >>> from packdesign.engineering.electrical.source import PackSource
    >>> machine = Machine(motor=MotorCase(
    ...     resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2))
    >>> stiff = Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=0.0))
    >>> found = held_shafts(circuit=stiff, driven=[(machine, Drive(current_limit_a=6.0))])
    >>> round(found.pack_a, 3)
    3.0
    """
    supply_ohm = circuit.source.settled_ohm + circuit.wiring_ohm
    open_v = circuit.source.open_circuit_v

    def each_a(bus_v: float) -> list[float]:
        return [
            min(abs(drive.duty) * bus_v / _loop_ohm(machine, drive), _limit_a(drive))
            for machine, drive in driven
        ]

    def pack_a(bus_v: float) -> float:
        heat_w = sum(
            machine.count * _loop_ohm(machine, drive) * amperes**2
            for (machine, drive), amperes in zip(driven, each_a(bus_v), strict=True)
        )
        return circuit.rails_a + (circuit.rails_w + heat_w) / bus_v

    def surplus_v(bus_v: float) -> float:
        return open_v - supply_ohm * pack_a(bus_v) - bus_v

    bus_v = _highest_balance(surplus_v, open_v)
    if bus_v is None:
        msg = (
            f"the pack ({open_v:.2f} V, {supply_ohm:.4f} ohm with its wires) cannot carry what is "
            "held and its rails: ask for less, or take more cells in parallel"
        )
        raise OverloadError(msg)
    motor_a = each_a(bus_v)
    return HeldShafts(
        motor_a=tuple(motor_a),
        is_limited=tuple(
            amperes >= _limit_a(drive) for amperes, (_, drive) in zip(motor_a, driven, strict=True)
        ),
        pack_a=pack_a(bus_v),
        bus_v=bus_v,
    )


def _loop_ohm(machine: Machine, drive: Drive) -> float:
    return machine.motor.resistance_ohm + drive.driver_ohm


def _limit_a(drive: Drive) -> float:
    return drive.current_limit_a or math.inf


def _highest_balance(surplus_v: Callable[[float], float], open_v: float) -> float | None:
    """Highest voltage at which nothing is missing; None where there is none."""
    if surplus_v(open_v) >= 0:
        return open_v
    above_v = open_v
    for below_v in np.linspace(open_v, 0.0, _STEPS + 1)[1:-1].tolist():
        if surplus_v(below_v) >= 0:
            return float(brentq(surplus_v, below_v, above_v))
        above_v = below_v
    return None
