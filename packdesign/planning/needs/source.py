"""The charger of a brief as a thing: what it is, what feeds it, its port, running on charge."""

from __future__ import annotations

from typing import Final

from packdesign.data.connectors import find_connector
from packdesign.data.supplies import ChargerCircuit, UsbKind, find_charger_circuit
from packdesign.engineering.charging.interlock import ChargePolicy
from packdesign.engineering.charging.supply import Supply, SupplyKind
from packdesign.engineering.charging.usb_pd import Conversion
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.charge_sections import Charger
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.supply_plan import SourceFacts

__all__ = ["circuit_of", "source_facts"]

_KINDS: Final = {
    "balance_charger": SupplyKind.BALANCE_CHARGER,
    "charger": SupplyKind.PACK_CHARGER,
    "charger_module": SupplyKind.CHARGER_MODULE,
    "cell_chargers": SupplyKind.CELL_CHARGERS,
    "bare_supply": SupplyKind.BARE_SUPPLY,
    "mains_adapter": SupplyKind.MAINS_ADAPTER,
    "bench_supply": SupplyKind.LAB_SUPPLY,
    "converter_module": SupplyKind.CONVERTER_MODULE,
    "other_battery": SupplyKind.ANOTHER_BATTERY,
    "protection_board": SupplyKind.PROTECTION_BOARD,
    "usb_pd": SupplyKind.USB_SOURCE,
    "solar": SupplyKind.SOLAR_PANEL,
}
_FEEDS_A_CHARGER: Final = frozenset({SupplyKind.USB_SOURCE, SupplyKind.SOLAR_PANEL})
_PLATE_ROUNDING: Final = 0.05
"""Share by which watts and volts times amps of a plate may differ by rounding, own choice. [-]"""
_LEVELS: Final = {
    "none": UsbKind.PLAIN,
    "fixed": UsbKind.FIXED,
    "programmable": UsbKind.PROGRAMMABLE,
    "adjustable": UsbKind.ADJUSTABLE,
}
_CONVERSIONS: Final = {
    "step_down": Conversion.STEP_DOWN,
    "step_up": Conversion.STEP_UP,
    "both": Conversion.BOTH,
}
_POLICIES: Final = {
    "never": ChargePolicy.EXCLUSIVE,
    "interlocked": ChargePolicy.EXCLUSIVE,
    "power_path": ChargePolicy.POWER_PATH,
}


def source_facts(brief: Brief) -> SourceFacts:
    """Give what is known of the charger as a thing, and of what feeds it.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    charger = brief.charger
    if charger is None:
        return SourceFacts()
    source_w, source_note = _watts(charger)
    return SourceFacts(
        thing=_thing(charger),
        source_w=source_w,
        source_note=source_note,
        supply_v=charger.supply_v,
        usb=_usb(charger),
        cable_a=charger.cable_limit_a,
        conversion=_CONVERSIONS.get(charger.converter or ""),
        efficiency_fraction=charger.efficiency_fraction,
        port_connector=charger.port_connector or "",
        port_rated_a=_port_rating_a(charger),
        port_fuse_a=charger.port_fuse_a,
        policy=_POLICIES.get(charger.while_running or ""),
        may_run_unchecked=charger.while_running == "allowed",
        stays_in_device=bool(charger.built_in),
    )


def _watts(charger: Charger) -> tuple[float | None, str]:
    """Give the watts of the source, the least that its figures say, and which where they differ.

    Volts and amps of a USB source belong to one of its levels; its watts are those it is sold by.
    """
    volts, amps, watts = charger.supply_v, charger.supply_current_a, charger.supply_w
    if volts is None or amps is None or (watts is not None and _usb(charger) is not None):
        return watts, ""
    product_w = volts * amps
    if watts is None or abs(product_w - watts) <= _PLATE_ROUNDING * watts:
        return (product_w if watts is None else min(watts, product_w)), ""
    product = f"{volts:g} V x {amps:g} A are {product_w:g} W"
    note = f"Its figures contradict each other: {product}, {watts:g} W are named; the least counts."
    return min(watts, product_w), note


def circuit_of(charger: Charger) -> ChargerCircuit | None:
    """Find the charger circuit that a brief names in the table; None where it is not there.

    Parameters
    ----------
    charger : Charger
        The section.
    """
    if charger.name is None:
        return None
    try:
        return find_charger_circuit(charger.name)
    except UnknownNameError:
        return None


def _thing(charger: Charger) -> Supply | None:
    """Give the thing that shall charge; None where the brief does not say what it is."""
    circuit = circuit_of(charger)
    kind = _KINDS.get(charger.kind or "")
    if kind is None and circuit is not None:
        kind = SupplyKind.CHARGER_MODULE
    if kind is None:
        return None
    tells_of_charger = (charger.chemistry, charger.series, charger.end_voltage_per_cell_v)
    has_charger = circuit is not None or any(each is not None for each in tells_of_charger)
    if kind in _FEEDS_A_CHARGER and has_charger:
        kind = SupplyKind.PACK_CHARGER
    low = high = charger.series
    most_a = charger.current_a
    if circuit is not None:
        low = circuit.cells_in_series_min if low is None else low
        high = circuit.cells_in_series_max if high is None else high
        most_a = circuit.charge_max_a if most_a is None else most_a
    return Supply(
        kind=kind,
        name=charger.name or "",
        cells_min=low,
        cells_max=high,
        max_a=most_a,
        input_min_v=None if circuit is None else circuit.input_min_v,
        input_max_v=None if circuit is None else circuit.input_max_v,
        input_v=charger.supply_v,
        balances=charger.balances is not False,  # whether anything balances is the gate's to ask
    )


def _usb(charger: Charger) -> UsbKind | None:
    if charger.usb_pd is not None and (charger.usb_pd != "none" or charger.kind == "usb_pd"):
        return _LEVELS[charger.usb_pd]
    return UsbKind.FIXED if charger.kind == "usb_pd" else None


def _port_rating_a(charger: Charger) -> float | None:
    if charger.port_connector is None:
        return None
    try:
        return find_connector(charger.port_connector).rated_a
    except UnknownNameError:
        return None
