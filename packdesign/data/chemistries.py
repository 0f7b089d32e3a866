"""Load what is known of a family: resistance, heat, entropy, capacity in the cold, limits.

The tables are in ``cell_data/chemistries``; each row carries its basis and source.
"""

from __future__ import annotations

import functools
import statistics
from collections.abc import Sequence

import numpy as np

from packdesign.data.cells import Family
from packdesign.data.chemistry_records import (
    CapacityAtRate,
    Chemistry,
    FamilyLimits,
    PulseRatios,
    RatioTable,
    SheetRatio,
)
from packdesign.data.csv_reader import Columns, Row, read_rows
from packdesign.data.folder import table_path
from packdesign.data.ocv import family_ocv, ocv_for
from packdesign.foundation.basis import Band, Basis, weakest

__all__ = ["Chemistry", "SheetRatio", "load_chemistry", "ocv_for", "sheet_ratios"]

_RATIOS = ("ratio_low", "ratio", "ratio_high")
_BASIS_SOURCE = ("basis", "source")
_HEADINGS = {
    "resistance_temperature": ("family", "temperature_degc", *_RATIOS),
    "resistance_soc": ("family", "soc_fraction", *_RATIOS),
    "resistance_pulse": ("temperature_degc", "pulse_s", "ratio"),
    "ac_to_dc": ("cell", "ac_milliohm", "ac_kind", "dc_milliohm", "dc_pulse_s", "ratio"),
    "entropic": ("family", "soc_fraction", "coefficient_mv_per_k", "spread_mv_per_k"),
    "heat_capacity": ("family", "low_j_per_kg_k", "mid_j_per_kg_k", "high_j_per_kg_k"),
    "capacity_temperature": ("family", "c_rate", "temperature_degc", "capacity_fraction"),
    "limits": (
        "family", "full_v", "nominal_v", "cutoff_v", "floor_v",
        "storage_low_soc_fraction", "storage_high_soc_fraction",
    ),
}  # fmt: skip


@functools.cache
def load_chemistry(family: Family) -> Chemistry:
    """Load every table of a family.

    Parameters
    ----------
    family : Family
        The family.

    Returns
    -------
    Chemistry
        Its tables, as arrays.

    Raises
    ------
    TableError
        If a table cannot be read or says nothing of the family.

    Examples
    --------
    >>> chemistry = load_chemistry(Family.NMC)
    >>> round(chemistry.resistance_temperature.band(0.0).mid, 2)
    1.74
    """
    entropic = _rows_of("entropic", family)
    heat = _rows_of("heat_capacity", family)[0]
    return Chemistry(
        family=family,
        ocv=family_ocv(family),
        resistance_temperature=_ratio_table("resistance_temperature", "temperature_degc", family),
        resistance_soc=_ratio_table("resistance_soc", "soc_fraction", family),
        resistance_pulse=_pulse_ratios(),
        ac_to_dc_ratio=_ac_to_dc("typical"),
        ac_maximum_to_dc_ratio=_ac_to_dc("maximum"),
        entropic_soc=np.array([row.needed("soc_fraction", low=0, high=1) for row in entropic]),
        entropic_v_per_k=np.array([row.needed("coefficient_mv_per_k") for row in entropic]) / 1000,
        entropic_spread_v_per_k=np.array([row.needed("spread_mv_per_k") for row in entropic])
        / 1000,
        entropic_basis=_weakest(entropic),
        entropic_source=_sources(entropic),
        specific_heat_j_per_kg_k=Band(
            *(heat.needed(f"{which}_j_per_kg_k", low=300) for which in ("low", "mid", "high"))
        ),
        specific_heat_basis=heat.basis(),
        specific_heat_source=heat.needed_text("source"),
        capacity=_capacity(family),
        limits=_limits(_rows_of("limits", family)[0]),
    )


@functools.cache
def sheet_ratios() -> tuple[SheetRatio, ...]:
    """Give every sheet that prints both a DC resistance and a 1 kHz impedance."""
    return tuple(
        SheetRatio(
            ratio=row.needed("ratio"),
            ac_is_maximum=row.text("ac_kind") == "maximum",
            dc_pulse_s=row.number("dc_pulse_s"),
        )
        for row in _table("ac_to_dc")
    )


@functools.cache
def _table(name: str) -> tuple[Row, ...]:
    columns = Columns((*_HEADINGS[name], *_BASIS_SOURCE))
    return tuple(read_rows(table_path(f"chemistries/{name}.csv"), columns))


def _rows_of(name: str, family: Family) -> list[Row]:
    rows = [row for row in _table(name) if row.choice("family", Family) is family]
    if not rows:
        problem = f"has no row for '{family.value}'; each table needs every family"
        raise _table(name)[0].error(column="family", problem=problem)
    return rows


def _ratio_table(name: str, quantity: str, family: Family) -> RatioTable:
    rows = _rows_of(name, family)
    low, mid, high = (np.array([row.needed(each, low=0.1) for row in rows]) for each in _RATIOS)
    return RatioTable(
        at=np.array([row.needed(quantity) for row in rows]),
        low=low,
        mid=mid,
        high=high,
        basis=_weakest(rows),
        source=_sources(rows),
    )


@functools.cache
def _pulse_ratios() -> PulseRatios:
    rows = _table("resistance_pulse")
    temperatures = sorted({row.needed("temperature_degc") for row in rows})
    pulses = sorted({row.needed("pulse_s", low=0.001) for row in rows})
    found = {
        (row.needed("temperature_degc"), row.needed("pulse_s")): row.needed("ratio") for row in rows
    }
    return PulseRatios(
        pulse_s=np.array(pulses),
        temperature_degc=np.array(temperatures),
        ratio=np.array([[found[t, p] for p in pulses] for t in temperatures]),
        basis=_weakest(rows),
        source=_sources(rows),
    )


@functools.cache
def _ac_to_dc(kind: str) -> Band:
    """Lowest, median and highest ratio among the sheets that print both."""
    ratios = [row.needed("ratio") for row in _table("ac_to_dc") if row.text("ac_kind") == kind]
    return Band(min(ratios), statistics.median(ratios), max(ratios))


def _capacity(family: Family) -> tuple[CapacityAtRate, ...]:
    rows = _rows_of("capacity_temperature", family)
    curves = []
    for rate in sorted({row.needed("c_rate", low=0.01) for row in rows}):
        at_rate = [row for row in rows if row.needed("c_rate") == rate]
        curves.append(
            CapacityAtRate(
                c_rate=rate,
                temperature_degc=np.array([row.needed("temperature_degc") for row in at_rate]),
                fraction=np.array([row.needed("capacity_fraction") for row in at_rate]),
                basis=_weakest(at_rate),
                source=_sources(at_rate),
            )
        )
    return tuple(curves)


def _limits(row: Row) -> FamilyLimits:
    return FamilyLimits(
        full_v=row.needed("full_v"),
        nominal_v=row.needed("nominal_v"),
        cutoff_v=row.needed("cutoff_v"),
        floor_v=row.number("floor_v"),
        storage_low_soc=row.needed("storage_low_soc_fraction", low=0, high=1),
        storage_high_soc=row.needed("storage_high_soc_fraction", low=0, high=1),
        basis=row.basis(),
        source=row.needed_text("source"),
    )


def _weakest(rows: Sequence[Row]) -> Basis:
    return weakest(*(row.basis() for row in rows))


def _sources(rows: Sequence[Row]) -> str:
    return "; ".join(dict.fromkeys(row.needed_text("source") for row in rows))
