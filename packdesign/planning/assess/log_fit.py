"""A log of the real device held against the pack's model, and the model fitted to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.measured_log import read_log
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.refit import Refit, refit
from packdesign.engineering.discharge.replay import Log, ReplayErrors, log_demand, replay_errors
from packdesign.engineering.discharge.run import Trace
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import LogError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import thermal_path_of

__all__ = ["LogFit", "fit_log", "keys_of_fit", "log_with_voltage"]

_SOC: Final = 0.5
_DEGC: Final = 20.0
_PULSE_S: Final = 10.0
"""Moment that the brief's measured cell resistance is for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFit:
    """A log, what was predicted for it before and after the fit, and the fit."""

    log: Log
    before: Trace
    errors_before: ReplayErrors
    fit: Refit
    after: Trace
    errors_after: ReplayErrors
    resistance_ohm: float
    """Of one cell after the fit, as the brief takes it. [ohm]"""
    sleeve_j_per_k: float
    """Thermal mass of the cell's own sleeve, which a brief's added mass leaves out. [J/K]"""

    @property
    def entropic_shift_mv_per_k(self) -> Band | None:
        """How the change of a cell's voltage with temperature was moved. [mV/K]"""
        shift = self.fit.entropic_shift_v_per_k
        return None if shift is None else shift.scaled(1000.0)


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


def fit_log(brief: Brief, design: PackDesign, path: Path) -> LogFit:
    """Hold a log against the model of a pack, and fit the model to it.

    Parameters
    ----------
    brief : Brief
        The brief, for where the run starts.
    design : PackDesign
        The pack that the log was taken from.
    path : Path
        The log, at pack level.

    Raises
    ------
    LogError
        If the log cannot be used.
    """
    log = log_with_voltage(path)
    start = conditions_of(brief, design)
    if log.temperature_degc is not None:
        start = replace(start, start_degc=float(log.temperature_degc[0]))
    demand = log_demand(log)
    before = run_pack(design.model, demand, start)
    fit = refit(log, design.model, start)
    after = run_pack(fit.pack, demand, start)
    return LogFit(
        log=log,
        before=before,
        errors_before=replay_errors(log, before),
        fit=fit,
        after=after,
        errors_after=replay_errors(log, after),
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


def _sleeve_j_per_k(brief: Brief, design: PackDesign) -> float:
    """Give the thermal mass that is there where a brief says that nothing is added. [J/K]"""
    bare = changed_brief(brief, {"measured.added_thermal_mass": "0 J/K"})
    return thermal_path_of(bare, design.arrangement).surface_j_per_k


def keys_of_fit(found: LogFit, brief: Brief, *, name: str) -> Mapping[str, Any]:
    """Give the keys of a brief that say what the log taught.

    Parameters
    ----------
    found : LogFit
        The fit.
    brief : Brief
        The brief that the fit began from: what it says already of the open-circuit voltage is kept.
    name : str
        Name of the log, kept with the figures.
    """
    fit = found.fit
    known_v = (brief.measured.open_circuit_shift_v if brief.measured is not None else ()) or (0, 0)
    keys: dict[str, Any] = {
        "measured.cell_resistance": f"{float(found.resistance_ohm)!r} ohm",
        "measured.cell_resistance_spread": float(fit.cell.spread.resistance_fraction),
        "measured.open_circuit_shift": [
            f"{float(before_v + more_v)!r} V"
            for before_v, more_v in zip(known_v, fit.ocv_shift_v, strict=True)
        ],
        "measured.from_log": name,
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
