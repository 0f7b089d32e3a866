"""The supply: what a thing on the bench really is, and whether it can charge this pack.

A charger ends the charge by itself at the right voltage for the right number of cells. Most things
with two wires do not: they are named here for what they are.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.engineering.electrical.fuse import STEADY_LOAD_FRACTION
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "CHARGER_EFFICIENCY_FRACTION",
    "Finding",
    "PackNeed",
    "Severity",
    "Supply",
    "SupplyKind",
    "SupplyMatch",
    "match_supply",
    "port_fuse",
    "supply_watts",
]

CHARGER_EFFICIENCY_FRACTION: Final = 0.90
# switching chargers 0.85 to 0.95: from memory, no source seen
_FUSE_SIZES_A: Final = (0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40)
# usual sizes of blade and cartridge fuses: common practice, no source


class SupplyKind(StrEnum):
    """What a supply is."""

    BALANCE_CHARGER = "balance charger"
    PACK_CHARGER = "charger for the whole pack"
    CHARGER_MODULE = "charger module"
    CELL_CHARGERS = "charger of its own for each cell"
    BARE_SUPPLY = "bare supply"
    MAINS_ADAPTER = "mains adapter"
    LAB_SUPPLY = "bench supply"
    CONVERTER_MODULE = "converter module with a current knob"
    USB_SOURCE = "USB source"
    SOLAR_PANEL = "solar panel"
    ANOTHER_BATTERY = "another battery"
    PROTECTION_BOARD = "protection board"


_NOT_A_CHARGER: Final[dict[SupplyKind, str]] = {
    SupplyKind.BARE_SUPPLY: (
        "it gives a voltage and never ends a charge: no end current, no timer, no temperature"
    ),
    SupplyKind.MAINS_ADAPTER: (
        "it gives a voltage and knows nothing of cells: no current setting, no end of charge"
    ),
    SupplyKind.LAB_SUPPLY: (
        "it holds current and voltage but never ends: no end current, no timer, no temperature, "
        "and one turn of a knob overcharges"
    ),
    SupplyKind.CONVERTER_MODULE: (
        "it holds current and voltage but has no end of charge, no timer and no pre-charge, and "
        "it may feed back into the pack when its input goes off"
    ),
    SupplyKind.USB_SOURCE: "it is the supply of a charger; a charger for these cells must follow",
    SupplyKind.SOLAR_PANEL: "its voltage follows the sun; a solar charger must follow",
    SupplyKind.ANOTHER_BATTERY: "nothing limits the current between two batteries",
    SupplyKind.PROTECTION_BOARD: (
        "it is the last line of defence; its cut-off voltage is above full and no place to end "
        "a charge every day"
    ),
}


class Severity(StrEnum):
    """How much a finding matters."""

    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing found in matching a supply to a pack."""

    severity: Severity
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What is printed on the thing that shall charge. None: not known."""

    kind: SupplyKind
    name: str = ""
    cells_min: int | None = None
    cells_max: int | None = None
    max_a: float | None = None
    max_w: float | None = None
    full_v_per_cell: float | None = None
    """End voltage per cell it is set to. [V]"""
    out_v: float | None = None
    """Output voltage of a thing that is not a charger. [V]"""
    input_min_v: float | None = None
    """Lowest voltage that it works from. [V]"""
    input_max_v: float | None = None
    """Highest voltage that it bears. [V]"""
    input_v: float | None = None
    """Voltage of the source behind it. [V]"""
    balances: bool = False

    @property
    def is_charger(self) -> bool:
        """Whether it ends a charge by itself."""
        return self.kind not in _NOT_A_CHARGER


@dataclass(frozen=True, slots=True, kw_only=True)
class PackNeed:
    """What a pack asks of a charger."""

    series: int
    full_v_per_cell: float
    """Charge voltage of the cell. [V]"""
    wanted_a: float
    """Charge current of the pack that is wanted. [A]"""
    allowed_a: float
    """Highest charge current of the pack: cells in parallel times the cell's. [A]"""
    has_balancing_board: bool = False

    def __post_init__(self) -> None:
        if self.series < 1 or min(self.full_v_per_cell, self.wanted_a, self.allowed_a) <= 0:
            msg = (
                "a pack needs 1 or more in series and volts and amps above 0; got "
                f"{self.series}, {self.full_v_per_cell} V, {self.wanted_a} A, {self.allowed_a} A"
            )
            raise OutOfRangeError(msg)

    @property
    def full_v(self) -> float:
        """Pack when full. [V]"""
        return self.series * self.full_v_per_cell


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyMatch:
    """How a supply and a pack go together."""

    usable: bool
    """False as soon as one finding is a stop."""
    charge_a: float
    """Charge current that results; 0 if not usable. [A]"""
    limited_by: str
    """What sets it."""
    supply_w: float
    """Power drawn from the wall or source at the end of constant current. [W]"""
    findings: tuple[Finding, ...]


def supply_watts(
    *,
    full_v: float,
    charge_a: float,
    efficiency_fraction: float = CHARGER_EFFICIENCY_FRACTION,
) -> float:
    """Power a charger draws when current and voltage are both at their highest. [W]

    Parameters
    ----------
    full_v : float
        Pack when full. [V]
    charge_a : float
        Charge current of the pack. [A]
    efficiency_fraction : float
        Power out over power in. [-]

    Notes
    -----
    Voltage times current over efficiency, at the end of constant current.

    Examples
    --------
    >>> supply_watts(full_v=12.6, charge_a=2.0)
    28.0
    """
    return full_v * charge_a / efficiency_fraction


def match_supply(need: PackNeed, supply: Supply) -> SupplyMatch:
    """Judge a supply for a pack.

    Parameters
    ----------
    need : PackNeed
        What the pack asks for.
    supply : Supply
        What is printed on the supply.

    Returns
    -------
    SupplyMatch
        Current that results, watts, and what was found.

    Examples
    --------
    >>> need = PackNeed(series=3, full_v_per_cell=4.2, wanted_a=2.5, allowed_a=5.0)
    >>> match_supply(need, Supply(kind=SupplyKind.MAINS_ADAPTER, out_v=12.6)).usable
    False
    """
    findings = (
        *_kind_findings(supply),
        *_cell_findings(need, supply),
        *_input_findings(supply),
        *_balance(need, supply),
    )
    limits = {"the wanted current": need.wanted_a, "the cells": need.allowed_a}
    if supply.max_a is not None:
        limits["the supply's amps"] = supply.max_a
    if supply.max_w is not None:
        limits["the supply's watts"] = supply.max_w / need.full_v
    limited_by = min(limits, key=limits.__getitem__)
    usable = all(finding.severity is not Severity.STOP for finding in findings)
    charge_a = limits[limited_by] if usable else 0.0
    return SupplyMatch(
        usable=usable,
        charge_a=charge_a,
        limited_by=limited_by,
        supply_w=supply_watts(full_v=need.full_v, charge_a=charge_a),
        findings=findings,
    )


def _kind_findings(supply: Supply) -> tuple[Finding, ...]:
    label = supply.name or f"This {supply.kind.value}"
    if not supply.is_charger:
        text = f"{label}: this is not a charger; {_NOT_A_CHARGER[supply.kind]}."
        return (Finding(severity=Severity.STOP, text=text),)
    if supply.max_a is None and supply.max_w is None:
        text = f"{label}: neither amps nor watts are known; read its plate."
        return (Finding(severity=Severity.CAUTION, text=text),)
    return ()


def _cell_findings(need: PackNeed, supply: Supply) -> tuple[Finding, ...]:
    found: list[Finding] = []
    low, high = supply.cells_min, supply.cells_max
    if supply.kind is SupplyKind.CELL_CHARGERS:
        low = high = need.series  # each of them sees one group
    if supply.is_charger and (low is None or high is None):
        text = "The number of cells the charger is made for is not known; it must match exactly."
        found.append(Finding(severity=Severity.CAUTION, text=text))
    elif low is not None and high is not None and not low <= need.series <= high:
        span = f"{low}" if low == high else f"{low} to {high}"
        text = f"The charger is for {span} in series; the pack has {need.series}."
        found.append(Finding(severity=Severity.STOP, text=text))
    end_v = supply.full_v_per_cell
    if end_v is not None and end_v > need.full_v_per_cell + 0.05:
        # +/-50 mV is the usual tolerance: Battery University BU-409, copy of 2017
        text = (
            f"The charger ends at {end_v:g} V per cell; this cell takes {need.full_v_per_cell:g} V."
        )
        found.append(Finding(severity=Severity.STOP, text=text))
    elif end_v is not None and end_v < need.full_v_per_cell - 0.05:
        text = f"The charger ends at {end_v:g} V per cell: the pack will not get full."
        found.append(Finding(severity=Severity.NOTE, text=text))
    return tuple(found)


def _input_findings(supply: Supply) -> tuple[Finding, ...]:
    """Whether the charger bears and works from the voltage behind it."""
    fed_v, most_v, least_v = supply.input_v, supply.input_max_v, supply.input_min_v
    if fed_v is not None and most_v is not None and fed_v > most_v:
        text = f"The source gives {fed_v:g} V; the charger bears {most_v:g} V."
        return (Finding(severity=Severity.STOP, text=text),)
    if fed_v is not None and least_v is not None and fed_v < least_v:
        text = f"The source gives {fed_v:g} V; the charger works from {least_v:g} V on."
        return (Finding(severity=Severity.CAUTION, text=text),)
    return ()


def _balance(need: PackNeed, supply: Supply) -> tuple[Finding, ...]:
    is_apart = supply.balances or supply.kind is SupplyKind.CELL_CHARGERS
    if need.series == 1 or is_apart or need.has_balancing_board or not supply.is_charger:
        return ()
    text = (
        "Nothing balances this series pack: the charger sees only the sum, and one group can pass "
        "its limit unseen. Use a balance charger or a board that balances and cuts per group."
    )
    return (Finding(severity=Severity.STOP, text=text),)


def port_fuse(*, charge_a: float, path_limit_a: float) -> float | None:
    """Fuse for the charge port: the smallest that carries the charge, below what it protects. [A]

    Parameters
    ----------
    charge_a : float
        Charge current of the pack. [A]
    path_limit_a : float
        The weaker of port connector and wire. [A]

    Returns
    -------
    float or None
        Rating; None if no size lies between, then connector or wire is too small. [A]

    Notes
    -----
    The charge current is at most ``STEADY_LOAD_FRACTION`` of the rating. A charge port
    is a way into the pack: without a fuse a short in its plug is a short of the pack.

    Examples
    --------
    >>> port_fuse(charge_a=2.0, path_limit_a=5.0)
    3
    """
    least = charge_a / STEADY_LOAD_FRACTION
    return next((size for size in _FUSE_SIZES_A if least <= size <= path_limit_a), None)
