"""The figures by which packs are ranked, each worked out once from what was run and judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.data.cell_sizes import outer_volume_l
from packdesign.data.cells import Cell, Confidence
from packdesign.engineering.ageing.cycle_life import CycleUse, cycles_to
from packdesign.engineering.ageing.cycle_table import row_of_cell
from packdesign.engineering.charging.closed_form import StraightCell, charge_straight_cell
from packdesign.engineering.discharge.run import PackModel, RunSummary
from packdesign.foundation.basis import Basis
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "RankFigures",
    "charge_time_s",
    "cycle_life",
    "doubts_of",
    "is_safety",
    "safety_margin",
    "stops_and_unknowns",
    "volume_left_fraction",
]

_ENOUGH: Final = {
    "voltage_min_": 0.5,
    "voltage_max_": 0.2,
    "continuous_current": 0.5,
    "burst_current": 0.5,
    "cell_temperature": 0.3,
    "surface_temperature": 0.1,
    "charge_current": 0.2,
    "run_time": 0.3,
}
"""Limits that a pack may harm somebody or fail in the hand at, with the margin beyond which more is
no better: else the strongest cell would always win. A full voltage and a charge current are known
well, a sag and a peak are not. Half a rating is common derating, the others are own choice. [-]"""
_RECALLED: Final = {
    "capacity_ah": "capacity",
    "continuous_a": "continuous current",
    "full_v": "full voltage",
    "cutoff_v": "cut-off voltage",
}
"""Fields that a ranking leans on; chemistry, recalled for most makers, only picks the curve."""
_NOBODY: Final = ("Unbranded", "Generic")
"""Makers of the table that are none: a size as many sell it."""
_SETTLED_PULSE_S: Final = 600.0
"""Length of a pulse after which the resistance of a charge has settled; own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RankFigures:
    """What one pack is ranked by. None: not known."""

    stops: int
    """Verdicts that say stop. [-]"""
    unknown: int
    """Safety verdicts that nobody can answer. [-]"""
    safety: float
    """Least share of a margin that is enough, over all limits that count; 1 where all are. [-]"""
    margin_fraction: float
    """Margin to the limit that has the least share; 1 where nothing was held against one. [-]"""
    margin_name: str
    """Verdict that has it, empty where no limit was held against anything."""
    run_time_s: float
    burst_fraction: float | None
    """Room to the burst rating, as a fraction of it. [-]"""
    peak_cell_degc: float
    rise_k: float
    """Of the hottest cell over the air; at least 10 K, since less is as good as none. [K]"""
    mass_kg: float
    volume_left_fraction: float | None
    cycles: float | None
    """Full cycles to 80 % of capacity in this mission. [-]"""
    charge_time_s: float | None
    price: float | None
    """Of all cells; the shipped table has none. [currency]"""
    currency: str
    """What the price is in; empty without one."""
    aged_low_v: float | None
    """Lowest voltage at the device when aged, near empty and cold. [V]"""
    doubts: tuple[str, ...]
    """Figures recalled or of low confidence."""


def is_safety(verdict: Verdict) -> bool:
    """Tell whether the margin of a verdict counts as safety.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    """
    return verdict.id.startswith(tuple(_ENOUGH))


def safety_margin(verdicts: Sequence[Verdict]) -> tuple[float, float, str]:
    """Find the limit that a pack stands nearest to, measured by what margin is enough there.

    Parameters
    ----------
    verdicts : sequence of Verdict
        Verdicts on one pack.

    Returns
    -------
    tuple of float, float and str
        Share of the margin that is enough, the margin itself, and the verdict. [-]

    Examples
    --------
    >>> near = Verdict(id="burst_current", status=Status.OK, margin=0.2)
    >>> safety_margin([near, Verdict(id="voltage_max_x", status=Status.OK, margin=0.2)])
    (0.4, 0.2, 'burst_current')
    """
    shares = [
        (min(each.margin / _enough(each), 1.0), each.margin, each.id)
        for each in verdicts
        if is_safety(each) and each.margin is not None
    ]
    return min(shares, default=(1.0, 1.0, ""))


def _enough(verdict: Verdict) -> float:
    return next(value for start, value in _ENOUGH.items() if verdict.id.startswith(start))


def doubts_of(cell: Cell) -> tuple[str, ...]:
    """Name the figures of a cell that were recalled, and say where the whole row is doubtful.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    recalled = [
        words
        for name, words in _RECALLED.items()
        if getattr(cell, name) is not None and cell.basis_of(name) is Basis.ASSUMED
    ]
    found = []
    if cell.maker in _NOBODY:
        found.append("no maker stands behind it")
    if cell.confidence is Confidence.LOW:
        found.append("its row in the table is of low confidence")
    if recalled:
        found.append(f"recalled, not read from a sheet: {', '.join(recalled)}")
    return tuple(found)


def cycle_life(
    cell: Cell, summary: RunSummary, *, parallel: int, charge_a: float | None
) -> float | None:
    """Estimate the full cycles to 80 % of capacity in this mission. [-]

    Parameters
    ----------
    cell : Cell
        The cell.
    summary : RunSummary
        The run.
    parallel : int
        Cells in parallel. [-]
    charge_a : float or None
        Charge current of the pack; None is C/2. [A]

    Returns
    -------
    float or None
        Middle of what is published; None for families without a figure.
    """
    full_ah = cell.capacity_ah * parallel
    use = CycleUse(
        discharge_crate=summary.rms_current_a / full_ah,
        charge_crate=0.5 if charge_a is None else charge_a / full_ah,
    )
    try:
        band = cycles_to(cell.family, use, own=row_of_cell(cell))
    except OutOfRangeError:
        return None
    return None if band is None else band.mid


def charge_time_s(model: PackModel, *, charge_a: float, end_a: float) -> float | None:
    """Estimate a whole charge from a straight open-circuit line. [s]

    Parameters
    ----------
    model : PackModel
        The pack.
    charge_a : float
        Current of the pack. [A]
    end_a : float
        Current of the pack at which it stops. [A]

    Notes
    -----
    Good enough to compare packs; the charge plan of an assessment simulates the real curve.
    """
    cell = model.cell
    ohm = cell.pulse_ohm(
        soc=0.5,
        temperature_degc=25.0,
        current_a=charge_a / model.parallel,
        pulse_s=_SETTLED_PULSE_S,
    )
    try:
        charge = charge_straight_cell(
            StraightCell(
                capacity_ah=cell.capacity_ah,
                empty_v=cell.ocv_at(0.05),
                full_v=cell.full_v,
                resistance_ohm=ohm,
            ),
            charge_a=charge_a / model.parallel,
            end_a=min(end_a, charge_a) / model.parallel,
            start_soc=0.05,
        )
    except OutOfRangeError:
        return None
    return charge.time_h * SECONDS_PER_HOUR


def volume_left_fraction(cell: Cell, *, count: int, cavity_m3: float | None) -> float | None:
    """Give the share of a cavity that bare cells leave over. [-]

    Parameters
    ----------
    cell : Cell
        The cell.
    count : int
        How many. [-]
    cavity_m3 : float or None
        Free inside; None in free air. [m3]
    """
    volume_l = outer_volume_l(cell)
    if volume_l is None or not cavity_m3:
        return None
    return 1.0 - count * volume_l / (cavity_m3 * 1000.0)


def stops_and_unknowns(verdicts: Sequence[Verdict]) -> tuple[int, int]:
    """Count the verdicts that say stop, and the safety verdicts nobody can answer.

    Parameters
    ----------
    verdicts : sequence of Verdict
        Verdicts on one pack.
    """
    stops = sum(each.status is Status.STOP for each in verdicts)
    unknown = sum(each.status is Status.UNKNOWN and is_safety(each) for each in verdicts)
    return stops, unknown
