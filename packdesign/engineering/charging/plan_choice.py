"""Faster and gentler charges side by side, each with its time, its heat and its price in life."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Family
from packdesign.engineering.ageing.cycle_factors import (
    COBALT_LIKE,
    charge_voltage_trade,
    scaled_charge_voltage,
)
from packdesign.engineering.ageing.cycle_life import CycleUse, cycles_to
from packdesign.engineering.ageing.cycle_table import CycleRow
from packdesign.engineering.charging.cc_cv import simulate_charge
from packdesign.engineering.charging.charge_run import ChargeRun, ChargeSettings
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.foundation.basis import Band

__all__ = ["ChargeChoice", "LifeBasis", "PlanOutcome", "charge_choices", "compare_charges"]

_LOWER_BY_V: Final = 0.10
# each 0.10 V less per cell about doubles the cycles: Battery University BU-808 table 4, copies


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeChoice:
    """One way to charge, by name."""

    name: str
    settings: ChargeSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOutcome:
    """What one way of charging gives and takes."""

    choice: ChargeChoice
    run: ChargeRun
    capacity_fraction: float | None
    """Capacity this charge voltage gives over the full one, published; None: not published. [-]"""
    cycles_to_80_percent: Band | None
    """Cycles until 80 % is left, everything else alike; None: not published. [-]"""


def charge_choices(
    settings: ChargeSettings, *, family: Family, allowed_a: float
) -> tuple[ChargeChoice, ...]:
    """Make a gentler, a faster and a lower charge beside the one asked for.

    Parameters
    ----------
    settings : ChargeSettings
        The charge asked for.
    family : Family
        Chemistry family; a lower voltage is offered only where a table prices it.
    allowed_a : float
        Highest charge current of the pack. [A]

    Returns
    -------
    tuple of ChargeChoice
        Asked for, gentle (half the current), fast (the highest allowed, at most double), and
        0.10 V lower per cell. One that would equal another is left out.
    """
    choices = [ChargeChoice(name="as asked", settings=settings)]
    half_a = settings.charge_a / 2
    if half_a > settings.end_a:
        choices.append(ChargeChoice(name="gentle", settings=replace(settings, charge_a=half_a)))
    fast_a = min(2 * settings.charge_a, allowed_a)
    if fast_a > settings.charge_a * 1.05:
        choices.append(ChargeChoice(name="fast", settings=replace(settings, charge_a=fast_a)))
    if family in COBALT_LIKE:
        lower = replace(settings, end_v_per_cell=settings.end_v_per_cell - _LOWER_BY_V)
        choices.append(ChargeChoice(name="lower voltage", settings=lower))
    return tuple(choices)


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeBasis:
    """What the cycle estimate is made from."""

    family: Family
    discharge_crate: float
    """Root mean square current in use per capacity. [1/h]"""
    depth_fraction: float
    full_v: float
    """Charge voltage of the cell's sheet. [V]"""
    own: CycleRow | None = None


def compare_charges(
    choices: Sequence[ChargeChoice],
    *,
    pack: PackModel,
    conditions: Conditions,
    life: LifeBasis,
) -> tuple[PlanOutcome, ...]:
    """Simulate each choice and put its price in cycles beside it.

    Parameters
    ----------
    choices : sequence of ChargeChoice
        Ways to charge.
    pack : PackModel
        The pack.
    conditions : Conditions
        Air, start temperature, start charge.
    life : LifeBasis
        What the cycle estimate is made from.

    Returns
    -------
    tuple of PlanOutcome
        In the order given.

    Notes
    -----
    Cycle counts come from published tables of other cells; compare them with each other rather
    than take any one of them as a promise.
    """
    return tuple(
        PlanOutcome(
            choice=choice,
            run=simulate_charge(pack, choice.settings, conditions),
            capacity_fraction=_capacity(choice.settings, life),
            cycles_to_80_percent=_cycles(choice.settings, pack=pack, life=life),
        )
        for choice in choices
    )


def _scaled_v(settings: ChargeSettings, life: LifeBasis) -> float:
    """Charge voltage on the scale of a 4.20 V cell, for which the table stands."""
    return scaled_charge_voltage(charge_v=settings.end_v_per_cell, full_v=life.full_v)


def _capacity(settings: ChargeSettings, life: LifeBasis) -> float | None:
    if life.family not in COBALT_LIKE:
        return None
    return charge_voltage_trade(charge_v=_scaled_v(settings, life)).capacity_fraction


def _cycles(settings: ChargeSettings, *, pack: PackModel, life: LifeBasis) -> Band | None:
    use = CycleUse(
        discharge_crate=life.discharge_crate,
        depth_fraction=life.depth_fraction,
        charge_crate=settings.charge_a / pack.capacity_ah,
        charge_v=_scaled_v(settings, life),
        in_pack=pack.series * pack.parallel > 1,
    )
    return cycles_to(life.family, use, own=life.own)
