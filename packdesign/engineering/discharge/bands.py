"""How far a predicted run may be off, and which doubt matters most.

Every doubtful input of the cell, the joints and the cooling is drawn from its spread, many times
at once (Latin hypercube), and each draw is run through the fast engine. Low and high are the 5 and
95 % points of the draws; mid is the run with every input at its middle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.advice import measurement_advice
from packdesign.engineering.discharge.band_recorder import BandRecorder
from packdesign.engineering.discharge.batch import Batch, stack
from packdesign.engineering.discharge.cycles import has_many_cycles
from packdesign.engineering.discharge.draws import LEAST_FACTOR, average_ranks, normal_hypercube
from packdesign.engineering.discharge.fast_engine import run_rows
from packdesign.engineering.discharge.fleet import at_rest
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel, Trace
from packdesign.engineering.discharge.tally import Tally, limits_of
from packdesign.engineering.discharge.warm_kinds import kind_of, warm_kinds
from packdesign.foundation.basis import TWO_SIDED_90, Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["DischargeBands", "discharge_bands"]

_BAND: Final = (0.05, 0.95)
_PATH_SPREAD_FRACTION: Final = 0.15
"""Spread of everything outside the cells, one standard deviation: welds and contacts dominate it;
own choice."""
_FARTHEST_SD: Final = 3.0
"""Draws beyond this many standard deviations are brought back to it: none may turn negative."""
_LEAST_RELATIVE_WIDTH: Final = 1e-3
"""A band narrower than this share of its middle is no doubt worth ranking. [-]"""
_FEWEST_SAMPLES: Final = 20

_INPUTS: Final = (
    "capacity",
    "resistance",
    "slow resistance",
    "cold resistance",
    "warm resistance",
    "lag in the cold",
    "open-circuit voltage",
    "reversible heat",
    "heat capacity",
    "path resistance",
    "cooling",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DischargeBands:
    """Low, mid and high of the figures of a run, and what makes them uncertain."""

    run_time_s: Band
    min_voltage_v: Band
    """At the terminals of the pack. [V]"""
    peak_cell_degc: Band
    peak_surface_degc: Band
    delivered_ah: Band
    ranked_by: str
    """The figure that the ranking is about: "run time", "lowest voltage" or "cell temperature"."""
    ranking: tuple[tuple[str, float], ...]
    """Inputs by their share in the doubt about that figure, largest first. [-]"""
    advice: str
    """The one measurement that would narrow the band most, and how to take it safely."""
    samples: int
    trace: Trace | None = None
    """The mid run, where a trace was asked for."""
    voltage_low_v: FloatArray | None = None
    """On the times of ``trace``. [V]"""
    voltage_high_v: FloatArray | None = None

    def ended_at(self, share: float, ends_by: EndReason, *, end_v: float) -> DischargeBands:
        """Give the bands of a pack that ends earlier, the run over time cut off there.

        What it delivers shrinks with the run; lowest voltage and highest temperatures stay those
        of the whole run of like cells.

        Parameters
        ----------
        share : float
            Of the run time, up to 1. [-]
        ends_by : EndReason
            What ends it then.
        end_v : float
            Terminal voltage at that moment. [V]
        """
        if self.trace is None or self.voltage_low_v is None or self.voltage_high_v is None:
            return replace(self, delivered_ah=self.delivered_ah.scaled(share))
        trace = self.trace.ended_at(share, ends_by, end_v=end_v)
        whole_ah = self.trace.summary().delivered_ah
        given = trace.summary().delivered_ah / whole_ah if whole_ah > 0 else share
        low_v = self.trace.cut(self.voltage_low_v, share=share)
        high_v = self.trace.cut(self.voltage_high_v, share=share)
        low_v[-1] = min(low_v[-1], end_v)
        return replace(
            self,
            delivered_ah=self.delivered_ah.scaled(given),
            trace=trace,
            voltage_low_v=low_v,
            voltage_high_v=high_v,
        )


def discharge_bands(
    pack: PackModel,
    demand: Demand,
    conditions: Conditions,
    *,
    samples: int = 200,
    seed: int = 1,
    with_trace: bool = False,
) -> DischargeBands:
    """Run one demand through a pack many times, each time with other values of what is uncertain.

    Parameters
    ----------
    pack : PackModel
        The pack; its cell carries the spread of its model, its thermal path that of the cooling.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where it starts and what ends it.
    samples : int
        How many draws, 20 or more. [-]
    seed : int
        Start of the draws; the same seed gives the same bands. [-]
    with_trace : bool
        Whether to give the mid run and the voltage band over time too.

    Returns
    -------
    DischargeBands
        Bands of 5 to 95 %.

    Raises
    ------
    OutOfRangeError
        If there are too few samples.

    Notes
    -----
    Latin hypercube of independent normal inputs. A share in the ranking is the
    squared rank correlation of an input with the figure, over the sum of them all.
    """
    if samples < _FEWEST_SAMPLES:
        msg = f"samples is {samples}; bands need {_FEWEST_SAMPLES} or more"
        raise OutOfRangeError(msg)
    draws = _draws(samples, seed=seed)
    limits = limits_of([pack], demand, [conditions])
    everyone = np.zeros(samples + 1, dtype=np.intp)
    kinds = [replace(pack, cell=each) for each in warm_kinds(pack.cell)]
    of_kinds = stack(kinds, ambient_degc=np.full(len(kinds), conditions.ambient_degc))
    rows = kind_of(draws[:, _INPUTS.index("warm resistance")])
    recorder = BandRecorder(samples + 1, _BAND) if with_trace else None
    tally = run_rows(
        _varied(of_kinds.rows(rows), pack, conditions, draws=draws),
        demand,
        limits=limits.rows(everyone),
        state=at_rest([conditions] * (samples + 1)),
        longest_s=conditions.longest_s,
        watch=recorder,
    )
    figures = _figures(tally)
    ranked_by, ranking = _ranking(draws, figures)
    bands = DischargeBands(
        run_time_s=_band(tally.time_s),
        min_voltage_v=_band(tally.min_v),
        peak_cell_degc=_band(tally.peak_cell_degc),
        peak_surface_degc=_band(tally.peak_surface_degc),
        delivered_ah=_band(tally.charge_as / 3600.0),
        ranked_by=ranked_by,
        ranking=ranking,
        advice=measurement_advice(ranking, cell=pack.cell, ranked_by=ranked_by),
        samples=samples,
    )
    if recorder is None:
        return bands
    leaves_out = has_many_cycles(
        of_kinds.rows(everyone[:1]),
        demand,
        soc=np.array([conditions.start_soc]),
        longest_s=conditions.longest_s,
    )
    trace, low_v, high_v = recorder.told(
        tally.reasons[0], known=tally.summaries()[0] if leaves_out else None
    )
    return replace(bands, trace=trace, voltage_low_v=low_v, voltage_high_v=high_v)


def _draws(samples: int, *, seed: int) -> FloatArray:
    """Draw standard normal values, a row of zeros first. Shape (samples + 1, inputs)."""
    normal = normal_hypercube(samples, inputs=len(_INPUTS), seed=seed)
    near = np.clip(normal, -_FARTHEST_SD, _FARTHEST_SD)
    return np.vstack([np.zeros(len(_INPUTS)), near])


def _varied(batch: Batch, pack: PackModel, conditions: Conditions, *, draws: FloatArray) -> Batch:
    """Give each row of a batch of equal packs its own draw."""
    spread = pack.cell.spread

    def factor(name: str, fraction: float) -> FloatArray:
        draw = draws[:, _INPUTS.index(name)]
        return np.asarray(np.maximum(1.0 + fraction * draw, LEAST_FACTOR))

    every = factor("resistance", spread.resistance_fraction) * factor(
        "cold resistance", spread.cold_fraction_at(conditions.start_degc)
    )
    slow = every * factor("slow resistance", spread.slow_resistance_fraction)
    lag = spread.lag_factor_at(
        conditions.start_degc, draws=draws[:, _INPUTS.index("lag in the cold")]
    )
    cooling = factor("cooling", pack.thermal.spread_fraction / TWO_SIDED_90)
    shift_v = np.mean(spread.ocv_v) * draws[:, _INPUTS.index("open-circuit voltage")]
    shift_v_per_k = spread.entropic_v_per_k * draws[:, _INPUTS.index("reversible heat")]
    return replace(
        batch,
        capacity_as=batch.capacity_as * factor("capacity", spread.capacity_fraction),
        ohmic_ohm=batch.ohmic_ohm * every,
        transfer_ohm=batch.transfer_ohm * every,
        fast_ohm=batch.fast_ohm * slow,
        slow_ohm=batch.slow_ohm * slow,
        lag_per_a=batch.lag_per_a * slow * lag,
        lag_s=batch.lag_s * lag,
        ocv_shift_v=batch.ocv_shift_v + shift_v,
        entropic_shift_v_per_k=batch.entropic_shift_v_per_k + shift_v_per_k,
        cell_j_per_k=batch.cell_j_per_k * factor("heat capacity", spread.heat_capacity_fraction),
        path_ohm=batch.path_ohm * factor("path resistance", _PATH_SPREAD_FRACTION),
        surface_to_air_w_per_k=batch.surface_to_air_w_per_k * cooling,
    )


def _band(values: FloatArray) -> Band:
    """Give the mid run (first) with the 5 and 95 % points of the draws."""
    mid = float(values[0])
    low, high = np.quantile(values[1:], _BAND)
    return Band(min(float(low), mid), mid, max(float(high), mid))


def _figures(tally: Tally) -> dict[str, FloatArray]:
    return {
        "run time": tally.time_s,
        "lowest voltage": tally.min_v,
        "cell temperature": tally.peak_cell_degc,
    }


def _ranking(
    draws: FloatArray, figures: dict[str, FloatArray]
) -> tuple[str, tuple[tuple[str, float], ...]]:
    """Rank the inputs by the first figure that is in doubt at all."""
    doubtful = [name for name, values in figures.items() if _is_in_doubt(values)]
    if not doubtful:
        return "run time", tuple((each, 0.0) for each in _INPUTS)
    name = doubtful[0]
    values = figures[name]
    ranks = average_ranks(np.column_stack([draws, values])[1:])
    centred = ranks - ranks.mean(axis=0)
    squared = (centred[:, :-1].T @ centred[:, -1]) ** 2
    squared /= np.sum(centred[:, :-1] ** 2, axis=0) * np.sum(centred[:, -1] ** 2)
    shares = squared / np.sum(squared)
    order = np.argsort(-shares)
    return name, tuple((_INPUTS[int(k)], float(shares[k])) for k in order)


def _is_in_doubt(values: FloatArray) -> bool:
    low, high = np.quantile(values, _BAND)
    return bool(high - low > _LEAST_RELATIVE_WIDTH * abs(float(values[0])))
