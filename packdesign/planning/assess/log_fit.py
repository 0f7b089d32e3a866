"""Logs of the real device held against the pack's model, and the model fitted to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.nodes import OCV_NODES
from packdesign.engineering.discharge.refit import Refit, refit
from packdesign.engineering.discharge.replay import (
    Log,
    LoggedRun,
    ReplayErrors,
    log_demand,
    log_start,
    replay_errors,
    told_soc,
)
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import LogError
from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.assess.logs_to_fit import (
    log_with_voltage,
    refuse_another_pack,
    refuse_the_same_twice,
)
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import thermal_path_of
from packdesign.planning.refit.open_circuit import LARGEST_SHIFT_V, nodes_of

__all__ = ["FittedLog", "LogFit", "fit_log", "keys_of_fit"]

_SOC: Final = 0.5
_DEGC: Final = 20.0
_PULSE_S: Final = 10.0
"""Moment that the brief's measured cell resistance is for."""
_LARGEST_RESIDUAL_V: Final = 0.12
"""Per cell, four times what a voltage is taken to scatter: beyond it the fit says nothing. [V]"""

_GAP_S: Final = 60.0
_GAP_STEPS: Final = 20.0
"""Rows farther apart than both, the latter in usual steps of the log, with a load at either end,
are told as a gap: own choice. [s], [-]"""


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

    is_start_told: bool
    """Whether its first voltage tells the charge; otherwise the brief does."""

    @property
    def words(self) -> str:
        """Where the log starts and where it has a gap, in sentences."""
        return " ".join(each for each in (self._start_words, _gap_words(self.log)) if each)

    @property
    def _start_words(self) -> str:
        charge = f"{self.name} begins at {100 * self.start.start_soc:.0f} % of the charge"
        if self.is_start_told:
            return f"{charge}, as its first voltage tells."
        return f"{charge}, as the brief has it: {_why_untold(self.log)}."


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
        refuse_another_pack(log, design, path)
    refuse_the_same_twice(logs, paths)
    otherwise = conditions_of(brief, design)
    runs = [LoggedRun(log=log, start=log_start(log, design.model, otherwise)) for log in logs]
    fit = refit(runs, design.model)
    fitted = tuple(
        _fitted(run, path.name, before=design.model, after=fit.pack)
        for run, path in zip(runs, paths, strict=True)
    )
    _refuse_nonsense(fit, fitted)
    return LogFit(
        logs=fitted,
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
        is_start_told=told_soc(run.log, before, temperature_degc=run.start.start_degc) is not None,
    )


def _why_untold(log: Log) -> str:
    """Say why the first voltage of a log tells no charge."""
    if not log.at_rest[0]:
        return "its first voltage is under load"
    return "its first voltage lies where the curve is too flat to tell"


def _gap_words(log: Log) -> str:
    """Tell of the longest gap between rows under load; empty where there is none."""
    step_s = np.diff(log.time_s)
    loaded = ~(log.at_rest[1:] & log.at_rest[:-1])
    row = int(np.argmax(step_s * loaded))
    if step_s[row] <= max(_GAP_S, _GAP_STEPS * float(np.median(step_s))) or not loaded[row]:
        return ""
    begin_s, end_s = (float(log.time_s[k] - log.time_s[0]) for k in (row, row + 1))
    return (
        f"It has no rows between {spoken_time(begin_s)} and {spoken_time(end_s)}: the current is "
        "taken as going straight from one to the other. If the device did something else, the "
        "figures are off: cut the log there."
    )


def _refuse_nonsense(fit: Refit, logs: Sequence[FittedLog]) -> None:
    """Refuse a fit that does not follow its logs, or does so only with impossible figures."""
    wrong = []
    if fit.rms_v > _LARGEST_RESIDUAL_V:
        wrong.append(f"{1000 * fit.rms_v:.0f} mV a cell are left between log and fit")
    farthest_v = float(fit.ocv_shift_v[np.argmax(np.abs(fit.ocv_shift_v))])
    if abs(farthest_v) > LARGEST_SHIFT_V:
        wrong.append(f"the open-circuit voltage of a cell would be {farthest_v:+.2f} V off")
    if wrong:
        msg = (
            f"{', '.join(each.name for each in logs)} does not fit this pack: "
            f"{' and '.join(wrong)}. Does the voltage fall under load, is discharge positive, is "
            f"it the pack of this brief, in volts and amperes?{_doubted_start(logs)}"
        )
        raise LogError(msg)


def _doubted_start(logs: Sequence[FittedLog]) -> str:
    """Ask where a log begins that does not tell it itself; empty where all do."""
    untold = next((each for each in logs if not each.is_start_told), None)
    if untold is None:
        return ""
    return (
        f" Does {untold.name} begin at {100 * untold.start.start_soc:.0f} % of the charge? Its own "
        "first voltage does not tell; [start] soc in the brief says it."
    )


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
