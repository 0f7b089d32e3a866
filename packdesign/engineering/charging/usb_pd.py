"""USB as a supply for charging: the levels a source offers, what a cable carries, what is left.

A USB source is a supply, not a charger: between it and the pack a charger for that many cells is
needed (see :mod:`packdesign.engineering.charging.supply`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from packdesign.data.supplies import SupplyLevel, UsbKind, load_supply_levels
from packdesign.engineering.charging.supply import CHARGER_EFFICIENCY_FRACTION
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "PLAIN_CABLE_A",
    "Conversion",
    "UsbNeed",
    "UsbPlan",
    "least_source_w",
    "levels_offered",
    "usb_plan",
]

PLAIN_CABLE_A: Final = 3.0
# above 3 A an electronically marked 5 A cable is needed: Renesas USB PD table (node 594496)
_PLAIN_CABLE_V: Final = 21.0
# the levels above it are asked for through a marked 5 A cable only: from memory; the table notes a
# cable for 50 V at each of them


def levels_offered(*, source_w: float, kind: UsbKind = UsbKind.FIXED) -> tuple[SupplyLevel, ...]:
    """Give the levels of one kind that a source of this power offers.

    Parameters
    ----------
    source_w : float
        Power printed on the source. [W]
    kind : UsbKind
        Fixed, programmable or adjustable Power Delivery, or plain USB without it.

    Returns
    -------
    tuple of SupplyLevel
        Lowest voltage first.

    Notes
    -----
    A fixed level is promised above the watts of the level below it: above 15 W the source adds
    9 V, above 27 W 15 V, above 45 W 20 V, all up to 3 A; above 60 W 20 V up to 5 A; then 28, 36
    and 48 V at 5 A (Renesas node 594496). No source has to offer programmable or adjustable levels;
    one that does is taken to have those up to its highest fixed voltage, with the amperes of the
    fixed level there (from memory). A plain source offers the 5 V levels up to its watts.

    Examples
    --------
    >>> [level.highest_v for level in levels_offered(source_w=30)]
    [5.0, 9.0, 15.0]
    >>> [level.highest_v for level in levels_offered(source_w=30, kind=UsbKind.PROGRAMMABLE)]
    [5.9, 11.0, 16.0]
    """
    every = load_supply_levels()
    fixed = sorted((each for each in every if each.kind is UsbKind.FIXED), key=_most_w)
    below_w = (0.0, *(_most_w(level) for level in fixed))
    promised = tuple(
        level for level, above_w in zip(fixed, below_w, strict=False) if source_w > above_w
    )
    if kind is UsbKind.FIXED:
        return promised
    own = sorted(
        (each for each in every if each.kind is kind),
        key=lambda level: (level.highest_v, level.most_a),
    )
    if kind is UsbKind.PLAIN:
        return tuple(level for level in own if _most_w(level) <= source_w) or tuple(own[:1])
    known_v = {level.highest_v for level in fixed}
    found = []
    for level in own:
        built_on_v = max(v for v in known_v if v <= level.highest_v)
        amps = [each.most_a for each in promised if each.highest_v == built_on_v]
        if amps:
            found.append(replace(level, most_a=min(level.most_a, max(amps))))
    return tuple(found)


def _most_w(level: SupplyLevel) -> float:
    return level.highest_v * level.most_a


class Conversion(StrEnum):
    """What the charger between USB and pack can do with the voltage."""

    STEP_DOWN = "step-down"
    STEP_UP = "step-up"
    BOTH = "step-up and step-down"


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbNeed:
    """What a charger asks of USB, and what stands between."""

    pack_full_v: float
    """Pack at the end of the charge. [V]"""
    wanted_a: float
    """Charge current wanted. [A]"""
    efficiency_fraction: float = CHARGER_EFFICIENCY_FRACTION
    """Power out over power in of the charger. [-]"""
    cable_a: float = PLAIN_CABLE_A
    """What the cable carries: 3 A plain, 5 A marked. [A]"""
    conversion: Conversion = Conversion.STEP_DOWN
    """What the charger can do with the voltage."""
    headroom_v: float = 0.5
    """What a step-down charger needs above the pack; 0.5 V assumed, see its sheet. [V]"""

    def __post_init__(self) -> None:
        positive = min(self.pack_full_v, self.wanted_a, self.cable_a) > 0
        if not positive or not 0 < self.efficiency_fraction <= 1:
            msg = (
                "volts and amps must be above 0 and the efficiency above 0 up to 1; got "
                f"{self.pack_full_v} V, {self.wanted_a} A, {self.cable_a} A, "
                f"{self.efficiency_fraction}"
            )
            raise OutOfRangeError(msg)

    @property
    def wanted_w(self) -> float:
        """Power drawn from USB at the wanted current. [W]"""
        return self.wanted_a * self.pack_full_v / self.efficiency_fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbPlan:
    """What a USB source gives to a pack."""

    level: SupplyLevel | None
    """The level to ask for; None if none fits."""
    bus_v: float
    """Voltage asked for; 0 if none fits. [V]"""
    charge_a: float
    """Charge current of the pack at its full voltage. [A]"""
    input_a: float
    """Current drawn from USB then. [A]"""
    input_w: float
    """Power drawn from USB then. [W]"""
    limited_by: str
    """What holds the charge current, empty if nothing."""


def usb_plan(need: UsbNeed, *, source_w: float, kind: UsbKind = UsbKind.FIXED) -> UsbPlan:
    r"""Choose the USB level that charges a pack fastest, up to the wanted current.

    Parameters
    ----------
    need : UsbNeed
        What the charger asks for.
    source_w : float
        Power printed on the USB source. [W]
    kind : UsbKind
        Levels that charger and source agree on.

    Returns
    -------
    UsbPlan
        The lowest level that reaches the largest current; of a level whose voltage can be set, the
        lowest voltage that does.

    Raises
    ------
    OutOfRangeError
        If the source has no power.

    Notes
    -----
    .. math:: I_{USB} = V_{pack} I / (\eta V_{USB})

    Examples
    --------
    12.6 V at 2 A with 90 %, from fixed levels and from programmable ones:

    >>> need = UsbNeed(pack_full_v=12.6, wanted_a=2.0)
    >>> plan = usb_plan(need, source_w=60)
    >>> plan.bus_v, round(plan.input_a, 2), round(plan.input_w, 1)
    (15.0, 1.87, 28.0)
    >>> usb_plan(need, source_w=60, kind=UsbKind.PROGRAMMABLE).bus_v
    13.1
    """
    if source_w <= 0:
        msg = f"the USB source gives {source_w} W; it must be above 0 W"
        raise OutOfRangeError(msg)
    plans = [
        _from_level(need, level, bus_v=bus_v, source_w=source_w)
        for level in levels_offered(source_w=source_w, kind=kind)
        if (bus_v := _bus_v(need, level)) is not None
    ]
    if not plans:
        return UsbPlan(
            level=None,
            bus_v=0.0,
            charge_a=0.0,
            input_a=0.0,
            input_w=0.0,
            limited_by=(
                f"no {kind.value} level of a {source_w:g} W source works with a "
                f"{need.conversion.value} charger at {need.pack_full_v:g} V over a "
                f"{need.cable_a:g} A cable"
            ),
        )
    most_a = max(plan.charge_a for plan in plans)
    best = [plan for plan in plans if plan.charge_a >= most_a - 1e-9]
    return best[-1] if best[-1].limited_by else best[0]


def least_source_w(need: UsbNeed, *, kind: UsbKind = UsbKind.FIXED) -> float | None:
    """Give the smallest of the usual sources that charges at the wanted current. [W]

    Parameters
    ----------
    need : UsbNeed
        What the charger asks for.
    kind : UsbKind
        Levels that charger and source agree on.

    Returns
    -------
    float or None
        Watts of one of the levels of the table; None if none does. [W]

    Examples
    --------
    >>> least_source_w(UsbNeed(pack_full_v=12.6, wanted_a=2.0))
    45.0
    """
    family = UsbKind.PLAIN if kind is UsbKind.PLAIN else UsbKind.FIXED
    sizes = sorted({_most_w(each) for each in load_supply_levels() if each.kind is family})
    return next(
        (
            size_w
            for size_w in sizes
            if usb_plan(need, source_w=size_w, kind=kind).charge_a >= need.wanted_a - 1e-9
        ),
        None,
    )


def _bus_v(need: UsbNeed, level: SupplyLevel) -> float | None:
    """Voltage to ask of a level; None where the charger cannot use it. [V]"""
    low_v, high_v = level.lowest_v, level.highest_v
    if high_v > _PLAIN_CABLE_V and need.cable_a <= PLAIN_CABLE_A:
        return None
    if need.conversion is Conversion.STEP_DOWN:
        low_v = max(low_v, need.pack_full_v + need.headroom_v)
    if need.conversion is Conversion.STEP_UP:
        if low_v >= need.pack_full_v:
            return None
        high_v = min(high_v, need.pack_full_v)
    if low_v > high_v:
        return None
    if level.step_v is None:
        return level.highest_v if high_v == level.highest_v else None
    wished_v = max(low_v, need.wanted_w / min(level.most_a, need.cable_a))
    steps = math.ceil((wished_v - level.lowest_v) / level.step_v - 1e-6)
    return float(round(min(level.lowest_v + steps * level.step_v, high_v), 6))


def _from_level(need: UsbNeed, level: SupplyLevel, *, bus_v: float, source_w: float) -> UsbPlan:
    limits = {
        "the source's watts": source_w,
        "the level's amps": level.most_a * bus_v,
        "the cable": need.cable_a * bus_v,
    }
    name = min(limits, key=limits.__getitem__)
    possible_a = limits[name] * need.efficiency_fraction / need.pack_full_v
    charge_a = min(need.wanted_a, possible_a)
    input_w = charge_a * need.pack_full_v / need.efficiency_fraction
    return UsbPlan(
        level=level,
        bus_v=bus_v,
        charge_a=charge_a,
        input_a=input_w / bus_v,
        input_w=input_w,
        limited_by=name if possible_a < need.wanted_a else "",
    )
