"""Logs of the real device held against the pack's model, and the model fitted to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.measured_log import read_log
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import OCV_NODES
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.refit import Refit, refit
from packdesign.engineering.discharge.replay import (
    Log,
    LoggedRun,
    ReplayErrors,
    log_demand,
    log_start,
    replay_errors,
)
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import LogError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import thermal_path_of
from packdesign.planning.refit.open_circuit import LARGEST_SHIFT_V, nodes_of

__all__ = ["FittedLog", "LogFit", "fit_log", "keys_of_fit", "log_with_voltage"]

_SOC: Final = 0.5
_DEGC: Final = 20.0
_PULSE_S: Final = 10.0
"""Moment that the brief's measured cell resistance is for."""
_LEAST_SHARE: Final = 0.6
_MOST_SHARE: Final = 1.1
"""A log whose middle voltage lies outside these shares of cut-off and full is of another pack, or
in another unit: own choice. [-]"""
_MOST_CRATE: Final = 200.0
"""No cell of the table bears near as much. [1/h]"""
_LARGEST_RESIDUAL_V: Final = 0.12
"""Per cell, four times what a voltage is taken to scatter: beyond it the fit says nothing. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedLog:
    """One log, and what was predicted for it before and after the fit."""

    name: str
    log: Log
    start: Conditions
    """Where the log starts, by its own first sample where that tells."""
    before: Trace
    errors_before: ReplayErrors
    after: Trace
    errors_after: ReplayErrors

    @property
    def start_words(self) -> str:
        """Where the log starts, in words."""
        return f"{self.name} begins at {100 * self.start.start_soc:.0f} % of the charge."


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFit:
    """Logs of one pack, and the model fitted to all of them together."""

    logs: tuple[FittedLog, ...]
    fit: Refit
    resistance_ohm: float
    """Of one cell after the fit, as the brief takes it. [ohm]"""
    sleeve_j_per_k: float
    """Thermal mass of the cell's own sleeve, which a brief's added mass leaves out. [J/K]"""

    @property
    def entropic_shift_mv_per_k(self) -> Band | None:
        """How the change of a cell's voltage with temperature was moved. [mV/K]"""
        shift = self.fit.entropic_shift_v_per_k
        return None if shift is None else shift.scaled(1000.0)

    @property
    def names(self) -> str:
        """Names of the logs, in words."""
        return ", ".join(each.name for each in self.logs)


def log_with_voltage(path: Path) -> Log:
    """Read a log that has current and voltage; rows with gaps are left out.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    LogError
        If it cannot be used, or has no voltage.
    """
    rows = read_log(path)
    if rows.voltage_v is None:
        msg = f"{path.name} has no voltage, so nothing can be held against it; add voltage_v"
        raise LogError(msg)
    whole = np.isfinite(rows.voltage_v)
    degc = rows.temperature_degc
    if degc is not None:
        whole &= np.isfinite(degc)

    def kept(values: FloatArray) -> FloatArray:
        return np.asarray(values[whole], dtype=np.float64)

    return Log(
        time_s=kept(rows.time_s),
        current_a=kept(rows.current_a),
        voltage_v=kept(rows.voltage_v),
        temperature_degc=None if degc is None else kept(degc),
    )


def fit_log(brief: Brief, design: PackDesign, paths: Sequence[Path]) -> LogFit:
    """Hold logs against the model of a pack, and fit the model to all of them together.

    Parameters
    ----------
    brief : Brief
        The brief, for where the runs start.
    design : PackDesign
        The pack that the logs were taken from.
    paths : sequence of Path
        The logs, at pack level; at unlike currents they tell more.

    Raises
    ------
    LogError
        If a log cannot be used.
    """
    logs = [log_with_voltage(path) for path in paths]
    for log, path in zip(logs, paths, strict=True):
        _refuse_another_pack(log, design, path)
    otherwise = conditions_of(brief, design)
    runs = [LoggedRun(log=log, start=log_start(log, design.model, otherwise)) for log in logs]
    fit = refit(runs, design.model)
    names = [path.name for path in paths]
    _refuse_nonsense(fit, ", ".join(names))
    return LogFit(
        logs=tuple(
            _fitted(run, name, before=design.model, after=fit.pack)
            for run, name in zip(runs, names, strict=True)
        ),
        fit=fit,
        resistance_ohm=float(
            fit.cell.pulse_ohm(
                soc=_SOC,
                temperature_degc=_DEGC,
                current_a=design.cell.capacity_ah,
                pulse_s=_PULSE_S,
            )
        ),
        sleeve_j_per_k=_sleeve_j_per_k(brief, design),
    )


def _fitted(run: LoggedRun, name: str, *, before: PackModel, after: PackModel) -> FittedLog:
    """Predict one log with the model before and after the fit."""
    demand = log_demand(run.log)
    one, other = (run_pack(pack, demand, run.start) for pack in (before, after))
    return FittedLog(
        name=name,
        log=run.log,
        start=run.start,
        before=one,
        errors_before=replay_errors(run.log, one),
        after=other,
        errors_after=replay_errors(run.log, other),
    )


def _refuse_another_pack(log: Log, design: PackDesign, path: Path) -> None:
    """Refuse a log whose volts or amps cannot be those of this pack."""
    series, cell = design.series, design.cell
    middle_v = float(np.median(log.voltage_v)) / series
    if not _LEAST_SHARE * cell.cutoff_v <= middle_v <= _MOST_SHARE * cell.full_v:
        msg = (
            f"{path.name}: its voltages make {middle_v:.3g} V for each of {series} cells in "
            f"series, and a {cell.name} works from {cell.cutoff_v:g} to {cell.full_v:g} V; "
            "give the voltage of the whole pack, in volts"
        )
        raise LogError(msg)
    largest_a = float(np.max(np.abs(log.current_a)))
    most_a = _MOST_CRATE * design.capacity_ah
    if largest_a > most_a:
        msg = (
            f"{path.name}: {largest_a:.3g} A is {largest_a / design.capacity_ah:.0f} times the "
            f"capacity of the pack ({design.capacity_ah:.3g} Ah); give the current of the whole "
            "pack, in amperes"
        )
        raise LogError(msg)
    if np.max(log.current_a) <= 0 < largest_a:
        msg = (
            f"{path.name}: every current is negative; discharge counts as positive here, so turn "
            "the sign round"
        )
        raise LogError(msg)


def _refuse_nonsense(fit: Refit, names: str) -> None:
    """Refuse a fit that does not follow its logs, or does so only with impossible figures."""
    wrong = []
    if fit.rms_v > _LARGEST_RESIDUAL_V:
        wrong.append(f"{1000 * fit.rms_v:.0f} mV a cell are left between log and fit")
    farthest_v = float(fit.ocv_shift_v[np.argmax(np.abs(fit.ocv_shift_v))])
    if abs(farthest_v) > LARGEST_SHIFT_V:
        wrong.append(f"the open-circuit voltage of a cell would be {farthest_v:+.2f} V off")
    if wrong:
        msg = (
            f"{names} does not fit this pack: {' and '.join(wrong)}. Does the voltage fall "
            "under load, is discharge positive, is it the pack of this brief, in volts and amperes?"
        )
        raise LogError(msg)


def _sleeve_j_per_k(brief: Brief, design: PackDesign) -> float:
    """Give the thermal mass that is there where a brief says that nothing is added. [J/K]"""
    bare = changed_brief(brief, {"measured.added_thermal_mass": "0 J/K"})
    return thermal_path_of(bare, design.arrangement).surface_j_per_k


def keys_of_fit(found: LogFit, brief: Brief) -> Mapping[str, Any]:
    """Give the keys of a brief that say what the logs taught.

    Parameters
    ----------
    found : LogFit
        The fit.
    brief : Brief
        The brief that the fit began from: what it says already of the open-circuit voltage is kept.
    """
    fit = found.fit
    given_v = (brief.measured.open_circuit_shift_v if brief.measured is not None else ()) or (0, 0)
    known_v = np.interp(OCV_NODES, nodes_of(given_v), given_v)
    keys: dict[str, Any] = {
        "measured.cell_resistance": f"{float(found.resistance_ohm)!r} ohm",
        "measured.cell_resistance_spread": float(fit.cell.spread.resistance_fraction),
        "measured.open_circuit_shift": [
            f"{float(before_v + more_v)!r} V"
            for before_v, more_v in zip(known_v, fit.ocv_shift_v, strict=True)
        ],
        "measured.from_log": found.names,
    }
    if fit.capacity_ah is not None:
        keys["measured.cell_capacity"] = f"{float(fit.capacity_ah.mid)!r} A*h"
    if fit.heat_loss_w_per_k is not None:
        keys["measured.heat_loss"] = f"{float(fit.heat_loss_w_per_k.mid)!r} W/K"
    if fit.added_thermal_mass_j_per_k is not None:
        mass = max(float(fit.added_thermal_mass_j_per_k.mid) - found.sleeve_j_per_k, 0.0)
        keys["measured.added_thermal_mass"] = f"{mass!r} J/K"
    if fit.entropic_shift_v_per_k is not None:
        before = brief.measured.entropic_shift_v_per_k if brief.measured is not None else None
        shift = (before or 0.0) + float(fit.entropic_shift_v_per_k.mid)
        keys["measured.entropic_shift"] = f"{shift!r} V/K"
    return keys
