"""Everything about a pack after the build in one call: life, storage, carrying, label, end."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from packdesign.data.cells import Cell
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.ageing.cycle_factors import scaled_charge_voltage
from packdesign.engineering.ageing.cycle_life import CycleUse
from packdesign.engineering.charging.zones import charge_zones
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.hazards.transport import Transport, energy_wh, transport
from packdesign.planning.hazards.transport_rules import RULES, DatedRule
from packdesign.planning.upkeep.aged_burst import AgedBurst, Burst, aged_burst
from packdesign.planning.upkeep.label import LabelFacts, label_gaps, label_lines
from packdesign.planning.upkeep.life import (
    USUAL_YEARS,
    LifeYear,
    Mission,
    life_years,
)
from packdesign.planning.upkeep.retire import ADVICE, RETIRE_SIGNS, Advice
from packdesign.planning.upkeep.storing import StorageCase, StoragePlan, plan_storage

__all__ = ["UpkeepNeed", "UpkeepPlan", "pack_life", "plan_upkeep"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepNeed:
    """How a pack is used, kept and charged. Currents at pack level."""

    cycles_per_week: float
    discharge_a: float
    """Root mean square current while it works. [A]"""
    depth_fraction: float
    """Share of the capacity used between charges. [-]"""
    charge_a: float
    end_v_per_cell: float
    """Charge voltage. [V]"""
    storage_degc: float
    storage_soc: float | None = None
    """Charge it is kept at; None: the middle of what is advised. [-]"""
    board_drain_a: float = 0.0
    """What the protection board draws all the time. [A]"""
    device_drain_a: float = 0.0
    """What is known of what the device draws while it is switched off. [A]"""
    device_drain_is_whole: bool = True
    """Whether nothing is missing from that."""
    divider_drain_a: float = 0.0
    """What the divider of the gauge draws while it is fed. [A]"""
    divider_is_switched_off: bool = False
    """Whether a switch is taken to cut the divider off; it is then not in the device's drain."""
    burst: Burst | None = None
    """The hardest moment; None: not looked at."""
    continuous_a: float | None = None
    """Largest continuous current for the label; None: not known. [A]"""
    has_fuse: bool | None = None
    """None: nobody has said."""
    fuse_a: float | None = None
    """Its rating, or what a resettable one holds; None: not known. [A]"""
    built_by: str = ""
    in_equipment: bool = False
    """Whether it travels built into the device that it drives."""
    un38_3_tested: bool = False
    """Whether this type of pack has a UN 38.3 report. A pack built at home has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepPlan:
    """What the owner of a pack needs to know after it is built."""

    life: tuple[LifeYear, ...]
    bursts: tuple[AgedBurst, ...]
    """One for each year of ``life`` where a burst was given and ageing is known."""
    storage: StoragePlan
    carrying: Transport
    rules: tuple[DatedRule, ...]
    label: tuple[str, ...]
    label_gaps: tuple[str, ...]
    """What must be known before the label may be used."""
    retire: tuple[str, ...]
    """Signs that its end has come."""
    advice: tuple[Advice, ...]
    """Making safe, handing in, damage, fire, first aid."""


def plan_upkeep(
    cell: Cell,
    pack: PackModel,
    need: UpkeepNeed,
    *,
    today: datetime.date,
    years: tuple[float, ...] = USUAL_YEARS,
) -> UpkeepPlan:
    """Plan the time after the build.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The new pack.
    need : UpkeepNeed
        How it is used, kept and charged.
    today : date
        Day it is put away.
    years : tuple of float
        When to look at its life. [a]

    Returns
    -------
    UpkeepPlan
        Life by years, storage with the next date, class and rules of carrying, label, end.

    Raises
    ------
    OutOfRangeError
        If use or storage lies beyond what is published.
    """
    storage_soc = _storage_soc(cell, need)
    life = pack_life(cell, pack, need, years=years)
    cell_wh = energy_wh(nominal_v=cell.nominal_v, capacity_ah=cell.promised_capacity_ah)
    pack_wh = cell_wh * pack.series * pack.parallel
    label = _label(cell, pack, need, pack_wh=pack_wh)
    return UpkeepPlan(
        life=life,
        bursts=_bursts(pack, need, life),
        storage=plan_storage(
            StorageCase(
                family=cell.family,
                capacity_ah=pack.capacity_ah,
                soc=storage_soc,
                storage_degc=need.storage_degc,
                board_drain_a=need.board_drain_a,
                device_drain_a=need.device_drain_a,
                device_drain_is_whole=need.device_drain_is_whole,
                divider_drain_a=need.divider_drain_a,
                divider_is_switched_off=need.divider_is_switched_off,
            ),
            today=today,
        ),
        carrying=transport(
            battery_wh=pack_wh,
            cell_wh=cell_wh,
            in_equipment=need.in_equipment,
            un38_3_tested=need.un38_3_tested,
        ),
        rules=RULES,
        label=label_lines(label),
        label_gaps=label_gaps(label),
        retire=RETIRE_SIGNS,
        advice=ADVICE,
    )


def pack_life(
    cell: Cell, pack: PackModel, need: UpkeepNeed, *, years: tuple[float, ...]
) -> tuple[LifeYear, ...]:
    """Look at the life of a pack alone.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The new pack.
    need : UpkeepNeed
        How it is used, kept and charged.
    years : tuple of float
        When to look. [a]

    Raises
    ------
    OutOfRangeError
        If its use lies beyond what is published.
    """
    mission = _mission(cell, pack, need, storage_soc=_storage_soc(cell, need))
    return life_years(cell, mission, years=years)


def _storage_soc(cell: Cell, need: UpkeepNeed) -> float:
    if need.storage_soc is not None:
        return need.storage_soc
    limits = load_chemistry(cell.family).limits
    return (limits.storage_low_soc + limits.storage_high_soc) / 2


def _mission(cell: Cell, pack: PackModel, need: UpkeepNeed, *, storage_soc: float) -> Mission:
    use = CycleUse(
        discharge_crate=need.discharge_a / pack.capacity_ah,
        depth_fraction=need.depth_fraction,
        charge_crate=need.charge_a / pack.capacity_ah,
        charge_v=scaled_charge_voltage(charge_v=need.end_v_per_cell, full_v=cell.full_v),
        in_pack=pack.series * pack.parallel > 1,
    )
    return Mission(
        cycles_per_week=need.cycles_per_week,
        use=use,
        storage_degc=need.storage_degc,
        storage_soc=storage_soc,
    )


def _bursts(pack: PackModel, need: UpkeepNeed, life: tuple[LifeYear, ...]) -> tuple[AgedBurst, ...]:
    """Follow the burst through the years; none where ageing is unknown or the new pack fails."""
    if need.burst is None:
        return ()
    try:
        return tuple(
            aged_burst(pack, need.burst, estimate=each.estimate, years=each.years) for each in life
        )
    except OutOfRangeError:
        return ()


def _label(cell: Cell, pack: PackModel, need: UpkeepNeed, *, pack_wh: float) -> LabelFacts:
    zones = [
        zone for zone in charge_zones(cell, wanted_a=need.charge_a / pack.parallel) if zone.allowed
    ]
    return LabelFacts(
        cell_name=cell.name,
        family=cell.family,
        series=pack.series,
        parallel=pack.parallel,
        nominal_v=cell.nominal_v * pack.series,
        full_v=cell.full_v * pack.series,
        capacity_ah=cell.promised_capacity_ah * pack.parallel,
        energy_wh=pack_wh,
        charge_a=need.charge_a,
        discharge_a=need.continuous_a,
        charge_low_degc=zones[0].low_degc,
        charge_high_degc=zones[-1].high_degc,
        has_fuse=need.has_fuse,
        fuse_a=need.fuse_a,
        built_by=need.built_by,
    )
