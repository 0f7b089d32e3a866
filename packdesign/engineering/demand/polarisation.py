"""How far the slow parts of a pack have sagged in each piece of a demand that repeats.

A load meets the settled resistance of a pack only after many minutes. Here every RC element of the
pack follows the pieces one after the other, from the state that it has after many rounds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.profile import Demand, FloatArray

__all__ = ["Sagging", "sagging"]

_ROUNDS: Final = 2
"""Rounds in which powers become currents at the voltage they make. [-]"""
_LEAST_FRACTION: Final = 0.5
"""Share of the open-circuit voltage below which powers are no longer turned into currents: there no
pack gives more. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sagging:
    """Each piece of a demand after many rounds. Arrays of shape (n,)."""

    before_v: FloatArray
    """Drop over all RC elements when the piece begins. [V]"""
    bus_v: FloatArray
    """Voltage at the driver when it ends. [V]"""


def sagging(circuit: Circuit, demand: Demand) -> Sagging:
    """Follow the RC elements of a pack through the pieces of a demand.

    Parameters
    ----------
    circuit : Circuit
        Pack and wires; its rails do not count, for they are in the demand.
    demand : Demand
        What is asked, n pieces.

    Notes
    -----
    Over a piece of current I an element of resistance R and time constant T goes from v to
    ``I R + (v - I R) exp(-t / T)``, so a whole round is a linear map of v, and the state after many
    rounds its fixed point.

    Examples
    --------
    >>> from packdesign.engineering.electrical.source import PackSource
    >>> source = PackSource(
    ...     open_circuit_v=10.0, instant_ohm=0.1, rc_ohm=(0.2,), rc_time_s=(100.0,))
    >>> asked = Demand(
    ...     duration_s=np.array([10.0, 990.0]), current_a=np.array([5.0, 0.0]),
    ...     power_w=np.zeros(2), label=("hold", "rest"))
    >>> sagging(Circuit(source=source), asked).bus_v.round(2).tolist()
    [9.4, 10.0]
    """
    source = circuit.source
    open_v, ohm = source.open_circuit_v, source.instant_ohm + circuit.wiring_ohm
    bus_v = np.full(len(demand.duration_s), open_v)
    before_v = np.zeros_like(bus_v)
    for _ in range(_ROUNDS):
        at_v = np.maximum(bus_v, _LEAST_FRACTION * open_v)
        current_a = demand.current_a + demand.power_w / at_v
        before_v, after_v = np.zeros_like(bus_v), np.zeros_like(bus_v)
        for rc_ohm, time_s in zip(source.rc_ohm, source.rc_time_s, strict=True):
            begin_v, end_v = _element(current_a * rc_ohm, demand.duration_s / time_s)
            before_v, after_v = before_v + begin_v, after_v + end_v
        bus_v = open_v - ohm * current_a - after_v
    return Sagging(before_v=before_v, bus_v=bus_v)


def _element(settled_v: FloatArray, reduced: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Drop over one element at both ends of each piece, after many rounds. [V]"""
    kept = np.exp(-reduced)
    gained = settled_v * (1.0 - kept)
    from_rest = _through(0.0, kept.tolist(), gained.tolist())
    all_gone = max(1.0 - float(np.exp(-np.sum(reduced))), 1e-12)
    ends = _through(from_rest[-1] / all_gone, kept.tolist(), gained.tolist())
    return np.array([ends[-1], *ends[:-1]]), np.array(ends)


def _through(volts: float, kept: list[float], gained: list[float]) -> list[float]:
    ends = []
    for share, more in zip(kept, gained, strict=True):
        volts = volts * share + more
        ends.append(volts)
    return ends
