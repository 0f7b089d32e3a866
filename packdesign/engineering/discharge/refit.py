"""Re-fit a pack model to logs of it: resistance, capacity, open-circuit voltage and cooling.

Least squares over the fast engine, with what was known before as part of the problem: each figure
is held near the model's value as strongly as the model's spread says, so that a log which does not
tell two of them apart leaves them where they were. Voltage gives resistance, open-circuit voltage
and, where a log comes near empty, capacity; temperature gives the cooling and the reversible heat
after that, so that heat is never taken for resistance. Logs at unlike currents tell more than one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.nodes import OCV_NODES, SOC_GRID
from packdesign.engineering.discharge.refit_problem import (
    REACH,
    REFERENCE_K,
    Solution,
    electrical_problem,
    thermal_problem,
)
from packdesign.engineering.discharge.replay import LoggedRun
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.basis import TWO_SIDED_90, Band, Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Refit", "refit"]

_LEAST_RISE_K: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Refit:
    """What logs say of a pack, each with its 95 % confidence interval."""

    resistance_factor: Band
    """Every resistance of the cell, relative to the model before. [-]"""
    capacity_ah: Band | None
    """Of the cell; None where no log moves enough charge. [A h]"""
    heat_loss_w_per_k: Band | None
    """Per cell; None where no log has a temperature, or one that hardly moves. [W/K]"""
    added_thermal_mass_j_per_k: Band | None
    """Per cell. [J/K]"""
    entropic_shift_v_per_k: Band | None
    """How the change of the open-circuit voltage with temperature was moved, over all charge; it
    makes the reversible heat. [V/K]"""
    ocv_shift_v: FloatArray
    """How the open-circuit voltage of the cell was moved at ``OCV_NODES``. [V]"""
    rms_v: float
    """What is left between logs and fit, per cell. [V]"""
    pack: PackModel
    """The pack with the fitted figures, its cell saying so in its bases."""

    @property
    def cell(self) -> CellModel:
        """The adjusted cell."""
        return self.pack.cell


def refit(runs: Sequence[LoggedRun], pack: PackModel) -> Refit:
    """Fit a pack model to logs of it.

    Parameters
    ----------
    runs : sequence of LoggedRun
        Time, current, voltage and, where there is one, surface temperature, at pack level, each
        with where it starts. A rest before and after the load tells resistance and open-circuit
        voltage apart.
    pack : PackModel
        The model before.

    Returns
    -------
    Refit
        The figures and the adjusted pack.

    Raises
    ------
    OutOfRangeError
        If there is no log, or one draws no current.
    """
    if not runs or any(np.max(run.log.current_a) <= 0 for run in runs):
        msg = "the log draws no current, so nothing can be fitted; use a log of the device at work"
        raise OutOfRangeError(msg)
    fit = _with_voltages(pack, electrical_problem(runs, pack).solve())
    warming = [run for run in runs if _warms(run)]
    if not warming:
        return fit
    return _with_cooling(fit, thermal_problem(warming, fit.pack).solve())


def _warms(run: LoggedRun) -> bool:
    degc = run.log.temperature_degc
    return degc is not None and float(np.ptp(degc)) > _LEAST_RISE_K


def _with_voltages(before: PackModel, found: Solution) -> Refit:
    """Turn what the voltages told into figures, intervals and a pack."""
    told = found.factor("capacity") if "capacity" in found.moved else None
    return Refit(
        resistance_factor=found.factor("resistance"),
        capacity_ah=None if told is None else told.scaled(before.cell.capacity_ah),
        heat_loss_w_per_k=None,
        added_thermal_mass_j_per_k=None,
        entropic_shift_v_per_k=None,
        ocv_shift_v=np.array([found.moved[f"shift {k}"] for k in range(len(OCV_NODES))]),
        rms_v=found.rms_v,
        pack=_told(found),
    )


def _with_cooling(fit: Refit, found: Solution) -> Refit:
    """Add what the temperatures told."""
    before, after = fit.pack.thermal, found.pack
    left = min(TWO_SIDED_90 * found.deviations["heat loss"], before.spread_fraction)
    thermal = replace(after.thermal, spread_fraction=left, basis=Basis.MEASURED)
    moved = found.moved["reversible heat"] / REFERENCE_K
    deviation = found.deviations["reversible heat"] / REFERENCE_K
    known = after.cell.spread
    spread = replace(known, entropic_v_per_k=min(deviation, known.entropic_v_per_k))
    return replace(
        fit,
        heat_loss_w_per_k=found.factor("heat loss").scaled(before.surface_to_air_w_per_k),
        added_thermal_mass_j_per_k=found.factor("added mass").scaled(before.surface_j_per_k),
        entropic_shift_v_per_k=Band(moved - REACH * deviation, moved, moved + REACH * deviation),
        pack=replace(after, cell=replace(after.cell, spread=spread), thermal=thermal),
    )


def _told(found: Solution) -> PackModel:
    """Let the pack say what was fitted, and how far each figure may still be off."""
    pack, deviations = found.pack, found.deviations
    known = pack.cell.spread
    fitted = "re-fitted to a log of the device"
    bases = dict(pack.cell.bases) | {"resistance": fitted, "open-circuit voltage": fitted}
    if "capacity" in deviations:
        bases["capacity"] = fitted
    at_nodes = [deviations[f"shift {k}"] for k in range(len(OCV_NODES))]
    spread = replace(
        known,
        resistance_fraction=min(deviations["resistance"], known.resistance_fraction),
        capacity_fraction=min(deviations.get("capacity", np.inf), known.capacity_fraction),
        ocv_v=np.minimum(np.interp(SOC_GRID, OCV_NODES, at_nodes), known.ocv_v),
    )
    return replace(pack, cell=replace(pack.cell, bases=bases, spread=spread))
