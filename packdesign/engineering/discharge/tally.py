"""Running figures of many packs during a run, and the limits that end it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.moment import Moment, State
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel, RunSummary
from packdesign.engineering.discharge.step import Step

__all__ = ["LIMIT_REASONS", "Limits", "Tally", "limits_of"]

LIMIT_REASONS: Final = (
    EndReason.POWER,
    EndReason.CUTOFF,
    EndReason.RAIL,
    EndReason.TEMPERATURE,
    EndReason.EMPTY,
)
"""What each row of :meth:`Limits.room` stands for; the first one beyond is the reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits of n packs. Every array has shape (n,)."""

    cell_v: FloatArray
    pack_v: FloatArray
    cell_degc: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> Limits:
        """Take some of the packs."""
        return Limits(
            cell_v=self.cell_v[keep], pack_v=self.pack_v[keep], cell_degc=self.cell_degc[keep]
        )

    def broken(self, at: Moment, state: State) -> NDArray[np.bool_]:
        """Tell which packs are beyond a limit. Shape (n,).

        Parameters
        ----------
        at : Moment
            Voltages of the packs, and what charge is left within reach.
        state : State
            Where they are.
        """
        return np.asarray(
            at.beyond
            | (at.cell_v < self.cell_v)
            | (at.voltage_v < self.pack_v)
            | (state.cell_degc > self.cell_degc)
            | (at.reach < 0.0)
        )

    def room(self, at: Moment, state: State) -> FloatArray:
        """Room before each limit, negative beyond it. Shape (limits, n), rows as LIMIT_REASONS.

        Parameters
        ----------
        at : Moment
            Voltages of the packs, and what charge is left within reach.
        state : State
            Where they are.
        """
        return np.stack(
            [
                np.where(at.beyond, -1.0, 1.0),
                at.cell_v - self.cell_v,
                at.voltage_v - self.pack_v,
                self.cell_degc - state.cell_degc,
                at.reach,
            ]
        )


def limits_of(
    packs: Sequence[PackModel], demand: Demand, conditions: Sequence[Conditions]
) -> Limits:
    """Gather the limits of many packs.

    Parameters
    ----------
    packs : sequence of PackModel
        The n packs.
    demand : Demand
        What is asked of them; its ``minimum_v`` is the rail limit.
    conditions : sequence of Conditions
        One a pack.
    """
    pairs = list(zip(packs, conditions, strict=True))
    return Limits(
        cell_v=np.array(
            [pack.cell.cutoff_v if at.cutoff_v is None else at.cutoff_v for pack, at in pairs]
        ),
        pack_v=np.full(len(pairs), demand.minimum_v),
        cell_degc=np.array(
            [
                pack.cell.discharge_max_degc if at.max_cell_degc is None else at.max_cell_degc
                for pack, at in pairs
            ]
        ),
    )


class Tally:
    """Running figures of n packs; with the fleet, the one thing here that changes in place.

    Parameters
    ----------
    count : int
        How many packs.
    reason : EndReason
        What is reported of a pack that meets no limit.
    """

    def __init__(self, count: int, *, reason: EndReason) -> None:
        self.time_s = np.zeros(count)
        self.charge_as = np.zeros(count)
        self.energy_j = np.zeros(count)
        self.squared_a2s = np.zeros(count)
        self.min_v = np.full(count, np.inf)
        self.peak_a = np.full(count, -np.inf)
        self.peak_cell_degc = np.full(count, -np.inf)
        self.peak_surface_degc = np.full(count, -np.inf)
        self.end_soc = np.zeros(count)
        self.reasons = [reason] * count

    def rows(self, keep: NDArray[np.intp]) -> Tally:
        """Take some of the packs, in another order if need be."""
        other = Tally(0, reason=EndReason.TIME)
        for name, value in vars(self).items():
            if name != "reasons":
                setattr(other, name, value[keep])
        other.reasons = [self.reasons[int(k)] for k in keep]
        return other

    @classmethod
    def joined(cls, parts: Sequence[Tally]) -> Tally:
        """Lay the figures of several groups of packs under each other."""
        whole = cls(0, reason=EndReason.TIME)
        for name in vars(whole):
            if name != "reasons":
                setattr(whole, name, np.concatenate([getattr(part, name) for part in parts]))
        whole.reasons = [reason for part in parts for reason in part.reasons]
        return whole

    def extremes(self) -> FloatArray:
        """Least voltage (negative), most current, cell and surface temperature. Shape (4, n)."""
        return np.stack([-self.min_v, self.peak_a, self.peak_cell_degc, self.peak_surface_degc])

    def widen(self, extremes: FloatArray) -> None:
        """Take extremes seen elsewhere into account, as :meth:`extremes` gives them."""
        self.min_v = np.minimum(self.min_v, -extremes[0])
        self.peak_a = np.maximum(self.peak_a, extremes[1])
        self.peak_cell_degc = np.maximum(self.peak_cell_degc, extremes[2])
        self.peak_surface_degc = np.maximum(self.peak_surface_degc, extremes[3])

    def sums(self) -> FloatArray:
        """Time, charge, energy and squared current so far. Shape (4, n). [s, A s, J, A2 s]"""
        return np.stack([self.time_s, self.charge_as, self.energy_j, self.squared_a2s])

    def add_sums(self, more: FloatArray) -> None:
        """Add to what :meth:`sums` gives."""
        self.time_s += more[0]
        self.charge_as += more[1]
        self.energy_j += more[2]
        self.squared_a2s += more[3]

    def see(self, who: NDArray[np.intp], at: Moment, state: State) -> None:
        """Note extremes at one moment of the packs ``who``."""
        self.min_v[who] = np.minimum(self.min_v[who], at.voltage_v)
        self.peak_a[who] = np.maximum(self.peak_a[who], at.current_a)
        self.peak_cell_degc[who] = np.maximum(self.peak_cell_degc[who], state.cell_degc)
        self.peak_surface_degc[who] = np.maximum(self.peak_surface_degc[who], state.surface_degc)
        self.end_soc[who] = state.soc

    def add(
        self,
        who: NDArray[np.intp],
        *,
        begin: Moment,
        step: Step,
        end: Moment,
        step_s: FloatArray,
    ) -> None:
        """Add the charge, energy and time of one step; energy by Simpson's rule."""
        middle = step.middle
        power_w = begin.current_a * begin.voltage_v + end.current_a * end.voltage_v
        power_w = (power_w + 4 * middle.current_a * middle.voltage_v) / 6
        charge_as = middle.current_a * step_s
        self.time_s[who] += step_s
        self.charge_as[who] += charge_as
        self.energy_j[who] += power_w * step_s
        self.squared_a2s[who] += middle.current_a * charge_as

    def stop(self, who: NDArray[np.intp], reasons: Sequence[EndReason]) -> None:
        """Note why the packs ``who`` ended."""
        for index, reason in zip(who, reasons, strict=True):
            self.reasons[int(index)] = reason

    def summaries(self) -> tuple[RunSummary, ...]:
        """Close the books: one summary a pack."""
        over_time_a = np.sqrt(self.squared_a2s / np.maximum(self.time_s, 1e-12))
        # a run that ends at once has no mean: what it began with stands for it
        rms_a = np.where(self.time_s > 0, over_time_a, np.abs(self.peak_a))
        return tuple(
            RunSummary(
                run_time_s=float(self.time_s[k]),
                delivered_ah=float(self.charge_as[k]) / 3600,
                delivered_wh=float(self.energy_j[k]) / 3600,
                min_voltage_v=float(self.min_v[k]),
                peak_current_a=float(self.peak_a[k]),
                rms_current_a=float(rms_a[k]),
                peak_cell_degc=float(self.peak_cell_degc[k]),
                peak_surface_degc=float(self.peak_surface_degc[k]),
                end_soc=float(self.end_soc[k]),
                ends_by=self.reasons[k],
            )
            for k in range(len(self.time_s))
        )
