"""Carrying: watt-hours, the size class, the dated rules, and what a home-built pack lacks.

Rules change; each is shown with the day it was read or took effect. The carrier decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["HOME_BUILT", "RULES", "DatedRule", "SizeClass", "SizeVerdict", "pack_wh", "size_class"]

_SMALL_CELL_WH: Final = 20.0
_SMALL_PACK_WH: Final = 100.0
# 20 Wh per cell and 100 Wh per battery: PI 965 table in a tool maker's safety sheet (2016); SP 188;
# 49 CFR 173.185(c)(1)(i)
_APPROVAL_PACK_WH: Final = 160.0
# above 100 to 160 Wh with the airline's approval: IATA DGR 67th edition, 2026-01-01, second hand


class SizeClass(StrEnum):
    """How passenger rules sort a pack by energy."""

    SMALL = "up to 100 Wh"
    WITH_APPROVAL = "above 100 up to 160 Wh"
    CARGO = "above 160 Wh"


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedRule:
    """One rule in our own words."""

    text: str
    since: str
    """Day it took effect or was published, as far as known."""
    source: str


HOME_BUILT: Final = (
    "A home-built pack has no UN 38.3 test report. The pack itself must be of a tested type even "
    "if its cells were tested, so as it stands it fits neither passenger air nor post. Carrying it "
    "in your own car for your own use is usually outside the road rules (from memory; ask)."
)

RULES: Final[tuple[DatedRule, ...]] = (
    DatedRule(
        text="Spare packs up to 100 Wh: cabin only, 20 at most in general; above 100 to 160 Wh: "
        "two at most, cabin only, airline approval; contacts covered, each by itself.",
        since="2026-01-01",
        source="IATA DGR 67th edition, through qazinform.com 2026-03-12",
    ),
    DatedRule(
        text="Power banks: two per person, cabin only, not recharged on board.",
        since="2026-03-27",
        source="ICAO Doc 9284 2025-26 Addendum 1; UK CAA page",
    ),
    DatedRule(
        text="A pack inside a device may go in the hold only if the device is fully off and cannot "
        "be switched on by accident.",
        since="2026-01-01",
        source="IATA DGR 67th edition, through qazinform.com 2026-03-12",
    ),
    DatedRule(
        text="Air cargo, packs beside equipment with cells above 2.7 Wh: 30 % charge or less.",
        since="2026-01-01",
        source="ICAO panel decision, PRBA note November 2023; cxtms.com",
    ),
    DatedRule(
        text="Packs shipped alone: never as cargo on passenger aircraft, 30 % charge or less.",
        since="2023-01-20",
        source="US PHMSA HM-224I",
    ),
    DatedRule(
        text="Damaged or defective packs: forbidden by air; by road only under special provision "
        "376, after the maker or an expert has looked.",
        since="ADR 2025",
        source="ADR special provision 376 (gefahrgutbrumme.de)",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeVerdict:
    """Energy and class of a pack."""

    pack_wh: float
    cell_wh: float
    size: SizeClass
    is_small: bool
    """Whether both the cell and the pack stay below the light limits. [-]"""
    notes: tuple[str, ...]


def pack_wh(*, nominal_v: float, capacity_ah: float) -> float:
    """Energy as rules count it: nominal voltage times rated capacity. [W h]

    Parameters
    ----------
    nominal_v : float
        Nominal voltage of the pack. [V]
    capacity_ah : float
        Rated capacity of the pack. [A h]

    Raises
    ------
    OutOfRangeError
        If one of them is not above 0.

    Examples
    --------
    11.1 V and 5 Ah, as airline pages work it out:

    >>> pack_wh(nominal_v=11.1, capacity_ah=5.0)
    55.5
    """
    if nominal_v <= 0 or capacity_ah <= 0:
        msg = f"volts and amp-hours must be above 0; got {nominal_v} V and {capacity_ah} Ah"
        raise OutOfRangeError(msg)
    return nominal_v * capacity_ah


def size_class(*, cell_v: float, cell_ah: float, series: int, parallel: int) -> SizeVerdict:
    """Sort a pack into the size class of the transport rules.

    Parameters
    ----------
    cell_v : float
        Nominal voltage of the cell. [V]
    cell_ah : float
        Rated capacity of the cell. [A h]
    series, parallel : int
        Counts. [-]

    Returns
    -------
    SizeVerdict
        Energy, class, and notes that begin with what a home-built pack lacks.

    Examples
    --------
    >>> size_class(cell_v=3.6, cell_ah=3.5, series=3, parallel=1).size
    <SizeClass.SMALL: 'up to 100 Wh'>
    """
    cell_wh = pack_wh(nominal_v=cell_v, capacity_ah=cell_ah)
    total_wh = cell_wh * series * parallel
    if total_wh <= _SMALL_PACK_WH:
        size = SizeClass.SMALL
    elif total_wh <= _APPROVAL_PACK_WH:
        size = SizeClass.WITH_APPROVAL
    else:
        size = SizeClass.CARGO
    notes = [HOME_BUILT]
    if cell_wh > _SMALL_CELL_WH:
        notes.append(f"A cell of {cell_wh:.1f} Wh is above the light limit of 20 Wh per cell.")
    return SizeVerdict(
        pack_wh=total_wh,
        cell_wh=cell_wh,
        size=size,
        is_small=total_wh <= _SMALL_PACK_WH and cell_wh <= _SMALL_CELL_WH,
        notes=tuple(notes),
    )
