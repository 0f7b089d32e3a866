"""Re-fit a pack model to a log: resistance, capacity, open-circuit voltage and cooling.

Least squares over the fast engine, with what was known before as part of the problem: each figure
is held near the model's value as strongly as the model's spread says, so that a log which does not
tell two of them apart leaves them where they were. Voltage gives resistance, open-circuit voltage
and, where the log comes near empty, capacity; temperature gives the cooling and the reversible heat
after that, so that heat is never taken for resistance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import constants, optimize

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import stack
from packdesign.engineering.discharge.cell_model import OCV_NODES, SOC_GRID, CellModel
from packdesign.engineering.discharge.compared import POINTS, compared_s, longest_rest_s
from packdesign.engineering.discharge.fast_engine import run_rows
from packdesign.engineering.discharge.fleet import at_rest
from packdesign.engineering.discharge.replay import Log, log_demand
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.discharge.tally import Limits
from packdesign.foundation.basis import TWO_SIDED_90, Band, Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Refit", "refit"]

_SCATTER_V: Final = 0.03
"""Scatter given to each compared voltage of a cell. A model is off by some 10 mV over stretches of
a log, not from point to point; of the 300 points some 30 are taken as independent. Own choice."""
_SCATTER_K: Final = 1.5
"""The same for a temperature: 0.5 K. Own choice."""
_SCATTER_AT_REST_V: Final = 0.005
"""Scatter of a rested voltage at the start of a log, per cell. Own choice."""
_MASS_SPREAD: Final = 0.7
"""Spread of the added thermal mass before the fit, as a logarithm: a factor of two. Own choice."""
_COVERS_FRACTION: Final = 0.7
"""Share of the capacity that a log must move before the capacity is fitted: own choice."""
_LEAST_RISE_K: Final = 2.0
_REVERSIBLE: Final = "reversible heat"
_REFERENCE_K: Final = 298.15
"""Makes a voltage of the entropic coefficient, so that all shifts are volts. [K]"""
_CHANGE: Final = 1e-3
_REACH: Final = 1.96
"""Standard deviations to both ends of a 95 % interval."""
_FARTHEST: Final = 1.8
"""Largest logarithm of any factor: a factor of six. [-]"""
_LEAST_SPREAD: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Refit:
    """What a log says of a pack, each with its 95 % confidence interval."""

    resistance_factor: Band
    """Every resistance of the cell, relative to the model before. [-]"""
    capacity_ah: Band | None
    """Of the cell; None where the log moves too little charge. [A h]"""
    heat_loss_w_per_k: Band | None
    """Per cell; None where the log has no temperature, or one that hardly moves. [W/K]"""
    added_thermal_mass_j_per_k: Band | None
    """Per cell. [J/K]"""
    entropic_shift_v_per_k: Band | None
    """How the change of the open-circuit voltage with temperature was moved, over all charge; it
    makes the reversible heat. [V/K]"""
    ocv_shift_v: FloatArray
    """How the open-circuit voltage of the cell was moved at ``OCV_NODES``. [V]"""
    rms_v: float
    """What is left between log and fit, per cell. [V]"""
    pack: PackModel
    """The pack with the fitted figures, its cell saying so in its bases."""

    @property
    def cell(self) -> CellModel:
        """The adjusted cell."""
        return self.pack.cell


def refit(log: Log, pack: PackModel, conditions: Conditions) -> Refit:
    """Fit a pack model to a log of it.

    Parameters
    ----------
    log : Log
        Time, current, voltage and, where there is one, surface temperature, at pack level. A rest
        before and after the load tells resistance and open-circuit voltage apart.
    pack : PackModel
        The model before.
    conditions : Conditions
        Where the log starts; its limits are not used.

    Returns
    -------
    Refit
        The figures and the adjusted pack.

    Raises
    ------
    OutOfRangeError
        If the log draws no current.

    Notes
    -----
    The intervals come from the curvature at the solution, known spreads included, widened where
    more is left over than the scatter explains (any text on non-linear least squares).
    """
    if np.max(log.current_a) <= 0:
        msg = "the log draws no current, so nothing can be fitted; use a log of the device at work"
        raise OutOfRangeError(msg)
    electrical = _Problem(log, pack, conditions, thermal=False)
    first = electrical.solve()
    fit = electrical.result(first)
    if log.temperature_degc is None or np.ptp(log.temperature_degc) <= _LEAST_RISE_K:
        return fit
    thermal = _Problem(log, fit.pack, conditions, thermal=True)
    return thermal.with_cooling(fit, thermal.solve())


class _Problem:
    """One log and one pack as a least squares problem; factors as logarithms, shifts in volts."""

    def __init__(self, log: Log, pack: PackModel, conditions: Conditions, *, thermal: bool) -> None:
        self._pack, self._conditions, self._is_thermal = pack, conditions, thermal
        self._demand = log_demand(log)
        time_s = log.time_s - log.time_s[0]
        longest_s = float("inf") if thermal else longest_rest_s(pack.cell, conditions)
        self._grid_s = compared_s(time_s, log.at_rest, longest_s=longest_s)
        self._volts = np.interp(self._grid_s, time_s, log.voltage_v) / pack.series
        self._rested_v = float(self._volts[0]) if log.at_rest[0] else None
        if log.temperature_degc is not None:
            self._degc = np.interp(self._grid_s, time_s, log.temperature_degc)
        known = pack.cell.spread
        if thermal:
            spreads = {
                "heat loss": pack.thermal.spread_fraction / TWO_SIDED_90,
                "added mass": _MASS_SPREAD,
                _REVERSIBLE: known.entropic_v_per_k * _REFERENCE_K,
            }
        else:
            spreads = {"resistance": known.resistance_fraction}
            ocv_v = np.interp(OCV_NODES, SOC_GRID, known.ocv_v).tolist()
            spreads |= {f"shift {k}": each for k, each in enumerate(ocv_v)}
            moved_as = float(np.sum(self._demand.current_a * self._demand.duration_s))
            if moved_as > _COVERS_FRACTION * pack.capacity_ah * constants.hour:
                spreads["capacity"] = known.capacity_fraction
        self.names = tuple(spreads)
        self.spread = np.maximum(np.array(list(spreads.values())), _LEAST_SPREAD)

    def solve(self) -> optimize.OptimizeResult:
        """Find the parameters."""
        count = len(self.names)
        return optimize.least_squares(
            self._of_one,
            np.zeros(count),
            jac=self.jacobian,
            x_scale=self.spread,
            bounds=(np.full(count, -_FARTHEST), np.full(count, _FARTHEST)),
            max_nfev=25,
        )

    def _of_one(self, x: FloatArray) -> FloatArray:
        return np.asarray(self.residuals([x])[0])

    def residuals(self, rows: Sequence[FloatArray]) -> FloatArray:
        """Differences over their scatter, and moves over their spread; all rows in one batch."""
        packs = [self._adjusted(x) for x in rows]
        starts = [self._conditions] * len(packs)
        points: list[FloatArray] = []

        def watch(who: NDArray[np.intp], point: FloatArray) -> None:
            whole = np.full((6, len(packs)), np.nan)
            whole[:, who] = point
            points.append(whole)

        nowhere = np.full(len(packs), np.inf)
        run_rows(
            stack(packs, ambient_degc=np.array([each.ambient_degc for each in starts])),
            self._demand,
            limits=Limits(cell_v=-nowhere, pack_v=-nowhere, cell_degc=nowhere),
            state=at_rest(starts),
            longest_s=float(np.inf),
            watch=watch,
        )
        table = np.array(points)
        return np.array([self._row(table[:, :, k], x) for k, x in enumerate(rows)])

    def jacobian(self, x: FloatArray) -> FloatArray:
        """Change of the residuals with each parameter."""
        rows = self.residuals([x, *(x + _CHANGE * np.eye(len(x)))])
        return np.asarray((rows[1:] - rows[0]).T / _CHANGE)

    def _row(self, table: FloatArray, x: FloatArray) -> FloatArray:
        table = table[np.isfinite(table[:, 0])]
        known = x / self.spread
        if self._is_thermal:
            degc = np.interp(self._grid_s, table[:, 0], table[:, 5])
            return np.concatenate([(degc - self._degc) / _SCATTER_K, known])
        volts = np.interp(self._grid_s, table[:, 0], table[:, 2]) / self._pack.series
        parts = [(volts - self._volts) / _SCATTER_V, known]
        if self._rested_v is not None:
            at = self._conditions
            cell = self._adjusted(x).cell
            open_v = cell.ocv_at(at.start_soc, temperature_degc=at.start_degc)
            parts.append(np.array([(open_v - self._rested_v) / _SCATTER_AT_REST_V]))
        return np.concatenate(parts)

    def _adjusted(self, x: FloatArray) -> PackModel:
        """Put one set of parameters into the pack."""
        by = dict(zip(self.names, x.tolist(), strict=True))
        cell = self._pack.cell
        at_nodes = [by.get(f"shift {k}", 0.0) for k in range(len(OCV_NODES))]
        shift = np.interp(SOC_GRID, OCV_NODES, at_nodes)
        thermal = replace(
            self._pack.thermal,
            surface_to_air_w_per_k=self._pack.thermal.surface_to_air_w_per_k
            * float(np.exp(by.get("heat loss", 0.0))),
            surface_j_per_k=self._pack.thermal.surface_j_per_k
            * float(np.exp(by.get("added mass", 0.0))),
        )
        cell = cell.aged(
            capacity_fraction=float(np.exp(by.get("capacity", 0.0))),
            resistance_factor=float(np.exp(by.get("resistance", 0.0))),
        )
        cell = replace(
            cell,
            ocv_v=np.maximum.accumulate(cell.ocv_v + shift),
            entropic_v_per_k=cell.entropic_v_per_k + by.get(_REVERSIBLE, 0.0) / _REFERENCE_K,
        )
        return replace(self._pack, cell=cell, thermal=thermal)

    def result(self, found: optimize.OptimizeResult) -> Refit:
        """Turn the electrical solution into figures, intervals and a pack."""
        bands, sds = self._bands(found)
        by = dict(zip(self.names, found.x.tolist(), strict=True))
        has_capacity = "capacity" in bands
        return Refit(
            resistance_factor=bands["resistance"],
            capacity_ah=bands["capacity"].scaled(self._pack.cell.capacity_ah)
            if has_capacity
            else None,
            heat_loss_w_per_k=None,
            added_thermal_mass_j_per_k=None,
            entropic_shift_v_per_k=None,
            ocv_shift_v=np.array([by[f"shift {k}"] for k in range(len(OCV_NODES))]),
            rms_v=float(np.sqrt(np.mean((found.fun[:POINTS] * _SCATTER_V) ** 2))),
            pack=_told(self._adjusted(found.x), sds),
        )

    def with_cooling(self, fit: Refit, found: optimize.OptimizeResult) -> Refit:
        """Add the thermal solution to the electrical one."""
        bands, sds = self._bands(found)
        before = self._pack.thermal
        after = self._adjusted(found.x)
        left = min(TWO_SIDED_90 * sds["heat loss"], before.spread_fraction)
        thermal = replace(after.thermal, spread_fraction=left, basis=Basis.MEASURED)
        moved = float(found.x[self.names.index(_REVERSIBLE)]) / _REFERENCE_K
        reach = _REACH * sds[_REVERSIBLE] / _REFERENCE_K
        known = after.cell.spread
        spread = replace(known, entropic_v_per_k=min(reach / _REACH, known.entropic_v_per_k))
        return replace(
            fit,
            heat_loss_w_per_k=bands["heat loss"].scaled(before.surface_to_air_w_per_k),
            added_thermal_mass_j_per_k=bands["added mass"].scaled(before.surface_j_per_k),
            entropic_shift_v_per_k=Band(moved - reach, moved, moved + reach),
            pack=replace(after, cell=replace(after.cell, spread=spread), thermal=thermal),
        )

    def _bands(self, found: optimize.OptimizeResult) -> tuple[dict[str, Band], dict[str, float]]:
        """Give each factor with its 95 % interval, and every standard deviation.

        A shift is no factor; its band is not to be used.
        """
        freedom = max(1, len(found.fun) - len(found.x))
        scale = max(1.0, 2 * float(found.cost) / freedom)
        sd = np.sqrt(np.diag(np.linalg.pinv(found.jac.T @ found.jac)) * scale)
        bands = {}
        for name, middle, spread in zip(self.names, found.x, sd, strict=True):
            low, mid, high = np.exp(middle + _REACH * spread * np.array([-1.0, 0.0, 1.0]))
            bands[name] = Band(float(low), float(mid), float(high))
        return bands, dict(zip(self.names, sd.tolist(), strict=True))


def _told(pack: PackModel, sds: dict[str, float]) -> PackModel:
    """Let the pack say what was fitted, and how far each figure may still be off."""
    known = pack.cell.spread
    fitted = "re-fitted to a log of the device"
    bases = dict(pack.cell.bases) | {"resistance": fitted, "open-circuit voltage": fitted}
    if "capacity" in sds:
        bases["capacity"] = fitted
    shift_sd = [sd for name, sd in sds.items() if name.startswith("shift")]
    spread = replace(
        known,
        resistance_fraction=min(sds["resistance"], known.resistance_fraction),
        capacity_fraction=min(sds.get("capacity", np.inf), known.capacity_fraction),
        ocv_v=np.minimum(np.interp(SOC_GRID, OCV_NODES, shift_sd), known.ocv_v),
    )
    return replace(pack, cell=replace(pack.cell, bases=bases, spread=spread))
