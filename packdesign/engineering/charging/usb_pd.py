"""USB as a supply for charging: the levels a source offers, what a cable carries, what is left.

A USB source is a supply, not a charger: between it and the pack a charger for that many cells is
needed (see :mod:`packdesign.engineering.charging.supply`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.data.supplies import SupplyLevel, UsbKind, load_supply_levels
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["PLAIN_CABLE_A", "Conversion", "UsbPlan", "levels_offered", "usb_plan"]

PLAIN_CABLE_A: Final = 3.0
# above 3 A an electronically marked 5 A cable is needed: Renesas USB PD table (node 594496)


def levels_offered(*, source_w: float) -> tuple[SupplyLevel, ...]:
    """Give the fixed levels that the power rules promise of a PD source of this power.

    Parameters
    ----------
    source_w : float
        Power printed on the source. [W]

    Returns
    -------
    tuple of SupplyLevel
        Lowest voltage first; programmable and adjustable levels are never promised.

    Notes
    -----
    A fixed level is promised above the watts of the level below it: above 15 W the source adds
    9 V, above 27 W 15 V, above 45 W 20 V, all up to 3 A; above 60 W 20 V up to 5 A; then 28, 36
    and 48 V at 5 A (Renesas node 594496).

    Examples
    --------
    >>> [level.highest_v for level in levels_offered(source_w=30)]
    [5.0, 9.0, 15.0]
    """
    fixed = sorted(
        (level for level in load_supply_levels() if level.kind is UsbKind.FIXED),
        key=lambda level: level.highest_v * level.most_a,
    )
    below_w = (0.0, *(level.highest_v * level.most_a for level in fixed))
    return tuple(
        level for level, above_w in zip(fixed, below_w, strict=False) if source_w > above_w
    )


class Conversion(StrEnum):
    """What the charger between USB and pack can do with the voltage."""

    STEP_DOWN = "step-down"
    STEP_UP = "step-up"
    BOTH = "step-up and step-down"


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbPlan:
    """What a USB source gives to a pack."""

    level: SupplyLevel | None
    """The level to ask for; None if none fits."""
    charge_a: float
    """Charge current of the pack at its full voltage. [A]"""
    input_a: float
    """Current drawn from USB then. [A]"""
    input_w: float
    """Power drawn from USB then. [W]"""
    limited_by: str
    """What holds the charge current, empty if nothing."""


def usb_plan(
    *,
    source_w: float,
    pack_full_v: float,
    wanted_a: float,
    efficiency_fraction: float = 0.90,
    cable_a: float = PLAIN_CABLE_A,
    conversion: Conversion = Conversion.STEP_DOWN,
    headroom_v: float = 0.5,
) -> UsbPlan:
    r"""Choose the USB level that charges a pack fastest, up to the wanted current.

    Parameters
    ----------
    source_w : float
        Power printed on the USB source. [W]
    pack_full_v : float
        Pack at the end of the charge. [V]
    wanted_a : float
        Charge current wanted. [A]
    efficiency_fraction : float
        Power out over power in of the charger; 0.85 to 0.95 is usual, from memory. [-]
    cable_a : float
        What the cable carries: 3 A plain, 5 A marked. [A]
    conversion : Conversion
        What the charger can do with the voltage.
    headroom_v : float
        What a step-down charger needs above the pack; 0.5 V assumed, see its sheet. [V]

    Returns
    -------
    UsbPlan
        The lowest level that reaches the largest current.

    Raises
    ------
    OutOfRangeError
        If a figure makes no sense.

    Notes
    -----
    .. math:: I_{USB} = V_{pack} I / (\eta V_{USB})

    Examples
    --------
    12.6 V at 2 A from 20 V with 90 %:

    >>> plan = usb_plan(source_w=60, pack_full_v=12.6, wanted_a=2.0)
    >>> plan.level.highest_v, round(plan.input_a, 2), round(plan.input_w, 1)
    (15.0, 1.87, 28.0)
    """
    if min(source_w, pack_full_v, wanted_a, cable_a) <= 0 or not 0 < efficiency_fraction <= 1:
        msg = (
            "watts, volts and amps must be above 0 and the efficiency above 0 up to 1; got "
            f"{source_w} W, {pack_full_v} V, {wanted_a} A, {cable_a} A, {efficiency_fraction}"
        )
        raise OutOfRangeError(msg)
    fitting = [
        level
        for level in levels_offered(source_w=source_w)
        if _converts(level.highest_v, pack_full_v, conversion=conversion, headroom_v=headroom_v)
    ]
    if not fitting:
        return UsbPlan(
            level=None,
            charge_a=0.0,
            input_a=0.0,
            input_w=0.0,
            limited_by=(
                f"no level of a {source_w:g} W source works with a {conversion.value} charger "
                f"at {pack_full_v:g} V"
            ),
        )
    return _best(
        fitting,
        source_w=source_w,
        pack_full_v=pack_full_v,
        wanted_a=wanted_a,
        efficiency_fraction=efficiency_fraction,
        cable_a=cable_a,
    )


def _converts(level_v: float, pack_v: float, *, conversion: Conversion, headroom_v: float) -> bool:
    return {
        Conversion.STEP_DOWN: level_v >= pack_v + headroom_v,
        Conversion.STEP_UP: level_v < pack_v,
        Conversion.BOTH: True,
    }[conversion]


def _best(
    levels: Iterable[SupplyLevel],
    *,
    source_w: float,
    pack_full_v: float,
    wanted_a: float,
    efficiency_fraction: float,
    cable_a: float,
) -> UsbPlan:
    best: UsbPlan | None = None
    for level in levels:
        limits = {
            "the source's watts": source_w,
            "the level's amps": level.most_a * level.highest_v,
            "the cable": cable_a * level.highest_v,
        }
        name = min(limits, key=limits.__getitem__)
        possible_a = limits[name] * efficiency_fraction / pack_full_v
        charge_a = min(wanted_a, possible_a)
        input_w = charge_a * pack_full_v / efficiency_fraction
        plan = UsbPlan(
            level=level,
            charge_a=charge_a,
            input_a=input_w / level.highest_v,
            input_w=input_w,
            limited_by=name if possible_a < wanted_a else "",
        )
        if best is None or plan.charge_a > best.charge_a + 1e-9:
            best = plan
    if best is None:
        msg = "no USB level was given to choose from"
        raise OutOfRangeError(msg)
    return best
