"""The cell record: what a datasheet says of one cell, each figure with its basis; blank stays None.

The loader is in :mod:`packdesign.data.cell_table`. Nothing is computed here beyond naming.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from packdesign.foundation.basis import Basis

__all__ = ["Cell", "CellForm", "Confidence", "Family"]


class CellForm(StrEnum):
    """Outer form of a cell."""

    CYLINDER = "cylinder"
    POUCH = "pouch"
    PRISM = "prism"
    """A hard prismatic can."""


class Family(StrEnum):
    """Chemistry by the behaviour that matters here: OCV curve, limits, hazards."""

    NCA = "nca"
    NMC = "nmc"
    LCO = "lco"
    LMO = "lmo"
    LFP = "lfp"
    LTO = "lto"
    NA_ION = "na_ion"


class Confidence(StrEnum):
    """How far the row may be trusted."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell as its datasheet tells it. ``None`` means not known, never zero.

    Sizes are the maximum of the bare or sleeved cell as the sheet gives it. A cylinder has a
    diameter and a length; pouch and prism have thickness, width and length.
    """

    maker: str
    part_number: str
    form: CellForm
    size_code: str
    """Designation used in the trade: "18650", "21700", "103450"."""
    family: Family
    chemistry: str
    """Chemistry as written in the table."""
    capacity_ah: float
    """Typical capacity where printed, else the standard or rated one. [A h]"""
    rated_capacity_ah: float | None = None
    """Guaranteed minimum. [A h]"""
    nominal_v: float
    full_v: float
    """Charge voltage. [V]"""
    cutoff_v: float
    standard_charge_a: float | None = None
    max_charge_a: float | None = None
    max_charge_condition: str = ""
    continuous_a: float | None = None
    """Continuous discharge current as printed. [A]"""
    continuous_condition: str = ""
    """The condition printed beside it, in the table's words."""
    continuous_needs_temperature_cut: bool = False
    """True where the figure above holds only while something cuts off at a cell temperature."""
    temperature_cut_degc: float | None = None
    uncut_continuous_a: float | None = None
    """Continuous current without any temperature cut, where the sheet gives both. [A]"""
    independent_continuous_a: float | None = None
    """Continuous current found by an independent tester, not a rating of the maker. [A]"""
    unrated_a: float | None = None
    """Current charted or on a label that is no rating; never a limit to design to. [A]"""
    unrated_condition: str = ""
    pulse_a: float | None = None
    pulse_s: float | None = None
    pulse_condition: str = ""
    ac_resistance_ohm: float | None = None
    """Impedance at 1 kHz. [ohm]"""
    ac_resistance_is_maximum: bool = False
    dc_resistance_ohm: float | None = None
    dc_resistance_tolerance_ohm: float | None = None
    """Plus or minus, as printed beside the figure above: a limit, no deviation. [ohm]"""
    dc_resistance_pulse_s: float | None = None
    """Length of the pulse the figure above was read at. [s]"""
    diameter_m: float | None = None
    length_m: float | None = None
    thickness_m: float | None = None
    width_m: float | None = None
    mass_kg: float | None = None
    price: float | None = None
    """Of one cell, as the builder pays it; the shipped table has none. [currency]"""
    currency: str = ""
    """What the price is in: "EUR"."""
    charge_min_degc: float | None = None
    charge_max_degc: float | None = None
    discharge_min_degc: float | None = None
    discharge_max_degc: float | None = None
    cycle_life: str = ""
    """Cycle life with its condition, in the table's words."""
    has_protection: bool = False
    """True where a protection board is built in."""
    purpose: str = ""
    """"power", "energy", or empty where the table does not say."""
    tab_design: str = ""
    """"tabless" where the maker says so."""
    confidence: Confidence = Confidence.LOW
    source: str = ""
    notes: str = ""
    bases: Mapping[str, Basis] = field(default_factory=dict, hash=False)
    """Basis of each filled field, by field name."""

    @property
    def name(self) -> str:
        """Maker and part number, as a brief names the cell."""
        return f"{self.maker} {self.part_number}"

    @property
    def promised_capacity_ah(self) -> float:
        """Least capacity that the maker promises; where the sheet has but one, that one. [A h]"""
        return self.rated_capacity_ah or self.capacity_ah

    @property
    def continuous_without_cut_a(self) -> float | None:
        """Continuous current that needs no temperature cut, if a rating says so. [A]"""
        if self.uncut_continuous_a is not None or self.continuous_needs_temperature_cut:
            return self.uncut_continuous_a
        return self.continuous_a

    def basis_of(self, field_name: str) -> Basis:
        """Basis of a field; an unlisted one counts as assumed."""
        return self.bases.get(field_name, Basis.ASSUMED)
