"""The pack under its working load over the charge that is left, and what a start takes off it.

Resistance rises as a cell runs empty, so a voltage under load is met at a higher charge than a sag
reckoned near half charge says. Everything is read from above, as a discharge comes to it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["LoadedCurve", "loaded_curve"]

_POINTS = 201
_SAME_V = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedCurve:
    """Voltages and resistances of a pack on one even grid of the charge left."""

    soc: FloatArray
    loaded_v: FloatArray
    """At the terminals after the working load has lasted. [V]"""
    lasting_ohm: FloatArray
    """Resistance that a lasting load meets. [ohm]"""
    sudden_ohm: FloatArray
    """Resistance that a load meets which has only come on. [ohm]"""

    def soc_at(self, loaded_v: float) -> float:
        """Charge left when a discharge first comes down to a voltage under load. [-]

        Parameters
        ----------
        loaded_v : float
            Voltage of the pack under the working load. [V]
        """
        return _met_at(self.soc, self.loaded_v, loaded_v)

    def at(self, soc: float) -> float:
        """Voltage of the pack under the working load. [V]

        Parameters
        ----------
        soc : float
            Charge left; beyond full it is full. [-]
        """
        return float(np.interp(soc, self.soc, self.loaded_v))

    def sag_v(self, *, soc: float, working_a: float) -> float:
        """How far the lasting load has drawn the pack below its voltage at rest. [V]

        Parameters
        ----------
        soc : float
            Charge left. [-]
        working_a : float
            Current of the load. [A]
        """
        return working_a * float(np.interp(soc, self.soc, self.lasting_ohm))

    def start_v(self, *, floor_v: float, more_a: float) -> float:
        """What so much more current takes off the pack where it just reaches down to a floor. [V]

        Parameters
        ----------
        floor_v : float
            Voltage that it shall not pass. [V]
        more_a : float
            Current beyond the working load. [A]
        """
        taken_v = more_a * self.sudden_ohm
        soc = _met_at(self.soc, self.loaded_v - taken_v, floor_v)
        return float(np.interp(soc, self.soc, taken_v))


def loaded_curve(
    *,
    series: int,
    open_circuit_v: Callable[[float], float],
    lasting_ohm: Callable[[float], float],
    sudden_ohm: Callable[[float], float],
    working_a: float,
) -> LoadedCurve:
    """Tabulate a pack under its working load.

    Parameters
    ----------
    series : int
        Groups in series. [-]
    open_circuit_v : callable
        Open-circuit voltage of a cell at a state of charge from 0 to 1. [V]
    lasting_ohm, sudden_ohm : callable
        Resistance of the pack at a state of charge, to a lasting load and to one that has only
        come on. [ohm]
    working_a : float
        Current of the working load. [A]

    Raises
    ------
    OutOfRangeError
        If a resistance is below 0.

    Examples
    --------
    >>> curve = loaded_curve(series=2, open_circuit_v=lambda soc: 3.0 + soc, working_a=2.0,
    ...     lasting_ohm=lambda soc: 0.1, sudden_ohm=lambda soc: 0.05)
    >>> round(curve.soc_at(6.8), 6), round(curve.start_v(floor_v=6.5, more_a=4.0), 6)
    (0.5, 0.2)
    """
    soc = np.linspace(0.0, 1.0, _POINTS)
    ohm = np.array([lasting_ohm(each) for each in soc.tolist()])
    sudden = np.array([sudden_ohm(each) for each in soc.tolist()])
    least = min(float(ohm.min()), float(sudden.min()))
    if least < 0:
        msg = f"a gauge needs a resistance of 0 or more; got {least:g} ohm"
        raise OutOfRangeError(msg)
    open_v = series * np.array([open_circuit_v(each) for each in soc.tolist()])
    return LoadedCurve(
        soc=soc,
        loaded_v=open_v - working_a * ohm,
        lasting_ohm=ohm,
        sudden_ohm=sudden,
    )


def _met_at(soc: FloatArray, voltage_v: FloatArray, at_v: float) -> float:
    """Highest charge at which a curve is down to a voltage; where it never is, its lower end."""
    falling = np.minimum.accumulate(voltage_v[::-1])[::-1]
    # Below what the cold leaves within reach the curve is level: its end is where that begins.
    begin = int(np.flatnonzero(falling <= falling[0] + _SAME_V)[-1])
    return float(np.interp(at_v, falling[begin:], soc[begin:]))
