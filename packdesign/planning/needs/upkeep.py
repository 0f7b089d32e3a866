"""How a pack is used, kept and charged over the years, for the plan of its upkeep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.constants import SECONDS_PER_YEAR
from packdesign.planning.brief.charge_sections import Charger
from packdesign.planning.brief.condition_section import Condition
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Carrying, Measured, Storage
from packdesign.planning.charge_plan.go_no_go import SWOLLEN_RED_FRACTION, recharge_floor_v
from packdesign.planning.needs.drain import device_drain
from packdesign.planning.needs.fuse_parts import fuse_of, has_fuse
from packdesign.planning.needs.parts import board_of
from packdesign.planning.upkeep.aged_burst import Burst
from packdesign.planning.upkeep.retire import PackHealth
from packdesign.planning.upkeep.service import UpkeepNeed

__all__ = ["WorkedPack", "asks_for_life", "health_of", "service_years", "upkeep_need_of"]

_USUAL_YEARS: Final = 2.0
"""How far ahead is looked where the brief gives no service life: own choice. [a]"""
_USUAL_USES_PER_WEEK: Final = 1.0
_ROOM_DEGC: Final = 20.0
_FULLEST_USE: Final = 0.95
_USUAL_CHARGE_CRATE: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedPack:
    """What one pack does in its work, as far as its ageing depends on it. Pack level."""

    cell: Cell
    parallel: int
    full_v: float
    rms_a: float
    run_time_s: float
    """From full to the first limit. [s]"""
    wished_s: float | None
    """Run time wished for from one charge; None: until it is empty. [s]"""
    burst: Burst | None
    """The hardest moment; None: nothing has a least voltage."""


def asks_for_life(brief: Brief) -> bool:
    """Tell whether the brief says enough of the years ahead for them to be judged.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    storage = brief.storage
    return storage is not None and (
        storage.uses_per_week is not None
        or storage.service_life_s is not None
        or storage.duration_s is not None
    )


def service_years(brief: Brief) -> float:
    """Give how long the pack must serve; two years where nobody says. [a]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    life_s = brief.storage.service_life_s if brief.storage is not None else None
    return _USUAL_YEARS if not life_s else life_s / SECONDS_PER_YEAR


def upkeep_need_of(
    brief: Brief, worked: WorkedPack, *, divider_a: float | None = None
) -> UpkeepNeed:
    """Give how a pack is used, kept and charged.

    Parameters
    ----------
    brief : Brief
        The brief; what it leaves out is a room, half full, one charge a week.
    worked : WorkedPack
        What the pack does.
    divider_a : float or None
        What the divider chosen by the gauge draws; None: it was not worked out. [A]
    """
    drain = device_drain(brief, full_v=worked.full_v, divider_a=divider_a)
    storage, charger = brief.storage or Storage(), brief.charger or Charger()
    cell = worked.cell
    capacity_ah = cell.capacity_ah * worked.parallel
    depth = _FULLEST_USE
    if worked.wished_s is not None and worked.run_time_s > 0:
        depth = min(worked.wished_s / worked.run_time_s, _FULLEST_USE)
    standard_a = cell.standard_charge_a or _USUAL_CHARGE_CRATE * cell.capacity_ah
    uses, degc = storage.uses_per_week, storage.temperature_degc
    board, carrying = board_of(brief.pack), brief.carrying or Carrying()
    fuse = fuse_of(brief.pack)
    said = brief.pack is not None and brief.pack.fuse is not None
    return UpkeepNeed(
        cycles_per_week=_USUAL_USES_PER_WEEK if uses is None else uses,
        discharge_a=max(worked.rms_a, 1e-3 * capacity_ah),
        depth_fraction=max(depth, 0.01),
        charge_a=charger.current_a or standard_a * worked.parallel,
        end_v_per_cell=min(charger.end_voltage_per_cell_v or cell.full_v, cell.full_v),
        storage_degc=_ROOM_DEGC if degc is None else degc,
        storage_soc=storage.soc_fraction or None,
        board_drain_a=(board.idle_current_a or 0.0) if board is not None else 0.0,
        device_drain_a=drain.known_a,
        device_drain_is_whole=drain.is_whole,
        divider_drain_a=drain.divider_a or 0.0,
        divider_is_switched_off=drain.is_switched_off,
        burst=worked.burst,
        continuous_a=_continuous_a(brief, worked),
        has_fuse=has_fuse(brief.pack) if said else None,
        fuse_a=None if fuse is None else fuse.rating_a,
        in_equipment=not carrying.spare,
        un38_3_tested=bool(carrying.tested_to_un38_3),
    )


def _continuous_a(brief: Brief, worked: WorkedPack) -> float | None:
    """Largest continuous current for the label: what cell, board and fuse all bear. [A]

    A rating that holds only while something cuts off at a cell temperature does not count: a brief
    has no such part. Where the cell says nothing else, the label says nothing.
    """
    board, fuse = board_of(brief.pack), fuse_of(brief.pack)
    cell_a = worked.cell.continuous_without_cut_a
    if cell_a is None and worked.cell.continuous_needs_temperature_cut:
        return None
    limits = (
        None if cell_a is None else cell_a * worked.parallel,
        None if board is None else board.continuous_a,
        None if fuse is None else fuse.rating_a,
    )
    return min((each for each in limits if each is not None), default=None)


def health_of(brief: Brief, cell: Cell, *, new_cell_ohm: float) -> PackHealth:
    """Give what was measured and seen of a used pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        The cell, as its sheet has it.
    new_cell_ohm : float
        Resistance of a new cell, in the way in which it was measured. [ohm]
    """
    measured = brief.measured or Measured()
    look = measured.condition or Condition()
    ah, ohm, groups = (
        measured.cell_capacity_ah,
        measured.cell_resistance_ohm,
        measured.rested_groups_v,
    )
    seen = [look.dented, look.leaking]
    if look.swollen_fraction is not None:
        seen.append(look.swollen_fraction > SWOLLEN_RED_FRACTION)
    known = [each for each in seen if each is not None]
    below = None if not groups else min(groups) < recharge_floor_v(cell)
    return PackHealth(
        capacity_fraction=None if ah is None else ah / cell.capacity_ah,
        resistance_ratio=None if ohm is None else ohm / new_cell_ohm,
        swollen_dented_or_leaking=any(known) if known else None,
        below_floor=True if look.time_below_floor_s else below,
    )
