"""A log of a real device or cell: as a demand to run, and held against what was predicted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.bands import DischargeBands
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "Log",
    "LoggedRun",
    "ReplayErrors",
    "log_demand",
    "log_start",
    "replay_errors",
    "told_soc",
]

_AT_REST_FRACTION: Final = 0.02
"""Current as a share of the largest below which a sample is at rest: own choice. [-]"""
_SAME_CURRENT_FRACTION: Final = 0.01
"""Samples whose current stays this near, as a share of the largest, make one piece. [-]"""
_LARGEST_DOUBT_SOC: Final = 0.05
"""Standard deviation of a charge read from a rested voltage beyond which it is not used: own
choice. [-]"""
_SHORTEST_S: Final = 1.0
_LONGEST_S: Final = 120.0
_LONGEST_AT_REST_S: Final = 3600.0
"""Nothing is averaged in a rest: its pieces may grow on. [s]"""
_GROWTH: Final = 0.3
"""Share of the time since the last jump that a piece may take: a relaxing voltage is followed."""
_FEWEST_SAMPLES: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """Samples at pack level. Every array has shape (n,)."""

    time_s: FloatArray
    """Rising. [s]"""
    current_a: FloatArray
    """Discharge positive. [A]"""
    voltage_v: FloatArray
    temperature_degc: FloatArray | None = None
    """Of the surface. [degC]"""

    def __post_init__(self) -> None:
        arrays = [self.time_s, self.current_a, self.voltage_v]
        if self.temperature_degc is not None:
            arrays.append(self.temperature_degc)
        sizes = {len(each) for each in arrays}
        if len(sizes) != 1 or min(sizes) < _FEWEST_SAMPLES:
            counts = " and ".join(str(each) for each in sorted(sizes))
            needed = f"{_FEWEST_SAMPLES} rows or more"
            msg = f"a log needs columns of one length, {needed}; got {counts} rows"
            raise OutOfRangeError(msg)
        if not all(np.all(np.isfinite(each)) for each in arrays):
            msg = "a log must be finite everywhere; cut out rows with gaps before"
            raise OutOfRangeError(msg)
        if np.any(np.diff(self.time_s) < 0):
            where = int(np.argmax(np.diff(self.time_s) < 0)) + 1
            msg = f"the time of a log must rise; row {where} lies before the one above it"
            raise OutOfRangeError(msg)

    @property
    def at_rest(self) -> NDArray[np.bool_]:
        """Whether each sample is at rest: a current small against the largest. Shape (n,)."""
        at_a = np.abs(self.current_a)
        return np.asarray(at_a < _AT_REST_FRACTION * np.max(at_a))

    @property
    def charge_ah(self) -> float:
        """Charge delivered from first to last sample. [A h]"""
        return float(np.trapezoid(self.current_a, self.time_s)) / constants.hour

    @property
    def energy_wh(self) -> float:
        """Energy delivered from first to last sample. [W h]"""
        return float(np.trapezoid(self.current_a * self.voltage_v, self.time_s)) / constants.hour


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedRun:
    """A log, and where it starts."""

    log: Log
    start: Conditions
    """Its limits are not used."""


def log_start(log: Log, pack: PackModel, otherwise: Conditions) -> Conditions:
    """Say where a log starts, as far as its first sample tells.

    Parameters
    ----------
    log : Log
        The log.
    pack : PackModel
        The pack that it was taken from.
    otherwise : Conditions
        What holds where the log does not tell.

    Returns
    -------
    Conditions
        The temperature is the first one. The charge is read from the first voltage where that is a
        rested one and the curve of the cell tells the charge there; on a plateau it does not.
        A cell that rests above the end of its curve is full.
    """
    degc = otherwise.start_degc
    if log.temperature_degc is not None:
        degc = float(log.temperature_degc[0])
    told = told_soc(log, pack, temperature_degc=degc)
    return replace(
        otherwise, start_degc=degc, start_soc=otherwise.start_soc if told is None else told
    )


def told_soc(log: Log, pack: PackModel, *, temperature_degc: float) -> float | None:
    """State of charge that the first sample tells. [-]

    Parameters
    ----------
    log : Log
        The log.
    pack : PackModel
        The pack that it was taken from.
    temperature_degc : float
        Of the cells then. [degC]

    Returns
    -------
    float or None
        None where the sample is under load, or the curve leaves too much doubt.
    """
    if not log.at_rest[0]:
        return None
    cell = pack.cell
    reach = cell.soc_at(float(log.voltage_v[0]) / pack.series)
    spread_v = float(np.interp(reach, SOC_GRID, cell.spread.ocv_v))
    if spread_v > _LARGEST_DOUBT_SOC * cell.slope_v(reach):
        return None
    return cell.soc_within_reach(reach, temperature_degc=temperature_degc)


def log_demand(log: Log, *, beyond_s: float = 0.0, minimum_v: float = 0.0) -> Demand:
    """Make the demand that a log recorded.

    Parameters
    ----------
    log : Log
        The log.
    beyond_s : float
        How long the last current goes on after the end of the log. [s]
    minimum_v : float
        Lowest voltage of the device. [V]

    Returns
    -------
    Demand
        Samples of like current are taken together; charge is kept.
    """
    step_s = np.diff(log.time_s)
    mean_a = (log.current_a[1:] + log.current_a[:-1]) / 2
    near_a = _SAME_CURRENT_FRACTION * max(float(np.max(np.abs(log.current_a))), 1e-9)
    most_s = np.where(np.abs(mean_a) < near_a, _LONGEST_AT_REST_S, _LONGEST_S)
    durations, currents = [], []
    begin, since_jump_s = 0, 0.0
    for k in range(1, len(step_s) + 1):
        length_s = float(log.time_s[k] - log.time_s[begin])
        is_last = k == len(step_s)
        jumps = not is_last and abs(mean_a[k] - mean_a[begin]) > near_a
        longest_s = min(max(_SHORTEST_S, _GROWTH * since_jump_s), float(most_s[begin]))
        if not (is_last or jumps or length_s >= longest_s):
            continue
        if length_s > 0:
            durations.append(length_s)
            currents.append(float(np.dot(mean_a[begin:k], step_s[begin:k])) / length_s)
        begin, since_jump_s = k, 0.0 if jumps else since_jump_s + length_s
    if beyond_s > 0:
        durations.append(beyond_s)
        currents.append(currents[-1])
    return Demand(
        duration_s=np.array(durations),
        current_a=np.array(currents),
        power_w=np.zeros(len(durations)),
        label=("log",) * len(durations),
        minimum_v=minimum_v,
        repeats=False,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplayErrors:
    """How far a prediction lies from a log; positive where too much was predicted."""

    charge_percent: float
    energy_percent: float
    mean_voltage_percent: float
    rms_v: float
    """Root mean square over the time that both have, at pack level. [V]"""
    bias_v: float
    rise_error_k: float | None
    """Of the surface, at the end of the common time. [K]"""
    covered_percent: float
    """Share of the time in which the log lies inside the band."""
    band_v: float
    """Mean width of the band. [V]"""


def replay_errors(log: Log, trace: Trace, bands: DischargeBands | None = None) -> ReplayErrors:
    """Hold a prediction against a log.

    Parameters
    ----------
    log : Log
        What was measured.
    trace : Trace
        What was predicted for the demand of the log, to its own end.
    bands : DischargeBands, optional
        With trace; left out, the band has no width.

    Returns
    -------
    ReplayErrors
        The figures.
    """
    time_s = log.time_s - log.time_s[0]
    end_s = min(float(time_s[-1]), float(trace.time_s[-1]))
    grid_s = np.linspace(_SHORTEST_S, end_s, 1000)
    measured_v = np.interp(grid_s, time_s, log.voltage_v)
    apart_v = np.interp(grid_s, trace.time_s, trace.voltage_v) - measured_v
    summary = trace.summary()
    mean_v = log.energy_wh / log.charge_ah
    covered, width_v = 0.0, 0.0
    if bands is not None and bands.trace is not None:
        low = np.interp(grid_s, bands.trace.time_s, np.asarray(bands.voltage_low_v))
        high = np.interp(grid_s, bands.trace.time_s, np.asarray(bands.voltage_high_v))
        covered = float(np.mean((low <= measured_v) & (measured_v <= high)))
        width_v = float(np.mean(high - low))
    rise = None
    if log.temperature_degc is not None:
        measured_rise = np.interp(end_s, time_s, log.temperature_degc) - log.temperature_degc[0]
        predicted = np.interp(end_s, trace.time_s, trace.surface_degc) - trace.surface_degc[0]
        rise = float(predicted - measured_rise)
    run_mean_v = summary.delivered_wh / summary.delivered_ah if summary.delivered_ah else 0.0
    return ReplayErrors(
        charge_percent=100 * (summary.delivered_ah / log.charge_ah - 1),
        energy_percent=100 * (summary.delivered_wh / log.energy_wh - 1),
        mean_voltage_percent=100 * (run_mean_v / mean_v - 1),
        rms_v=float(np.sqrt(np.mean(apart_v**2))),
        bias_v=float(np.mean(apart_v)),
        rise_error_k=rise,
        covered_percent=100 * covered,
        band_v=width_v,
    )
