"""Logs and a pack model as a least squares problem: factors as logarithms, shifts in volts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import constants, optimize

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import stack
from packdesign.engineering.discharge.compared import POINTS, Compared, compared, longest_rest_s
from packdesign.engineering.discharge.fast_engine import run_rows
from packdesign.engineering.discharge.fleet import at_rest
from packdesign.engineering.discharge.nodes import OCV_NODES, SOC_GRID
from packdesign.engineering.discharge.replay import LoggedRun
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.discharge.tally import Limits
from packdesign.foundation.basis import TWO_SIDED_90, Band

__all__ = [
    "REACH",
    "REFERENCE_K",
    "Problem",
    "Solution",
    "electrical_problem",
    "thermal_problem",
]

REACH: Final = 1.96
"""Standard deviations to both ends of a 95 % interval."""
REFERENCE_K: Final = 298.15
"""Makes a voltage of the entropic coefficient, so that all shifts are volts. [K]"""
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
_CHANGE: Final = 1e-3
_FARTHEST: Final = 1.8
"""Largest logarithm of any factor: a factor of six. [-]"""
_LEAST_SPREAD: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Where the least squares ended."""

    moved: dict[str, float]
    """Logarithms of factors, shifts in volts."""
    deviations: dict[str, float]
    """Standard deviation of each. [-]"""
    rms_v: float
    """What is left between logs and model, per cell; of no meaning for a thermal problem. [V]"""
    pack: PackModel
    """The pack moved so."""

    def factor(self, name: str) -> Band:
        """One of the factors with its 95 % interval.

        Parameters
        ----------
        name : str
            Which.
        """
        reach = REACH * self.deviations[name]
        return Band(*(float(np.exp(self.moved[name] + k * reach)) for k in (-1.0, 0.0, 1.0)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What is compared, what may move, and how far it was known before."""

    pack: PackModel
    logs: tuple[Compared, ...]
    spreads: dict[str, float]
    is_thermal: bool
    """Whether temperatures are compared, or voltages."""

    def solve(self) -> Solution:
        """Find what moves the model onto the logs.

        Notes
        -----
        The deviations come from the curvature at the solution, known spreads included, widened
        where more is left over than the scatter explains (any text on non-linear least squares).
        """
        count = len(self.spreads)
        found = optimize.least_squares(
            self._of_one,
            np.zeros(count),
            jac=self.jacobian,
            x_scale=self._known(),
            bounds=(np.full(count, -_FARTHEST), np.full(count, _FARTHEST)),
            max_nfev=25,
        )
        freedom = max(1, len(found.fun) - count)
        scale = max(1.0, 2 * float(found.cost) / freedom)
        slope = np.asarray(found.jac)
        deviation = np.sqrt(np.diag(np.linalg.pinv(slope.T @ slope)) * scale)
        left_v = found.fun[: POINTS * len(self.logs)] * _SCATTER_V
        return Solution(
            moved=dict(zip(self.spreads, found.x.tolist(), strict=True)),
            deviations=dict(zip(self.spreads, deviation.tolist(), strict=True)),
            rms_v=float(np.sqrt(np.mean(left_v**2))),
            pack=self._moved(found.x),
        )

    def _of_one(self, x: FloatArray) -> FloatArray:
        return np.asarray(self.residuals([x])[0])

    def residuals(self, rows: Sequence[FloatArray]) -> FloatArray:
        """Differences over their scatter, and moves over their spread.

        Parameters
        ----------
        rows : sequence of array
            Moves to try, all in one batch.

        Returns
        -------
        array
            Shape (rows, residuals).
        """
        packs = [self._moved(x) for x in rows]
        parts = [self._of_log(log, packs) for log in self.logs]
        if not self.is_thermal:
            parts += [self._of_rest(log, packs) for log in self.logs]
        known = np.array(rows) / self._known()
        return np.concatenate([*parts, known], axis=1)

    def jacobian(self, x: FloatArray) -> FloatArray:
        """Change of the residuals with each move.

        Parameters
        ----------
        x : array
            Where.
        """
        rows = self.residuals([x, *(x + _CHANGE * np.eye(len(x)))])
        return np.asarray((rows[1:] - rows[0]).T / _CHANGE)

    def _known(self) -> FloatArray:
        return np.asarray(np.maximum(np.array(list(self.spreads.values())), _LEAST_SPREAD))

    def _of_log(self, log: Compared, packs: Sequence[PackModel]) -> FloatArray:
        """Differences over one log, over their scatter. Shape (rows, POINTS)."""
        table = _traces(log, packs)
        found = []
        for k in range(len(packs)):
            trace = table[np.isfinite(table[:, 0, k]), :, k]
            if log.surface_degc is not None and self.is_thermal:
                degc = np.interp(log.time_s, trace[:, 0], trace[:, 5])
                found.append((degc - log.surface_degc) / _SCATTER_K)
            else:
                cell_v = np.interp(log.time_s, trace[:, 0], trace[:, 2]) / self.pack.series
                found.append((cell_v - log.cell_v) / _SCATTER_V)
        return np.array(found)

    def _of_rest(self, log: Compared, packs: Sequence[PackModel]) -> FloatArray:
        """Difference of the rested voltage before one log. Shape (rows, 0 or 1)."""
        if log.rested_v is None:
            return np.zeros((len(packs), 0))
        at = log.start
        open_v = [pack.cell.ocv_at(at.start_soc, temperature_degc=at.start_degc) for pack in packs]
        return np.asarray((np.array(open_v)[:, None] - log.rested_v) / _SCATTER_AT_REST_V)

    def _moved(self, x: FloatArray) -> PackModel:
        """Put one set of moves into the pack."""
        by = dict(zip(self.spreads, x.tolist(), strict=True))
        cell, path = self.pack.cell, self.pack.thermal
        at_nodes = [by.get(f"shift {k}", 0.0) for k in range(len(OCV_NODES))]
        shift_v = np.interp(SOC_GRID, OCV_NODES, at_nodes)
        thermal = replace(
            path,
            surface_to_air_w_per_k=path.surface_to_air_w_per_k
            * float(np.exp(by.get("heat loss", 0.0))),
            surface_j_per_k=path.surface_j_per_k * float(np.exp(by.get("added mass", 0.0))),
        )
        cell = cell.aged(
            capacity_fraction=float(np.exp(by.get("capacity", 0.0))),
            resistance_factor=float(np.exp(by.get("resistance", 0.0))),
        )
        cell = replace(
            cell,
            ocv_v=np.maximum.accumulate(cell.ocv_v + shift_v),
            entropic_v_per_k=cell.entropic_v_per_k + by.get("reversible heat", 0.0) / REFERENCE_K,
        )
        return replace(self.pack, cell=cell, thermal=thermal)


def electrical_problem(runs: Sequence[LoggedRun], pack: PackModel) -> Problem:
    """Ask the voltages for resistance, open-circuit voltage and, near empty, capacity.

    Parameters
    ----------
    runs : sequence of LoggedRun
        The logs.
    pack : PackModel
        The model before.
    """
    known = pack.cell.spread
    ocv_v = np.interp(OCV_NODES, SOC_GRID, known.ocv_v).tolist()
    spreads = {"resistance": known.resistance_fraction}
    spreads |= {f"shift {k}": each for k, each in enumerate(ocv_v)}
    logs = tuple(
        compared(run, pack, longest_s=longest_rest_s(pack.cell, run.start)) for run in runs
    )
    moved_ah = max(
        float(np.sum(log.demand.current_a * log.demand.duration_s)) / constants.hour for log in logs
    )
    if moved_ah > _COVERS_FRACTION * pack.capacity_ah:
        spreads["capacity"] = known.capacity_fraction
    return Problem(pack=pack, logs=logs, spreads=spreads, is_thermal=False)


def thermal_problem(runs: Sequence[LoggedRun], pack: PackModel) -> Problem:
    """Ask the temperatures for cooling, added mass and reversible heat.

    Parameters
    ----------
    runs : sequence of LoggedRun
        The logs, all with temperature.
    pack : PackModel
        The model after the voltages have been asked.
    """
    return Problem(
        pack=pack,
        logs=tuple(compared(run, pack, longest_s=float("inf")) for run in runs),
        spreads={
            "heat loss": pack.thermal.spread_fraction / TWO_SIDED_90,
            "added mass": _MASS_SPREAD,
            "reversible heat": pack.cell.spread.entropic_v_per_k * REFERENCE_K,
        },
        is_thermal=True,
    )


def _traces(log: Compared, packs: Sequence[PackModel]) -> FloatArray:
    """Run one log through packs side by side. Shape (points, 6, packs); NaN where one has none."""
    starts = [log.start] * len(packs)
    points: list[FloatArray] = []

    def watch(who: NDArray[np.intp], point: FloatArray) -> None:
        whole = np.full((6, len(packs)), np.nan)
        whole[:, who] = point
        points.append(whole)

    nowhere = np.full(len(packs), np.inf)
    run_rows(
        stack(packs, ambient_degc=np.array([each.ambient_degc for each in starts])),
        log.demand,
        limits=Limits(cell_v=-nowhere, pack_v=-nowhere, cell_degc=nowhere),
        state=at_rest(starts),
        longest_s=float(np.inf),
        watch=watch,
    )
    return np.array(points)
