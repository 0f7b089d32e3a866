"""USB as a supply for charging: the levels a source offers, what a cable carries, what is left.

A USB source is a supply, not a charger: between it and the pack a charger for that many cells is
needed (see :mod:`packdesign.engineering.charging.supply`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "PLAIN_CABLE_A",
    "USB_LEVELS",
    "Conversion",
    "UsbKind",
    "UsbLevel",
    "UsbPlan",
    "levels_offered",
    "usb_plan",
]

PLAIN_CABLE_A: Final = 3.0
# above 3 A an electronically marked 5 A cable is needed: Renesas USB PD table (node 594496)
_RENESAS: Final = "Renesas USB PD power rules (node 594496); JAE USB PD article, 2025-06-17"
_EPR: Final = "EngineerIT April 2022 p. 35; PD R3.1 V1.0 notes, 2021-06"
_AVS: Final = "ranges: Linux device-tree binding of 2026-03-16; step from memory"
_PPS: Final = "step and current limit: PD R3.1 notes, 2021-06; ranges from memory"
_PLAIN: Final = "JAE USB PD article, 2025-06-17 (its 7.5 W at Type-C 3 A is a misprint for 15 W)"


class UsbKind(StrEnum):
    """How the voltage of a level is set."""

    PLAIN = "plain USB"
    FIXED = "fixed"
    PROGRAMMABLE = "programmable (PPS)"
    """Small steps with a current limit."""
    ADJUSTABLE = "adjustable (AVS)"
    """Voltage steps only, no current limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbLevel:
    """One thing a USB source may offer."""

    name: str
    kind: UsbKind
    low_v: float
    high_v: float
    step_v: float
    """Step of the voltage; 0 where it is fixed. [V]"""
    max_a: float
    max_w: float
    source_above_w: float
    """The source offers this level only if rated above (fixed) or at (others) this power. [W]"""
    cable: str
    source: str


_FIVE_AMP: Final = "5 A marked cable"
_EPR_CABLE: Final = "extended-range cable rated 50 V, 5 A"


def _plain(name: str, max_a: float) -> UsbLevel:
    return UsbLevel(
        name=name, kind=UsbKind.PLAIN, low_v=5, high_v=5, step_v=0, max_a=max_a, max_w=5 * max_a,
        source_above_w=0, cable="any", source=_PLAIN,
    )  # fmt: skip


def _fixed(volts: float, max_a: float, above_w: float, cable: str, source: str) -> UsbLevel:
    return UsbLevel(
        name=f"{volts:g} V fixed, {max_a:g} A", kind=UsbKind.FIXED, low_v=volts, high_v=volts,
        step_v=0, max_a=max_a, max_w=volts * max_a, source_above_w=above_w, cable=cable,
        source=source,
    )  # fmt: skip


def _programmable(name: str, high_v: float) -> UsbLevel:
    return UsbLevel(
        name=f"{name} V programmable", kind=UsbKind.PROGRAMMABLE, low_v=3.3, high_v=high_v,
        step_v=0.02, max_a=5, max_w=100, source_above_w=0, cable="any up to 3 A", source=_PPS,
    )  # fmt: skip


def _adjustable(low_v: float, high_v: float, max_w: float, cable: str, source: str) -> UsbLevel:
    return UsbLevel(
        name=f"{low_v:g} to {high_v:g} V adjustable", kind=UsbKind.ADJUSTABLE, low_v=low_v,
        high_v=high_v, step_v=0.1, max_a=5, max_w=max_w, source_above_w=max_w, cable=cable,
        source=source,
    )  # fmt: skip


USB_LEVELS: Final[tuple[UsbLevel, ...]] = (
    _plain("USB 2.0 port", 0.5),
    _plain("USB 3.2 port", 0.9),
    _plain("BC 1.2 charging port", 1.5),
    _plain("Type-C 1.5 A", 1.5),
    _plain("Type-C 3 A", 3.0),
    _fixed(5, 3, 0, "any", _RENESAS),
    _fixed(9, 3, 15, "any", _RENESAS),
    _fixed(15, 3, 27, "any", _RENESAS),
    _fixed(20, 3, 45, "any", _RENESAS),
    _fixed(20, 5, 60, _FIVE_AMP, _RENESAS),
    _fixed(28, 5, 100, _EPR_CABLE, _EPR),
    _fixed(36, 5, 140, _EPR_CABLE, _EPR),
    _fixed(48, 5, 180, _EPR_CABLE, _EPR),
    _programmable("5", 5.9),
    _programmable("9", 11),
    _programmable("15", 16),
    _programmable("20", 21),
    _adjustable(9, 15, 100, "any up to 3 A", _AVS),
    _adjustable(15, 20, 100, _FIVE_AMP, _AVS),
    _adjustable(15, 28, 140, _EPR_CABLE, _EPR),
    _adjustable(15, 36, 180, _EPR_CABLE, _EPR),
    _adjustable(15, 48, 240, _EPR_CABLE, _EPR),
)
"""Every level known here. A source tells in talking to the device which ones it really has."""


def levels_offered(*, source_w: float) -> tuple[UsbLevel, ...]:
    """Give the fixed levels that the power rules promise of a PD source of this power.

    Parameters
    ----------
    source_w : float
        Power printed on the source. [W]

    Returns
    -------
    tuple of UsbLevel
        Lowest voltage first; programmable and adjustable levels are never promised.

    Notes
    -----
    Above 15 W the source adds 9 V, above 27 W 15 V, above 45 W 20 V, all up to 3 A; above 60 W
    20 V up to 5 A; then 28, 36 and 48 V at 5 A (Renesas node 594496).

    Examples
    --------
    >>> [level.high_v for level in levels_offered(source_w=30)]
    [5, 9, 15]
    """
    fixed = [level for level in USB_LEVELS if level.kind is UsbKind.FIXED]
    return tuple(
        level for level in fixed if source_w > level.source_above_w or level.source_above_w == 0
    )


class Conversion(StrEnum):
    """What the charger between USB and pack can do with the voltage."""

    STEP_DOWN = "step-down"
    STEP_UP = "step-up"
    BOTH = "step-up and step-down"


@dataclass(frozen=True, slots=True, kw_only=True)
class UsbPlan:
    """What a USB source gives to a pack."""

    level: UsbLevel | None
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
    >>> plan.level.high_v, round(plan.input_a, 2), round(plan.input_w, 1)
    (15, 1.87, 28.0)
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
        if _converts(level.high_v, pack_full_v, conversion=conversion, headroom_v=headroom_v)
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
    levels: Iterable[UsbLevel],
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
            "the level's amps": level.max_a * level.high_v,
            "the cable": cable_a * level.high_v,
        }
        name = min(limits, key=limits.__getitem__)
        possible_a = limits[name] * efficiency_fraction / pack_full_v
        charge_a = min(wanted_a, possible_a)
        input_w = charge_a * pack_full_v / efficiency_fraction
        plan = UsbPlan(
            level=level,
            charge_a=charge_a,
            input_a=input_w / level.high_v,
            input_w=input_w,
            limited_by=name if possible_a < wanted_a else "",
        )
        if best is None or plan.charge_a > best.charge_a + 1e-9:
            best = plan
    if best is None:
        msg = "no USB level was given to choose from"
        raise OutOfRangeError(msg)
    return best
