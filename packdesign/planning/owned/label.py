"""What is printed on a pack that was bought whole: claims, each held against what is known."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from typing import Final

from packdesign.data.cell_sizes import outer_volume_l
from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, CellForm, Confidence, Family
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["DELIVERED_CRATE", "DELIVERED_SOURCE", "cell_from_label", "label_verdicts"]

DELIVERED_CRATE: Final = (12.0, 36.0)
"""Least and most that 28 packs delivered, measured at their resistance, whatever their label said
(45C and 100C of one brand among them). [1/h]"""
DELIVERED_SOURCE: Final = (
    "load tests of 28 bought packs, radiocontrolinfo.com/lipo-c-rating-myth-real-performance-test, "
    "undated copy read 2026-11-25: 12C to 36C delivered, label against measured R2 0.145"
)
_ENERGY_SLACK: Final = 0.08
"""Energy and capacity of one label agree within this, for nominal voltages of 3.6 to 3.85 V. [-]"""
_POUCH_NOMINAL_V: Final = 3.7
_POUCH_FULL_V: Final = 4.2
_POUCH_CUTOFF_V: Final = 3.0
# usual figures of a bought lithium polymer pack: common practice, no source
_PROPORTIONS: Final = (10.0, 34.0, 50.0)
"""Thickness, width and length of the commonest pouch shape; only their ratios count."""


def cell_from_label(pack: Pack) -> Cell:
    """Make a cell from the label of a pack of which nobody knows the cells.

    Parameters
    ----------
    pack : Pack
        The pack, with ``label_capacity`` and ``series``.

    Returns
    -------
    Cell
        A pouch of the usual chemistry. Its current is no rating: a label is a claim.

    Raises
    ------
    BriefError
        If the label's capacity or the count in series is missing.
    """
    if pack.label_capacity_ah is None or pack.series is None:
        missing = "label_capacity" if pack.label_capacity_ah is None else "series"
        msg = (
            f"[pack] needs {missing} to judge a pack by its label; give label_capacity and series, "
            "or name the cell"
        )
        raise BriefError(msg)
    parallel = pack.parallel or 1
    capacity_ah = pack.label_capacity_ah / parallel
    thickness_m, width_m, length_m = _likely_size_m(capacity_ah * _POUCH_NOMINAL_V)
    claim_a = None if pack.label_crate is None else pack.label_crate * capacity_ah
    return Cell(
        maker="owned",
        part_number=f"{pack.label_capacity_ah * 1000:g} mAh pack, one cell",
        form=CellForm.POUCH,
        size_code="",
        family=Family.LCO,
        chemistry="lithium polymer, taken as LCO",
        capacity_ah=capacity_ah,
        nominal_v=_POUCH_NOMINAL_V,
        full_v=_POUCH_FULL_V,
        cutoff_v=_POUCH_CUTOFF_V,
        standard_charge_a=capacity_ah,
        unrated_a=claim_a,
        unrated_condition="C-rate of the label times capacity: a claim",
        thickness_m=thickness_m,
        width_m=width_m,
        length_m=length_m,
        discharge_max_degc=60.0,
        confidence=Confidence.LOW,
        source="the label of the pack",
        notes="nominal, full and cut-off voltage, 1C charge and 60 degC are common practice; "
        "its size is that of pouches alike: measure it",
        bases={"capacity_ah": Basis.ASSUMED},
    )


def _likely_size_m(energy_wh: float) -> tuple[float, ...]:
    """Size of a pouch of this energy, at the middle energy per litre of the shipped pouches. [m]"""
    dense = statistics.median(
        cell.capacity_ah * cell.nominal_v / volume_l
        for cell in load_cells().rows_with(form=CellForm.POUCH)
        if (volume_l := outer_volume_l(cell))
    )
    scale = (energy_wh / dense / 1000.0 / math.prod(_PROPORTIONS)) ** (1 / 3)
    return tuple(side * scale for side in _PROPORTIONS)


def label_verdicts(pack: Pack, *, peak_a: float | None = None) -> Iterator[Verdict]:
    """Judge what the label claims.

    Parameters
    ----------
    pack : Pack
        The pack.
    peak_a : float or None
        Largest current that the device draws, where it is known. [A]

    Yields
    ------
    Verdict
        "label_crate", "label_energy"; only what the label lets be judged.
    """
    if pack.label_crate is not None:
        yield _crate(pack.label_crate, pack.label_capacity_ah, peak_a)
    capacity_ah, energy_wh, series = pack.label_capacity_ah, pack.label_energy_wh, pack.series
    if None not in (capacity_ah, energy_wh, series):
        yield _energy(capacity_ah or 0.0, energy_wh or 0.0, series or 1)


def _crate(label: float, capacity_ah: float | None, peak_a: float | None) -> Verdict:
    least, most = DELIVERED_CRATE
    asked = None if peak_a is None or not capacity_ah else peak_a / capacity_ah
    claim = f"The label claims {label:g}C; 28 measured packs delivered {least:g}C to {most:g}C."
    if asked is None:
        status, told = Status.UNKNOWN, "What the device asks of it is not known."
    elif asked > most:
        status, told = Status.STOP, f"The device asks {asked:.1f}C, more than any of them gave."
    elif asked > min(least, label):
        status, told = Status.CAUTION, f"The device asks {asked:.1f}C: measure before you trust it."
    else:
        status, told = Status.OK, f"The device asks {asked:.1f}C, which the least of them gave."
    limit = min(least, label)
    return Verdict(
        id="label_crate",
        status=status,
        value=asked,
        limit=limit,
        unit="C",
        margin=None if asked is None else (limit - asked) / limit,
        reason=f"{claim} {told}",
        fix=""
        if status is Status.OK
        else "Read the pack under two loads and enter [measured.two_load]; a label is a claim.",
        basis=Basis.PUBLISHED,
        source=DELIVERED_SOURCE,
    )


def _energy(capacity_ah: float, energy_wh: float, series: int) -> Verdict:
    per_cell_v = energy_wh / (capacity_ah * series)
    off = per_cell_v / _POUCH_NOMINAL_V - 1.0
    agrees = abs(off) <= _ENERGY_SLACK
    told = "which agrees" if agrees else "which no cell of this kind has"
    return Verdict(
        id="label_energy",
        status=Status.OK if agrees else Status.CAUTION,
        value=per_cell_v,
        limit=_POUCH_NOMINAL_V,
        unit="V",
        reason=(
            f"{energy_wh:g} Wh over {capacity_ah:g} Ah and {series} in series means "
            f"{per_cell_v:.2f} V per cell, {told}."
        ),
        fix=""
        if agrees
        else "Measure the capacity with a slow discharge; one of the two is false.",
        basis=Basis.PRACTICE,
        source="energy is capacity times nominal voltage, 3.6 to 3.85 V for such cells",
    )
