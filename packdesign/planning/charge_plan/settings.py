"""From what the builder owns to what the charger is set to, each figure with its origin."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.engineering.charging.balancing import (
    Bleed,
    bleed_current,
    bleed_current_two_resistors,
)
from packdesign.engineering.charging.charge_run import ChargeSettings
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.engineering.charging.supply import CHARGER_EFFICIENCY_FRACTION
from packdesign.engineering.charging.zones import ChargeZone, charge_zone, charge_zones
from packdesign.engineering.discharge.run import PackModel

__all__ = [
    "ChargerFacts",
    "SetFigure",
    "charge_settings",
    "held_to",
    "is_set_too_high",
    "set_figures",
]

_END_CRATE: Final = 0.05
_END_SOURCE: Final = "0.05C: digest of a Chinese EV standard, clause 7.1.1, for silent makers"
_PRE_CRATE: Final = 0.10
_PRE_SOURCE: Final = "0.1C: Microchip MCP73871 sheet, preconditioning; makers' precautions"
_PRE_BELOW_V: Final[dict[Family, float]] = {
    Family.NCA: 3.0,
    Family.NMC: 3.0,
    Family.LCO: 3.0,
    Family.LMO: 3.0,
    Family.LFP: 2.5,
}
# 3.0 V for cobalt types: Green Cell Tech precautions, undated; 2.5 V is the threshold of TI's
# BQ24050 family (SLUS940D), taken for LFP. Others: the cell's cut-off.
_HELD_BELOW: Final = 0.995
"""Share of the wanted current below which the card says that something holds it back. [-]"""
_NO_CURRENT_CRATE: Final = 1.0 / 3.0
# where a sheet prints no charge current: C/3 and up, same Chinese digest; our lowest reading of it


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargerFacts:
    """What is known of the charger, at pack level. None: take what the cell's sheet says."""

    charge_a: float | None = None
    end_v_per_cell: float | None = None
    end_a: float | None = None
    pre_charge_a: float | None = None
    pre_charge_below_v: float | None = None
    """Per cell. [V]"""
    timer_s: float | None = None
    balance_a: float | None = None
    """Bleed or balance current; 0: it does not balance; None: nobody knows. [A]"""
    is_said_to_balance: bool | None = None
    """Whether charger or board are said to balance, where their current is not known."""
    balance_duty_fraction: float = 1.0
    balance_start_v: float | None = None
    """Per cell; above it bleeding is active. None: at any voltage. [V]"""
    balance_takes_turns: bool = False
    """Whether neighbouring groups never bleed at once."""
    balance_resistor_ohm: float | None = None
    """That a group bleeds through; it goes before a current. [ohm]"""
    balance_switch_ohm: float | None = None
    """Switch of a monitor that has such a resistor in both taps of a group. [ohm]"""
    one_for_each_cell: bool = False
    """Whether each group has a charger of its own, which levels it by itself."""
    efficiency_fraction: float | None = None
    """Power out over power in. [-]"""

    @property
    def balances(self) -> bool | None:
        """Whether it balances; None: nobody knows."""
        if self.balance_resistor_ohm is not None or self.one_for_each_cell:
            return True
        return self.is_said_to_balance if self.balance_a is None else self.balance_a > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFigure:
    """One line of the settings card."""

    name: str
    value: float
    unit: str
    origin: str
    """Where it comes from."""


def _wanted_per_cell_a(cell: Cell, pack: PackModel, facts: ChargerFacts) -> tuple[float, str]:
    if facts.charge_a is not None:
        return facts.charge_a / pack.parallel, "the charger named"
    if cell.standard_charge_a is not None:
        return cell.standard_charge_a, f"standard charge of {cell.name}"
    if cell.max_charge_a is not None:
        return min(cell.max_charge_a, _NO_CURRENT_CRATE * cell.capacity_ah), "C/3, below its limit"
    return (
        _NO_CURRENT_CRATE * cell.capacity_ah,
        "C/3: the sheet gives no charge current; ask the maker",
    )


def charge_settings(
    cell: Cell, pack: PackModel, facts: ChargerFacts, *, start_degc: float
) -> tuple[ChargeSettings, ChargeZone]:
    """Settle current, voltage, ends and limits of a charge.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The pack.
    facts : ChargerFacts
        What is known of the charger.
    start_degc : float
        Cell temperature at the start. [degC]

    Returns
    -------
    tuple of ChargeSettings and ChargeZone
        The settings for the zone the cells are in, and the zone. Where the zone forbids charging
        the settings are those of the zone that allows most, for reading only.

    Raises
    ------
    OutOfRangeError
        If the charger's end current is above its current, or a figure is not above 0.

    Notes
    -----
    A charger set above the voltage of the cell or zone is held to that voltage here; that it is
    set too high is told by :func:`is_set_too_high`.
    """
    wanted_a, _ = _wanted_per_cell_a(cell, pack, facts)
    zone = charge_zone(cell, temperature_degc=start_degc, wanted_a=wanted_a)
    zones = charge_zones(cell, wanted_a=wanted_a)
    last = [each for each in zones if each.allowed][-1]
    best = max(zones, key=lambda each: (each.charge_a, each.full_v))
    used = zone if zone.allowed else best
    end_v = min(facts.end_v_per_cell or cell.full_v, used.full_v)
    charge_a = used.charge_a * pack.parallel
    is_as_named = facts.end_a is not None and used.charge_a == wanted_a
    end_a = facts.end_a or _END_CRATE * cell.capacity_ah * pack.parallel
    return (
        ChargeSettings(
            charge_a=charge_a,
            end_v_per_cell=end_v,
            end_a=end_a if is_as_named else min(end_a, 0.5 * charge_a),
            pre_charge_a=min(
                facts.pre_charge_a or _PRE_CRATE * cell.capacity_ah * pack.parallel, charge_a
            ),
            pre_charge_below_v=facts.pre_charge_below_v
            or _PRE_BELOW_V.get(cell.family, cell.cutoff_v),
            limit_degc=last.high_degc,
            time_limit_s=facts.timer_s or 24 * 3600.0,
            bleed=_bleed(cell, facts),
            efficiency_fraction=facts.efficiency_fraction or CHARGER_EFFICIENCY_FRACTION,
        ),
        zone,
    )


def held_to(settings: ChargeSettings, *, charge_a: float) -> ChargeSettings:
    """Give settings with a lower current, because the source behind the charger is too small.

    Parameters
    ----------
    settings : ChargeSettings
        What was settled from cell and charger.
    charge_a : float
        Current that the source allows. [A]
    """
    return replace(
        settings,
        charge_a=charge_a,
        end_a=min(settings.end_a, 0.5 * charge_a),
        pre_charge_a=min(settings.pre_charge_a, charge_a),
    )


def is_set_too_high(cell: Cell, facts: ChargerFacts) -> bool:
    """Tell whether the charger ends above what the cell takes, beyond the usual 50 mV.

    Parameters
    ----------
    cell : Cell
        The cell.
    facts : ChargerFacts
        What is known of the charger.

    Notes
    -----
    A tolerance of 50 mV per cell is usual: Battery University BU-409, copy of 2017.
    """
    return facts.end_v_per_cell is not None and facts.end_v_per_cell > cell.full_v + 0.05


def _bleed(cell: Cell, facts: ChargerFacts) -> Bleed | None:
    current_a = facts.balance_a or 0.0
    if facts.balance_resistor_ohm is not None:
        current_a = _through_resistor_a(cell, facts, resistor_ohm=facts.balance_resistor_ohm)
    if not current_a:
        return None
    return Bleed(
        current_a=current_a,
        duty_fraction=facts.balance_duty_fraction,
        start_v=facts.balance_start_v,
        neighbours_take_turns=facts.balance_takes_turns,
    )


def _through_resistor_a(cell: Cell, facts: ChargerFacts, *, resistor_ohm: float) -> float:
    if facts.balance_switch_ohm is None:
        return bleed_current(cell_v=cell.full_v, path_ohm=resistor_ohm)
    return bleed_current_two_resistors(
        cell_v=cell.full_v, resistor_ohm=resistor_ohm, switch_ohm=facts.balance_switch_ohm
    )


def _end_origin(facts: ChargerFacts, settings: ChargeSettings) -> str:
    if facts.end_a is None:
        return _END_SOURCE
    return "the charger named" if settings.end_a == facts.end_a else "half the current held back to"


def set_figures(
    cell: Cell, pack: PackModel, facts: ChargerFacts, settings: ChargeSettings
) -> tuple[SetFigure, ...]:
    """Write the settings as lines of a card, each with where it comes from.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The pack.
    facts : ChargerFacts
        What is known of the charger.
    settings : ChargeSettings
        What was settled.
    """
    own = "the charger named"
    wanted_a, current_origin = _wanted_per_cell_a(cell, pack, facts)
    if settings.charge_a < _HELD_BELOW * wanted_a * pack.parallel:
        current_origin = f"{current_origin}, held back by temperature, charger or source"
    return (
        SetFigure(name="current", value=settings.charge_a, unit="A", origin=current_origin),
        SetFigure(
            name="voltage, whole pack",
            value=settings.end_v_per_cell * pack.series,
            unit="V",
            origin=f"{pack.series} x {settings.end_v_per_cell:g} V",
        ),
        SetFigure(
            name="stop at",
            value=settings.end_a,
            unit="A",
            origin=_end_origin(facts, settings),
        ),
        SetFigure(
            name="pre-charge",
            value=settings.pre_charge_a,
            unit="A",
            origin=_PRE_SOURCE if facts.pre_charge_a is None else own,
        ),
        SetFigure(
            name="pre-charge below, per cell",
            value=settings.pre_charge_below_v,
            unit="V",
            origin="makers' precautions" if facts.pre_charge_below_v is None else own,
        ),
        SetFigure(
            name="stop above, cell",
            value=settings.limit_degc,
            unit="degC",
            origin="last zone in which charging is allowed",
        ),
        SetFigure(
            name="stop below, cell",
            value=coldest_charge_degc(cell),
            unit="degC",
            origin="first zone in which charging is allowed",
        ),
    )
