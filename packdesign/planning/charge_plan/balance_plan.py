"""How the groups of a pack are brought level, and kept so: the gap, the bleed, the hours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.data.charge_tables import self_discharge_rows
from packdesign.engineering.charging.balancing import (
    Bleed,
    balance_hours,
    charges_to_balance,
    simulated_balance_hours,
    upkeep_hours_per_month,
)
from packdesign.engineering.charging.charge_run import BandedCharge
from packdesign.engineering.charging.mismatch import gap_from_voltage
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.constants import SECONDS_PER_HOUR

__all__ = ["BalancePlan", "GroupFacts", "after_charge", "plan_balance", "spread_per_month"]

_FIRST_GAP_FRACTION: Final = 0.02
# cells of one batch as delivered, charge apart by 2 % of capacity: assumed, no source
_SPREAD_PER_MONTH: Final = 0.005
# where no self-discharge figure is known, 0.5 % of capacity a month apart: assumed, no source
_METER_V: Final = 0.005
# error between two readings of a hand-held meter: from memory, no source
_TELLS_WITHIN: Final = 0.02
# voltages tell the charge where that error is less than the gap assumed without them: own choice
_LEAST_STEP_S: Final = 1.0
_STEPS: Final = 2000
"""Steps in which the bleeds are followed; enough for 1 mAh in 2 Ah."""
_MEASURED: Final = "measured"
_WIDE_FRACTION: Final = 0.10
_TOO_WIDE_FRACTION: Final = 0.20
"""Gap over capacity from which a balancer is not left alone with it, and from which it is no job
for a balancer at all: own choices, no source. Cells of one batch come 2 % apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupFacts:
    """What was measured on the groups of a pack, from its minus on; empty: not measured."""

    behind_ah: tuple[float, ...] = ()
    """Charge that each group lacks to be full. [A h]"""
    rested_v: tuple[float, ...] = ()
    """Rested voltage of each group. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BalancePlan:
    """Hours of balancing; None where nothing balances or nobody knows."""

    gap_ah: float
    """Gap counted on at the first charge. [A h]"""
    gap_is_measured: bool
    behind_ah: tuple[float, ...]
    """Charge by which each group is behind. [A h]"""
    gap_origin: str
    """Where the gap comes from, in words."""
    first_h: float | None
    """To close that gap, by arithmetic. [h]"""
    stepped_h: float | None
    """The same followed step by step, to 1 mAh; None: nothing balances. [h]"""
    per_month_h: float | None
    """To keep it closed, per month. [h]"""
    charges_needed: int | None
    """Charges until the gap is closed, if bleeding stops with each charge; None: not known."""
    heat_w: float | None
    """Heat of one bleed while it is on; None: nothing bleeds. [W]"""
    most_heat_w: float | None
    """Heat of all bleeds that can be on at once. [W]"""
    path_ohm: float | None
    """Resistance of a bleed path at that current, switch included. [ohm]"""
    note: str
    gap_fraction: float = 0.0
    """That gap over the capacity of a group. [-]"""

    @property
    def is_wide(self) -> bool:
        """Whether a measured gap says that something is wrong with a group."""
        return self.gap_is_measured and self.gap_fraction > _WIDE_FRACTION

    @property
    def is_too_wide(self) -> bool:
        """Whether the group that is behind must be charged by itself before any charge."""
        return self.gap_is_measured and self.gap_fraction > _TOO_WIDE_FRACTION

    @property
    def furthest_behind(self) -> int:
        """Group that lacks most, counted from 1 at the pack's minus. [-]"""
        return self.behind_ah.index(max(self.behind_ah)) + 1


_NO_BLEED: Final = BalancePlan(
    gap_ah=0.0,
    gap_is_measured=False,
    behind_ah=(0.0,),
    gap_origin="",
    first_h=None,
    stepped_h=None,
    per_month_h=None,
    charges_needed=None,
    heat_w=None,
    most_heat_w=None,
    path_ohm=None,
    note="",
)


_NO_HOURS: Final[dict[bool | None, str]] = {
    True: "it balances, but its current is not known: find it and give balance_current",
    False: "the charger does not balance: groups drift apart until one passes its limit",
    None: "whether anything balances is not known",
}
"""Why no hours are given, by whether anything balances; None: nobody knows."""


def plan_balance(
    cell: Cell,
    pack: PackModel,
    groups: GroupFacts,
    *,
    bleed: Bleed | None,
    balances: bool | None,
    one_for_each_cell: bool = False,
) -> BalancePlan:
    """Plan the balancing of a pack.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The pack.
    groups : GroupFacts
        What was measured on its groups.
    bleed : Bleed or None
        The balancer; None: nothing balances, or its current is not known.
    balances : bool or None
        Whether anything balances, be its current known or not; None: not known.
    one_for_each_cell : bool
        Whether each group has a charger of its own.
    """
    if pack.series == 1 or one_for_each_cell:
        return replace(
            _NO_BLEED,
            gap_is_measured=True,
            behind_ah=(0.0,) * pack.series,
            gap_origin="one group" if pack.series == 1 else "each group has a charger of its own",
            first_h=0.0,
            stepped_h=0.0,
            per_month_h=0.0,
            charges_needed=0,
            note="one group: nothing to balance"
            if pack.series == 1
            else "each group has a charger of its own, which levels it",
        )
    behind_ah, origin = _behind(pack, groups)
    gap_ah = max(behind_ah) - min(behind_ah)
    measured = origin.startswith(_MEASURED)
    found = replace(
        _NO_BLEED,
        gap_ah=gap_ah,
        gap_is_measured=measured,
        behind_ah=behind_ah,
        gap_origin=origin,
        gap_fraction=gap_ah / pack.capacity_ah,
    )
    if found.is_too_wide:
        return replace(
            found, note=f"group {found.furthest_behind} is too far behind to be left to a balancer"
        )
    if bleed is None:
        return replace(found, note=_NO_HOURS[balances])
    heat_w = bleed.heat_w(cell_v=cell.full_v)
    at_once = (pack.series + 1) // 2 if bleed.neighbours_take_turns else pack.series - 1
    return replace(
        found,
        first_h=balance_hours(gap_ah=gap_ah, bleed=bleed),
        stepped_h=_stepped_h(behind_ah, bleed=bleed),
        per_month_h=upkeep_hours_per_month(
            capacity_ah=pack.capacity_ah,
            self_discharge_spread_per_month=spread_per_month(cell),
            bleed=bleed,
        ),
        heat_w=heat_w,
        most_heat_w=at_once * heat_w,
        path_ohm=cell.full_v / bleed.current_a,
        note="" if measured else "the gap is assumed, 2 % of capacity; measure the groups",
    )


def _stepped_h(behind_ah: tuple[float, ...], *, bleed: Bleed) -> float:
    gap_ah = max(behind_ah) - min(behind_ah)
    whole_s = gap_ah / bleed.mean_a * SECONDS_PER_HOUR
    step_s = max(_LEAST_STEP_S, whole_s / _STEPS)
    return simulated_balance_hours(behind_ah, bleed=bleed, step_s=step_s)


def after_charge(
    balance: BalancePlan, charge: BandedCharge, *, bleed: Bleed | None, series: int
) -> int | None:
    """Count charges until the gap is closed, if the charger goes off when each charge is over.

    Parameters
    ----------
    balance : BalancePlan
        The plan.
    charge : BandedCharge
        One charge.
    bleed : Bleed or None
        The balancer.
    series : int
        Groups in series. [-]
    """
    if balance.is_too_wide:
        return None
    if bleed is None:
        return 0 if balance.gap_ah == 0 else None
    active_s = charge.run.total_time_s
    if bleed.start_v is not None:
        active_s = charge.run.time_above_s(terminal_v=bleed.start_v * series)
    return charges_to_balance(
        gap_ah=balance.gap_ah, bleed=bleed, active_h_per_charge=active_s / SECONDS_PER_HOUR
    )


def spread_per_month(cell: Cell) -> float:
    """Share of capacity by which groups drift apart in a month: the least published leak itself.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    rows = self_discharge_rows(cell.family)
    if not rows:
        return _SPREAD_PER_MONTH
    return min(row.percent_per_month for row in rows) / 100


def _behind(pack: PackModel, groups: GroupFacts) -> tuple[tuple[float, ...], str]:
    """Charge that each group is behind, and where that comes from."""
    if groups.behind_ah:
        return groups.behind_ah, f"{_MEASURED}, as the brief gives it"
    if groups.rested_v and _tells_charge(pack, groups.rested_v):
        socs = [pack.cell.soc_at(volts) for volts in groups.rested_v]
        behind = tuple((1.0 - soc) * pack.capacity_ah for soc in socs)
        return behind, f"{_MEASURED}, from the rested voltages of the groups"
    assumed = _FIRST_GAP_FRACTION * pack.capacity_ah
    why = "; rested voltages tell no charge on so flat a curve" if groups.rested_v else ""
    behind = tuple(assumed if index == 1 else 0.0 for index in range(pack.series))
    return behind, f"assumed, 2 % of capacity{why}"


def _tells_charge(pack: PackModel, rested_v: tuple[float, ...]) -> bool:
    """Whether the curve is steep enough where the groups stand for a meter to tell charge."""
    middle = pack.cell.soc_at(sum(rested_v) / len(rested_v))
    slope_v_per_ah = pack.cell.slope_v(middle) / pack.capacity_ah
    if slope_v_per_ah <= 0:
        return False
    doubt_ah = gap_from_voltage(voltage_spread_v=_METER_V, slope_v_per_ah=slope_v_per_ah)
    return doubt_ah <= _TELLS_WITHIN * pack.capacity_ah
