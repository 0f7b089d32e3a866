"""What class of dangerous goods a pack is, by its watt-hours, with the text of the rule dated.

A pack built at home has no UN 38.3 report; without one neither airline passengers nor carriers may
take it, whatever its size. The limits here are quoted, not legal advice: the carrier decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.transport_rules import HOME_BUILT, HOME_BUILT_SOURCE

__all__ = [
    "AIR_CARGO_SOC_FRACTION",
    "APPROVAL_WH",
    "FREE_WH",
    "PACKED_WITH_CELL_WH",
    "SMALL_BATTERY_WH",
    "SMALL_CELL_WH",
    "CargoRule",
    "PassengerRule",
    "Transport",
    "energy_wh",
    "largest_capacity_ah",
    "transport",
]

FREE_WH: Final = 100.0
"""Passengers carry this without asking. Source: IATA DGR 67th edition, TSA. [W h]"""
APPROVAL_WH: Final = 160.0
"""Passengers carry up to this with the airline's approval. Source: IATA DGR 67th edition. [W h]"""
SMALL_CELL_WH: Final = 20.0
"""Largest cell under the light rules. Source: packing instruction 965 section II table. [W h]"""
SMALL_BATTERY_WH: Final = 100.0
"""Largest battery under the light rules. Source: packing instruction 965 section II table. [W h]"""
AIR_CARGO_SOC_FRACTION: Final = 0.30
"""Highest charge as air cargo. Source: US PHMSA HM-224I; IATA DGR 67th edition. [-]"""
PACKED_WITH_CELL_WH: Final = 2.7
"""Cells above this, packed with equipment, fall under the same limit since 2026-01-01. [W h]"""


class PassengerRule(StrEnum):
    """What a passenger may do with a tested battery of this size."""

    FREE = "free"
    APPROVAL = "approval"
    FORBIDDEN = "forbidden"

    @property
    def sentence(self) -> str:
        """The rule in words that nobody takes for leave to fly an untested pack."""
        return {
            PassengerRule.FREE: "A tested battery of these watt-hours flies with its passenger "
            "without asking",
            PassengerRule.APPROVAL: "A tested battery of these watt-hours flies with its passenger "
            "only if the airline agrees",
            PassengerRule.FORBIDDEN: "No battery of these watt-hours flies with a passenger",
        }[self]


class CargoRule(StrEnum):
    """UN number and entry of a lithium-ion battery, by how it is packed."""

    ALONE = "UN 3480"
    WITH_OR_IN_EQUIPMENT = "UN 3481"


@dataclass(frozen=True, slots=True, kw_only=True)
class Transport:
    """How a pack of this size may travel."""

    energy_wh: float
    passenger: PassengerRule
    cargo: CargoRule
    is_small: bool
    """Whether cell and battery lie within 20 and 100 W h."""
    air_cargo_soc_fraction: float | None
    """Highest charge as air cargo, None where it is only recommended. [-]"""
    may_travel_by_air_or_post: bool
    """False for every pack without a UN 38.3 report."""
    notes: tuple[str, ...]
    """The rules in words, each with its date and source."""


def energy_wh(*, nominal_v: float, capacity_ah: float) -> float:
    """Energy as the rules count it: nominal voltage times capacity. [W h]

    Parameters
    ----------
    nominal_v : float
        Nominal voltage of the pack. [V]
    capacity_ah : float
        Rated capacity of the pack. [A h]

    Raises
    ------
    OutOfRangeError
        If one of them is not above zero.

    Examples
    --------
    >>> round(energy_wh(nominal_v=11.1, capacity_ah=2.2), 2)
    24.42
    """
    if nominal_v <= 0 or capacity_ah <= 0:
        msg = f"volts and amp-hours must be above 0; got {nominal_v} V and {capacity_ah} Ah"
        raise OutOfRangeError(msg)
    return nominal_v * capacity_ah


def largest_capacity_ah(*, limit_wh: float, nominal_v: float) -> float:
    """Capacity at which a pack of this voltage reaches a limit. [A h]

    Parameters
    ----------
    limit_wh : float
        The limit. [W h]
    nominal_v : float
        Nominal voltage of the pack. [V]
    """
    return limit_wh / nominal_v


def transport(
    *,
    battery_wh: float,
    cell_wh: float,
    in_equipment: bool = False,
    packed_with_equipment: bool = False,
    un38_3_tested: bool = False,
) -> Transport:
    """Class a pack for travelling.

    Parameters
    ----------
    battery_wh : float
        Energy of the pack. [W h]
    cell_wh : float
        Energy of one cell. [W h]
    in_equipment : bool
        Whether the pack is built into the device that it drives.
    packed_with_equipment : bool
        Whether it lies in the same box as that device.
    un38_3_tested : bool
        Whether this type of pack has a UN 38.3 report. A pack built at home has none.

    Returns
    -------
    Transport
        Class and notes.

    Raises
    ------
    OutOfRangeError
        If an energy is not above zero.
    """
    if battery_wh <= 0 or cell_wh <= 0:
        msg = f"energies must be above 0 Wh; got {battery_wh} and {cell_wh}"
        raise OutOfRangeError(msg)
    alone = not (in_equipment or packed_with_equipment)
    capped = alone or (packed_with_equipment and cell_wh > PACKED_WITH_CELL_WH)
    passenger = _passenger_rule(battery_wh)
    cargo = CargoRule.ALONE if alone else CargoRule.WITH_OR_IN_EQUIPMENT
    return Transport(
        energy_wh=battery_wh,
        passenger=passenger,
        cargo=cargo,
        is_small=cell_wh <= SMALL_CELL_WH and battery_wh <= SMALL_BATTERY_WH,
        air_cargo_soc_fraction=AIR_CARGO_SOC_FRACTION if capped else None,
        may_travel_by_air_or_post=un38_3_tested,
        notes=_notes(passenger, cargo, capped=capped, un38_3_tested=un38_3_tested),
    )


def _passenger_rule(battery_wh: float) -> PassengerRule:
    if battery_wh <= FREE_WH:
        return PassengerRule.FREE
    return PassengerRule.APPROVAL if battery_wh <= APPROVAL_WH else PassengerRule.FORBIDDEN


_PASSENGER_NOTES: Final = {
    PassengerRule.FREE: "Up to 100 Wh a tested battery flies with its passenger without asking; "
    f"spares in the cabin only, terminals covered ({sources.DGR_67}; {sources.TSA}).",
    PassengerRule.APPROVAL: "From 100 to 160 Wh a tested battery needs the airline's approval; at "
    f"most two spares, in the cabin ({sources.DGR_67}).",
    PassengerRule.FORBIDDEN: "Over 160 Wh no battery flies with a passenger "
    f"({sources.IATA_2018}).",
}


def _notes(
    passenger: PassengerRule, cargo: CargoRule, *, capped: bool, un38_3_tested: bool
) -> tuple[str, ...]:
    notes = []
    if not un38_3_tested:
        notes.append(f"{HOME_BUILT} ({HOME_BUILT_SOURCE})")
    notes.append(_PASSENGER_NOTES[passenger])
    if cargo is CargoRule.ALONE:
        notes.append(
            "Sent alone it is UN 3480: cargo aircraft only, at 30 % charge or less "
            f"({sources.AIR_30})."
        )
    elif capped:
        notes.append(
            "Packed with its device it is UN 3481: 30 % charge or less by air, mandatory from "
            f"2026-01-01 for cells over 2.7 Wh ({sources.AIR_30})."
        )
    else:
        notes.append(
            f"It is UN 3481; 30 % charge by air is only recommended here ({sources.AIR_30})."
        )
    notes.append("Rules change every year: ask the carrier; what it says holds.")
    return tuple(notes)
