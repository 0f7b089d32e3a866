"""The columns of a cell table: which field of the record each fills, and what numbers it takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.csv_reader import Columns

__all__ = ["CELL_COLUMNS", "FIELD_OF_COLUMN", "NUMBERS", "TEXTS", "NumberColumn"]


@dataclass(frozen=True, slots=True)
class NumberColumn:
    """A column of numbers: the field it fills, the factor into SI, and the numbers accepted.

    The bounds catch slips of unit (volts in millivolts, grams in kilograms), not bad cells; they
    are chosen wide around every cell sold for devices a person can lift. No source.
    """

    field: str
    factor: float
    low: float
    high: float


_CURRENT: Final = (1.0, 0.001, 5000.0)
_MILLIOHM: Final = (1e-3, 0.01, 5000.0)
_MILLIMETRE: Final = (1e-3, 0.3, 600.0)
_DEGC: Final = (1.0, -60.0, 100.0)

NUMBERS: Final[dict[str, NumberColumn]] = {
    "capacity_mah": NumberColumn("capacity_ah", 1e-3, 5.0, 400_000.0),
    "rated_capacity_mah": NumberColumn("rated_capacity_ah", 1e-3, 5.0, 400_000.0),
    "nominal_v": NumberColumn("nominal_v", 1.0, 1.0, 4.5),
    "full_v": NumberColumn("full_v", 1.0, 1.0, 4.6),
    "cutoff_v": NumberColumn("cutoff_v", 1.0, 0.5, 4.0),
    "standard_charge_a": NumberColumn("standard_charge_a", *_CURRENT),
    "max_charge_a": NumberColumn("max_charge_a", *_CURRENT),
    "continuous_a": NumberColumn("continuous_a", *_CURRENT),
    "temperature_cut_degc": NumberColumn("temperature_cut_degc", 1.0, 30.0, 120.0),
    "uncut_continuous_a": NumberColumn("uncut_continuous_a", *_CURRENT),
    "independent_continuous_a": NumberColumn("independent_continuous_a", *_CURRENT),
    "unrated_a": NumberColumn("unrated_a", *_CURRENT),
    "pulse_a": NumberColumn("pulse_a", *_CURRENT),
    "pulse_s": NumberColumn("pulse_s", 1.0, 0.0001, 3600.0),
    "ac_resistance_milliohm": NumberColumn("ac_resistance_ohm", *_MILLIOHM),
    "dc_resistance_milliohm": NumberColumn("dc_resistance_ohm", *_MILLIOHM),
    "dc_resistance_tolerance_milliohm": NumberColumn("dc_resistance_tolerance_ohm", *_MILLIOHM),
    "dc_resistance_pulse_s": NumberColumn("dc_resistance_pulse_s", 1.0, 0.0001, 3600.0),
    "diameter_mm": NumberColumn("diameter_m", *_MILLIMETRE),
    "length_mm": NumberColumn("length_m", *_MILLIMETRE),
    "thickness_mm": NumberColumn("thickness_m", *_MILLIMETRE),
    "width_mm": NumberColumn("width_m", *_MILLIMETRE),
    "mass_g": NumberColumn("mass_kg", 1e-3, 0.2, 20_000.0),
    "price": NumberColumn("price", 1.0, 0.001, 1_000_000.0),
    "charge_min_degc": NumberColumn("charge_min_degc", *_DEGC),
    "charge_max_degc": NumberColumn("charge_max_degc", *_DEGC),
    "discharge_min_degc": NumberColumn("discharge_min_degc", *_DEGC),
    "discharge_max_degc": NumberColumn("discharge_max_degc", *_DEGC),
}

TEXTS: Final[tuple[str, ...]] = (
    "purpose", "tab_design", "max_charge_condition", "continuous_condition", "unrated_condition",
    "pulse_condition", "cycle_life", "source", "notes",
)  # fmt: skip

_REQUIRED: Final = (
    "maker", "part_number", "form", "size_code", "capacity_mah", "nominal_v", "full_v", "cutoff_v",
)  # fmt: skip

_FOR_READERS: Final = (
    "chemistry_note", "dc_resistance_condition", "dimension_note", "mass_note", "temperature_note",
    "source_level",
)  # fmt: skip
"""Columns kept for whoever reads the table; the program does not use them."""

CELL_COLUMNS: Final = Columns(
    required=_REQUIRED,
    optional=(
        *(column for column in NUMBERS if column not in _REQUIRED),
        *TEXTS,
        *_FOR_READERS,
        "family", "chemistry", "continuous_needs_temperature_cut", "ac_resistance_kind",
        "currency", "has_protection", "confidence", "basis", "published_columns",
        "recalled_columns",
    ),
)  # fmt: skip

FIELD_OF_COLUMN: Final[dict[str, str]] = {
    **{column: spec.field for column, spec in NUMBERS.items()},
    "chemistry": "chemistry",
    "family": "family",
}
"""Field whose basis the named column settles."""
