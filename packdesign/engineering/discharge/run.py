"""What goes into a discharge run and what comes out of it, whichever engine did it."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Conditions", "EndReason", "PackModel", "RunSummary", "Trace", "as_followed"]


class EndReason(StrEnum):
    """The first limit that was reached, or the end of what was asked."""

    CUTOFF = "cell cut-off voltage"
    RAIL = "rail minimum"
    TEMPERATURE = "cell temperature limit"
    EMPTY = "empty"
    POWER = "more power than the pack can give"
    DEMAND_OVER = "end of the demand"
    TIME = "time limit of the run"
    NEVER_DISCHARGES = "end of one round of a demand that never discharges"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackModel:
    """A pack as the engines see it: equal cells, one path to the terminals, one way for heat."""

    cell: CellModel
    series: int
    parallel: int
    path_ohm: float
    """Everything outside the cells, from terminal to terminal. [ohm]"""
    thermal: ThermalPath

    def __post_init__(self) -> None:
        if self.series < 1 or self.parallel < 1:
            counts = f"{self.series} and {self.parallel}"
            msg = f"a pack needs at least 1 in series and 1 in parallel; got {counts}"
            raise OutOfRangeError(msg)
        if self.path_ohm < 0:
            msg = f"path_ohm is {self.path_ohm}; it must be 0 or more"
            raise OutOfRangeError(msg)

    @property
    def capacity_ah(self) -> float:
        """Capacity of the pack at low rate. [A h]"""
        return self.cell.capacity_ah * self.parallel

    def instant_ohm(self, *, soc: float, temperature_degc: float, current_a: float) -> float:
        """Resistance at the terminals without delay. [ohm]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        current_a : float
            Current of the pack. [A]
        """
        cell_ohm = self.cell.instant_ohm(
            soc=soc, temperature_degc=temperature_degc, current_a=current_a / self.parallel
        )
        return cell_ohm * self.series / self.parallel + self.path_ohm


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Where a run starts and what ends it."""

    ambient_degc: float
    start_degc: float
    start_soc: float = 1.0
    cutoff_v: float | None = None
    """Per cell; None takes the cell's own. [V]"""
    max_cell_degc: float | None = None
    """None takes the cell's own discharge limit. [degC]"""
    longest_s: float = 30 * 86400.0
    """Where a demand that repeats is given up. [s]"""

    def __post_init__(self) -> None:
        if not 0.0 <= self.start_soc <= 1.0:
            msg = f"start_soc is {self.start_soc}; it must lie from 0 to 1"
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """A run over time, at pack level. Every array has shape (n,)."""

    time_s: FloatArray
    current_a: FloatArray
    voltage_v: FloatArray
    soc: FloatArray
    cell_degc: FloatArray
    surface_degc: FloatArray
    ends_by: EndReason
    known: RunSummary | None = None
    """The engine's own figures, where the trace shows the mean of cycles that were left out."""

    def summary(self) -> RunSummary:
        """Reduce the trace to the figures that verdicts need."""
        if self.known is not None:
            return self.known
        step_s = np.diff(self.time_s)
        current = (self.current_a[1:] + self.current_a[:-1]) / 2
        power = (
            self.current_a[1:] * self.voltage_v[1:] + self.current_a[:-1] * self.voltage_v[:-1]
        ) / 2
        squared = (self.current_a[1:] ** 2 + self.current_a[:-1] ** 2) / 2
        run_time_s = float(self.time_s[-1] - self.time_s[0])
        return RunSummary(
            run_time_s=run_time_s,
            delivered_ah=float(np.sum(current * step_s)) / 3600,
            delivered_wh=float(np.sum(power * step_s)) / 3600,
            min_voltage_v=float(np.min(self.voltage_v)),
            peak_current_a=float(np.max(self.current_a)),
            rms_current_a=float(np.sqrt(np.sum(squared * step_s) / run_time_s))
            if run_time_s
            else float(np.max(np.abs(self.current_a))),
            peak_cell_degc=float(np.max(self.cell_degc)),
            peak_surface_degc=float(np.max(self.surface_degc)),
            end_soc=float(self.soc[-1]),
            ends_by=self.ends_by,
        )

    def ended_at(self, share: float, ends_by: EndReason, *, end_v: float) -> Trace:
        """Cut the run off.

        Parameters
        ----------
        share : float
            Of its time, from 0 to 1. [-]
        ends_by : EndReason
            What ends it then.
        end_v : float
            Terminal voltage at that moment. [V]

        Returns
        -------
        Trace
            To that moment, which is its last point. Figures that the engine gave by itself shrink
            in proportion, and the lowest voltage is that of the points left; its peaks stay.
        """
        cut = functools.partial(self.cut, share=share)
        soc, voltage_v = cut(self.soc), cut(self.voltage_v)
        voltage_v[-1] = min(end_v, voltage_v[-1])
        known = self.known and replace(
            self.known,
            run_time_s=share * self.known.run_time_s,
            delivered_ah=share * self.known.delivered_ah,
            delivered_wh=share * self.known.delivered_wh,
            end_soc=float(soc[-1]),
            min_voltage_v=float(np.min(voltage_v)),
            ends_by=ends_by,
        )
        return Trace(
            time_s=cut(self.time_s),
            current_a=cut(self.current_a),
            voltage_v=voltage_v,
            soc=soc,
            cell_degc=cut(self.cell_degc),
            surface_degc=cut(self.surface_degc),
            ends_by=ends_by,
            known=known,
        )

    def cut(self, values: FloatArray, *, share: float) -> FloatArray:
        """Cut a column that stands on the times of the trace, a point at the end of it.

        Parameters
        ----------
        values : array
            Shape (n,).
        share : float
            Of the time of the run, from 0 to 1. [-]
        """
        end_s = float(self.time_s[0] + share * (self.time_s[-1] - self.time_s[0]))
        before = self.time_s < end_s
        before[0] = True
        return np.append(values[before], np.interp(end_s, self.time_s, values))


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSummary:
    """The figures of one run that verdicts need."""

    run_time_s: float
    delivered_ah: float
    delivered_wh: float
    min_voltage_v: float
    peak_current_a: float
    rms_current_a: float
    peak_cell_degc: float
    peak_surface_degc: float
    end_soc: float
    ends_by: EndReason


def as_followed(demand: Demand, *, voltage_v: float) -> tuple[Demand, EndReason]:
    """Give a demand as the engines follow it, and how that ends where no limit is met.

    One that is repeated until the pack is empty, and charges it as much as it draws or more, is
    followed for one round only: more of them would fill the pack beyond its end for a month.

    Parameters
    ----------
    demand : Demand
        What is asked.
    voltage_v : float
        Terminal voltage at which power is counted as current. [V]

    Returns
    -------
    tuple of Demand and EndReason
        The demand, repeated or not, and the end of it.

    Examples
    --------
    >>> import numpy as np
    >>> asked = Demand(duration_s=np.array([60.0, 60.0]), current_a=np.array([2.0, -2.5]),
    ...     power_w=np.zeros(2), label=("drive", "brake"))
    >>> as_followed(asked, voltage_v=3.6)[1].name
    'NEVER_DISCHARGES'
    """
    if not demand.repeats:
        return demand, EndReason.DEMAND_OVER
    current_a = demand.current_at_a(voltage_v=voltage_v)
    if np.min(current_a) < 0 and demand.mean_current_a(voltage_v=voltage_v) <= 0:
        return replace(demand, repeats=False), EndReason.NEVER_DISCHARGES
    return demand, EndReason.TIME
