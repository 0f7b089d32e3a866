"""What feeds the charger: is it one at all, is the source large enough, fuse and plug of the port.

The charge current that comes out of it goes into the settings of the charge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.supplies import UsbKind
from packdesign.engineering.charging.interlock import ChargePolicy, InterlockRow, interlock_table
from packdesign.engineering.charging.supply import (
    CHARGER_EFFICIENCY_FRACTION,
    PackNeed,
    Supply,
    SupplyKind,
    SupplyMatch,
    match_supply,
    port_fuse,
    supply_watts,
)
from packdesign.engineering.charging.usb_pd import (
    PLAIN_CABLE_A,
    Conversion,
    UsbNeed,
    UsbPlan,
    least_source_w,
    usb_plan,
)

__all__ = ["PortPlan", "SourceFacts", "SupplyPlan", "plan_supply"]

_SHORT_BELOW: Final = 0.995
"""Share of the wanted current below which a source counts as too small, own choice. [-]"""

_READING_V: Final = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFacts:
    """What is known of the charger as a thing, and of what feeds it. None: not known."""

    thing: Supply | None = None
    """None: no charger is named."""
    source_w: float | None = None
    """Power of the source behind it. [W]"""
    source_note: str = ""
    """How those watts come about where volts times amps say something else, in words."""
    supply_v: float | None = None
    """Voltage of the source, where it is one voltage and no USB. [V]"""
    usb: UsbKind | None = None
    """How a USB source is asked; None: it is no USB source."""
    cable_a: float | None = None
    """What the cable carries. [A]"""
    conversion: Conversion | None = None
    efficiency_fraction: float | None = None
    """Power out over power in of the charger. [-]"""
    port_connector: str = ""
    port_rated_a: float | None = None
    """Rating of that connector. [A]"""
    port_fuse_a: float | None = None
    """Fuse that is in the port. [A]"""
    policy: ChargePolicy | None = None
    """What is meant to happen when it is plugged in; None: not known, or nothing prevents it."""
    may_run_unchecked: bool = False
    """Whether the load may run on the charging pack with nothing in between."""
    stays_in_device: bool = False

    @property
    def has_cell_chargers(self) -> bool:
        """Whether each group has a small charger of its own."""
        return self.thing is not None and self.thing.kind is SupplyKind.CELL_CHARGERS

    @property
    def efficiency(self) -> float:
        """Efficiency, a usual one where it is not known. [-]"""
        return self.efficiency_fraction or CHARGER_EFFICIENCY_FRACTION


@dataclass(frozen=True, slots=True, kw_only=True)
class PortPlan:
    """Fuse and connector of the charge port."""

    connector: str
    rated_a: float | None
    """Rating of the connector; None: not known. [A]"""
    fuse_a: float | None
    """Smallest usual fuse that carries the charge and protects the connector. [A]"""
    is_too_weak: bool
    """Whether no fuse does both: the connector is too weak for this charge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyPlan:
    """What feeds the charge, and what comes of it. Currents at pack level."""

    facts: SourceFacts
    match: SupplyMatch | None
    """What the thing named is; None: nothing is named."""
    wanted_a: float
    """Charge current that cells and charger would take, before the source is looked at. [A]"""
    wanted_w: float
    """Power that takes from the source at its most. [W]"""
    charge_a: float
    """Charge current that the source allows; 0 where it cannot charge at all. [A]"""
    input_w: float
    """Power taken from the source then. [W]"""
    limited_by: str
    """What holds the current below the one wanted, empty if nothing does."""
    usb: UsbPlan | None
    least_usb_w: float | None
    """Smallest usual USB source for the wanted current; None: none, or no USB. [W]"""
    port: PortPlan
    policy: ChargePolicy
    """What the interlock does; locked out where nobody says."""
    interlock: tuple[InterlockRow, ...]
    """Empty where the charger does not stay in the device and nothing is said of running."""

    @property
    def is_short(self) -> bool:
        """Whether the charge is slower than wanted because of the source."""
        return self.charge_a < _SHORT_BELOW * self.wanted_a


def plan_supply(need: PackNeed, facts: SourceFacts) -> SupplyPlan:
    """Look at what feeds a charge.

    Parameters
    ----------
    need : PackNeed
        What the pack asks for.
    facts : SourceFacts
        What is known of charger and source.

    Returns
    -------
    SupplyPlan
        Current and watts that result, USB level, port, interlock.

    Notes
    -----
    A source is held against the power at the end of constant current, the most that a charge takes.
    Where its watts are not known, it is taken to be large enough. A charger that is not said to
    step the voltage up is taken to step it down only: it cannot fill a pack above its source.
    """
    match = None if facts.thing is None else match_supply(need, facts.thing)
    wanted_a = need.wanted_a
    if match is not None and match.usable:
        wanted_a = min(wanted_a, match.charge_a)
    efficiency = facts.efficiency
    usb, least_w = _usb(need, facts, wanted_a=wanted_a)
    charge_a, limited_by = wanted_a, ""
    if usb is not None:
        charge_a, limited_by = usb.charge_a, usb.limited_by
    elif _is_below_the_pack(need, facts):
        charge_a, limited_by = 0.0, _too_low_words(need, facts)
    elif facts.source_w is not None:
        possible_a = facts.source_w * efficiency / need.full_v
        if possible_a < wanted_a:
            charge_a, limited_by = possible_a, "the source's watts"
    return SupplyPlan(
        facts=facts,
        match=match,
        wanted_a=wanted_a,
        wanted_w=supply_watts(
            full_v=need.full_v, charge_a=wanted_a, efficiency_fraction=efficiency
        ),
        charge_a=charge_a,
        input_w=supply_watts(full_v=need.full_v, charge_a=charge_a, efficiency_fraction=efficiency),
        limited_by=limited_by,
        usb=usb,
        least_usb_w=least_w,
        port=_port(facts, charge_a=charge_a or wanted_a),
        policy=facts.policy or ChargePolicy.EXCLUSIVE,
        interlock=_interlock(facts),
    )


def _is_below_the_pack(need: PackNeed, facts: SourceFacts) -> bool:
    if facts.supply_v is None or facts.usb is not None:
        return False
    if facts.conversion in {Conversion.STEP_UP, Conversion.BOTH}:
        return False
    to_fill_v = need.full_v_per_cell if facts.has_cell_chargers else need.full_v
    return facts.supply_v < to_fill_v - _READING_V


def _too_low_words(need: PackNeed, facts: SourceFacts) -> str:
    to_fill_v = need.full_v_per_cell if facts.has_cell_chargers else need.full_v
    filled = "a full cell" if facts.has_cell_chargers else "the full pack"
    stands = f"its supply gives {facts.supply_v:g} V and {filled} stands at {to_fill_v:g} V"
    if facts.conversion is None:
        return f"{stands}, and no converter that steps up is named"
    return f"{stands}, and its converter only steps down"


def _usb(
    need: PackNeed, facts: SourceFacts, *, wanted_a: float
) -> tuple[UsbPlan | None, float | None]:
    """Choose the level of a USB source, and the smallest source that would do."""
    if facts.usb is None:
        return None, None
    asked = UsbNeed(
        pack_full_v=need.full_v,
        wanted_a=wanted_a,
        efficiency_fraction=facts.efficiency,
        cable_a=facts.cable_a or PLAIN_CABLE_A,
        conversion=facts.conversion or Conversion.STEP_DOWN,
    )
    least_w = least_source_w(asked, kind=facts.usb)
    source_w = least_w if facts.source_w is None else facts.source_w
    if source_w is None:
        return None, None
    return usb_plan(asked, source_w=source_w, kind=facts.usb), least_w


def _port(facts: SourceFacts, *, charge_a: float) -> PortPlan:
    rated_a = facts.port_rated_a
    fuse_a = port_fuse(charge_a=charge_a, path_limit_a=float("inf") if rated_a is None else rated_a)
    return PortPlan(
        connector=facts.port_connector,
        rated_a=rated_a,
        fuse_a=fuse_a,
        is_too_weak=rated_a is not None and fuse_a is None,
    )


def _interlock(facts: SourceFacts) -> tuple[InterlockRow, ...]:
    if facts.policy is ChargePolicy.POWER_PATH or facts.stays_in_device:
        return interlock_table(facts.policy or ChargePolicy.EXCLUSIVE)
    return ()
