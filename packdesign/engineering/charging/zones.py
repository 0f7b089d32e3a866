"""Temperature zones of charging: how much current and voltage a cell may get at a temperature.

A cell's own printed bands come first, then the published cool, normal and warm zones inside the
limits of the cell.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.data.charge_tables import ChargeBand, guideline_zones, printed_charge_bands
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["ChargeZone", "ZoneName", "charge_zone", "charge_zones"]

_GUIDELINE_FULL_V: Final = 4.20
"""Cell that the zones of the guideline are printed for. [V]"""


class ZoneName(StrEnum):
    """Name of a zone."""

    TOO_COLD = "too cold"
    COOL = "cool"
    NORMAL = "normal"
    WARM = "warm"
    TOO_HOT = "too hot"
    PRINTED = "printed band"
    """A band of the cell's own sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeZone:
    """What a cell may get between two temperatures."""

    name: ZoneName
    low_degc: float
    """Lower end, included. [degC]"""
    high_degc: float
    """Upper end, not included except for the last zone in which charging is allowed. [degC]"""
    charge_a: float
    """Highest charge current per cell; 0 means do not charge. [A]"""
    full_v: float
    """Charge voltage per cell in this zone. [V]"""
    basis: Basis
    source: str

    @property
    def allowed(self) -> bool:
        """Whether charging is allowed at all."""
        return self.charge_a > 0


def charge_zones(cell: Cell, *, wanted_a: float | None = None) -> tuple[ChargeZone, ...]:
    """Give the zones of a cell from the coldest to the hottest, without gaps.

    Parameters
    ----------
    cell : Cell
        The cell.
    wanted_a : float or None
        Charge current per cell that is planned; None: the cell's standard charge. The published
        cool zone takes its fraction of this. [A]

    Returns
    -------
    tuple of ChargeZone
        Together they cover every temperature.

    Raises
    ------
    OutOfRangeError
        If there is neither a wanted nor a standard nor a highest charge current.

    Notes
    -----
    Below :func:`packdesign.engineering.charging.coldest.coldest_charge_degc` charging is a stop,
    whatever a sheet prints; above the cell's limit it is one too.
    """
    set_a = _set_current(cell, wanted_a=wanted_a)
    printed = printed_charge_bands(cell.part_number)
    inner = _printed_zones(cell, printed, set_a=set_a) or _guideline_zones(cell, set_a=set_a)
    cold = ChargeZone(
        name=ZoneName.TOO_COLD,
        low_degc=-math.inf,
        high_degc=inner[0].low_degc,
        charge_a=0.0,
        full_v=cell.full_v,
        basis=inner[0].basis,
        source=inner[0].source,
    )
    hot = ChargeZone(
        name=ZoneName.TOO_HOT,
        low_degc=inner[-1].high_degc,
        high_degc=math.inf,
        charge_a=0.0,
        full_v=cell.full_v,
        basis=inner[-1].basis,
        source=inner[-1].source,
    )
    return (cold, *inner, hot)


def charge_zone(
    cell: Cell, *, temperature_degc: float, wanted_a: float | None = None
) -> ChargeZone:
    """Give the zone in which a temperature lies.

    Parameters
    ----------
    cell : Cell
        The cell.
    temperature_degc : float
        Temperature of the cell, not of the room. [degC]
    wanted_a : float or None
        Charge current per cell that is planned. [A]

    Raises
    ------
    OutOfRangeError
        If the temperature is not a finite number.
    """
    if not math.isfinite(temperature_degc):
        msg = f"the cell temperature is {temperature_degc}; it must be a finite number"
        raise OutOfRangeError(msg)
    zones = charge_zones(cell, wanted_a=wanted_a)
    last_allowed = max(index for index, zone in enumerate(zones) if zone.allowed)
    if temperature_degc == zones[last_allowed].high_degc:
        return zones[last_allowed]
    return next(zone for zone in zones if zone.low_degc <= temperature_degc < zone.high_degc)


def _set_current(cell: Cell, *, wanted_a: float | None) -> float:
    for each in (wanted_a, cell.standard_charge_a, cell.max_charge_a):
        if each is not None:
            if each <= 0:
                msg = f"the charge current per cell is {each} A; it must be above 0 A"
                raise OutOfRangeError(msg)
            limit = cell.max_charge_a or cell.standard_charge_a
            return min(each, limit) if limit is not None else each
    msg = (
        f"{cell.name} has no charge current in the table; give the charge current of the maker's "
        "sheet"
    )
    raise OutOfRangeError(msg)


def _printed_zones(
    cell: Cell, printed: tuple[ChargeBand, ...], *, set_a: float
) -> tuple[ChargeZone, ...]:
    floor_degc = coldest_charge_degc(cell)
    return tuple(
        ChargeZone(
            name=ZoneName.PRINTED,
            low_degc=max(band.low_degc, floor_degc),
            high_degc=band.high_degc,
            charge_a=min(set_a, band.c_rate * cell.capacity_ah),
            full_v=cell.full_v,
            basis=band.basis,
            source=band.source,
        )
        for band in printed
        if band.high_degc > floor_degc
    )


def _own_limits(cell: Cell) -> tuple[float, float, Basis]:
    """Give the lower and upper end of charging, and where they come from."""
    _, normal, warm = guideline_zones()
    low = coldest_charge_degc(cell)
    is_own = low == cell.charge_min_degc
    basis = cell.basis_of("charge_min_degc") if is_own else Basis.PUBLISHED
    high = cell.charge_max_degc
    if high is None:
        high, basis = normal.high_degc, Basis.PUBLISHED
    return low, min(high, warm.high_degc), basis


def _guideline_zones(cell: Cell, *, set_a: float) -> tuple[ChargeZone, ...]:
    low, high, basis = _own_limits(cell)
    is_cobalt_like = cell.family in {Family.NCA, Family.NMC, Family.LCO, Family.LMO}
    names = (ZoneName.COOL, ZoneName.NORMAL, ZoneName.WARM)
    zones = []
    for name, printed in zip(names, guideline_zones(), strict=True):
        bottom = low if name is ZoneName.COOL else max(low, printed.low_degc)
        top = high if name is ZoneName.WARM else min(printed.high_degc, high)
        less_v = min(0.0, printed.full_v - _GUIDELINE_FULL_V) if is_cobalt_like else 0.0
        if top > bottom:
            zone = ChargeZone(
                name=name,
                low_degc=bottom,
                high_degc=top,
                charge_a=set_a * printed.current_fraction,
                full_v=cell.full_v + less_v,
                basis=basis if name is ZoneName.NORMAL else printed.basis,
                source=f"{cell.source}; {printed.source}"
                if name is ZoneName.NORMAL
                else printed.source,
            )
            zones.append(zone)
    return tuple(zones)
