"""The gauge of one pack in its device: thresholds for the day and the age at which it sags most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import hardest_a
from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.service_end import wear_at_service_end
from packdesign.planning.brief.charge_sections import Monitor
from packdesign.planning.brief.schema import Brief
from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.service import Gauge, gauge
from packdesign.planning.gauge.thresholds import stop_hold_s
from packdesign.planning.needs.heat import coldest_degc
from packdesign.planning.needs.monitor import (
    adc_of,
    behind_fraction,
    divider_of,
    start_lasts_s,
    wished_levels,
)
from packdesign.planning.needs.upkeep import asks_for_life, service_years
from packdesign.planning.upkeep.aged_burst import aged_pack
from packdesign.planning.verdicts.judge import spoken

__all__ = ["SaggingPack", "gauge_of", "sagging_pack"]

_LASTING_S: Final = 3600.0
"""Load after which every part of a cell has settled: its slowest takes minutes; own choice. [s]"""
_SHORTEST_WORK_S: Final = 10.0
"""Stretch from which a load is work and no start: a reading that warns has to last so long. [s]"""
_LENGTHS: Final = 9
"""Lengths of a stretch that are tried, from the shortest work to the settled cell. [-]"""
_READ_SOC: Final = 0.2
"""Charge at which two stretches are compared: near empty, where the device acts; own choice. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SaggingPack:
    """A pack on the day and at the age at which it sags most."""

    model: PackModel
    temperature_degc: float
    words: str
    """Temperature and age of the cells, as they go on in a sentence."""

    def open_circuit_v(self, soc: float) -> float:
        """Open-circuit voltage of a cell. [V]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        """
        return self.model.cell.ocv_at(soc, temperature_degc=self.temperature_degc)

    def ohm_after(self, seconds: float, *, current_a: float) -> Callable[[float], float]:
        """Give the resistance at the terminals that a load meets, over the state of charge. [ohm]

        Parameters
        ----------
        seconds : float
            How long the load has lasted. [s]
        current_a : float
            Current of the pack. [A]
        """
        model = self.model

        def at(soc: float) -> float:
            cell_ohm = model.cell.pulse_ohm(
                soc=soc,
                temperature_degc=self.temperature_degc,
                current_a=current_a / model.parallel,
                pulse_s=seconds,
            )
            return cell_ohm * model.series / model.parallel + model.path_ohm

        return at


def sagging_pack(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> SaggingPack:
    """Give the pack on the coldest day, and at the end of its service where the brief tells of it.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does under that.
    """
    cold_degc = coldest_degc(brief)
    told = f"cells at {spoken(cold_degc, 'degC')}"
    if not asks_for_life(brief):
        return SaggingPack(model=design.model, temperature_degc=cold_degc, words=told)
    years = service_years(brief)
    wear = wear_at_service_end(brief, design, loading, outcome)
    if wear is None:  # a verdict of the years ahead says that its ageing is not known
        return SaggingPack(model=design.model, temperature_degc=cold_degc, words=told)
    aged = aged_pack(design.model, wear)
    when = "a year" if years == 1 else f"{spoken(years)} years"
    return SaggingPack(model=aged, temperature_degc=cold_degc, words=f"{told} after {when}")


def gauge_of(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Gauge:
    """Work out the voltages at which the device warns, limits and stops.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does under that.

    Notes
    -----
    The working load is that stretch of the work which draws the pack down the most: a short hard
    one meets less resistance, a long easy one less current. A device reads its pack while it works;
    the rms current of a run that is mostly idle would promise readings that work never shows.
    """
    sagging = sagging_pack(brief, design, loading, outcome)
    start_s = start_lasts_s(brief)
    work = _hardest_work(design, loading, outcome, sagging, start_s=start_s)
    working_a = work.current_a
    peak_a = max(peak_current_a(loading, outcome), working_a)
    pack = GaugePack(
        series=design.series,
        family=design.cell.family.value,
        cell_full_v=design.cell.full_v,
        cell_cutoff_v=design.cell.cutoff_v,
        open_circuit_v=sagging.open_circuit_v,
        lasting_ohm=work.ohm,
        sudden_ohm=work.ohm,
        working_a=working_a,
        peak_a=peak_a,
        start_s=start_s,
        capacity_ah=sagging.model.capacity_ah,
        rail_minimum_v=loading.demand.minimum_v,
        behind_fraction=behind_fraction(brief, parallel=design.parallel),
        wished=wished_levels(brief),
        sagged_when=sagging.words,
    )
    hold_s = stop_hold_s(pack)  # what a start meets in it has no part in how long it is
    pack = replace(pack, sudden_ohm=sagging.ohm_after(hold_s, current_a=peak_a))
    monitor = brief.monitor or Monitor()
    tolerance = monitor.resistor_tolerance_fraction
    drain_a = monitor.divider_current_a
    return gauge(
        pack,
        adc=adc_of(brief),
        divider=divider_of(brief),
        tolerance_fraction=0.01 if tolerance is None else tolerance,
        most_drain_a=float("inf") if drain_a is None else drain_a,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """A stretch of the work on top of the whole run."""

    current_a: float
    """Rms current of the stretch. [A]"""
    mean_a: float
    """Mean current of the run, to which the cells have settled before. [A]"""
    settled_ohm: Callable[[float], float]
    """Resistance that a load meets for good. [ohm]"""
    fresh_ohm: Callable[[float], float]
    """Resistance that what the stretch draws beyond the mean meets at its end. [ohm]"""

    def ohm(self, soc: float) -> float:
        """What the stretch takes off the pack at its end, over its current. [ohm]"""
        if self.current_a <= 0:
            return self.settled_ohm(soc)
        settled = min(self.mean_a / self.current_a, 1.0)
        return settled * self.settled_ohm(soc) + (1.0 - settled) * self.fresh_ohm(soc)


def _hardest_work(
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    sagging: SaggingPack,
    *,
    start_s: float,
) -> _Work:
    """Find the stretch that draws the pack down the most; twice a start is the shortest."""
    run = outcome.summary
    mean_a = run.delivered_ah * SECONDS_PER_HOUR / run.run_time_s if run.run_time_s > 0 else 0.0

    def stretch(lasts_s: float) -> _Work:
        current_a = hardest_a(design, loading, outcome, at_least_s=lasts_s)
        return _Work(
            current_a=current_a,
            mean_a=max(mean_a, 0.0),
            settled_ohm=sagging.ohm_after(_LASTING_S, current_a=current_a),
            fresh_ohm=sagging.ohm_after(lasts_s, current_a=current_a),
        )

    shortest_s = min(max(_SHORTEST_WORK_S, 2 * start_s), _LASTING_S)
    return max(
        (stretch(each) for each in np.geomspace(shortest_s, _LASTING_S, _LENGTHS).tolist()),
        key=lambda work: work.current_a * work.ohm(_READ_SOC),
    )
