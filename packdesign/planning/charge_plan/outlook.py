"""What fifty charges do to groups that are not alike, without balancing and with it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.batch_spread import batch_spread
from packdesign.data.cells import Cell
from packdesign.engineering.charging.drift import (
    DriftCase,
    DriftHistory,
    OpenCircuitCurve,
    simulate_drift,
)
from packdesign.engineering.charging.mismatch import (
    BalanceEnd,
    BalanceOutcome,
    balance_at,
    false_gap,
)
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.basis import TWO_SIDED_90
from packdesign.planning.charge_plan.balance_plan import spread_per_month
from packdesign.planning.charge_plan.plan import ChargePlan

__all__ = ["DRIFT_CHARGES", "BalanceOutlook", "balance_outlook"]

DRIFT_CHARGES: Final = 50
"""Charges that are followed."""
_HOURS_PER_MONTH: Final = 30.0 * 24.0
_TOP_STEP_SOC: Final = 0.02
_HALF: Final = 0.5
_ROOM_DEGC: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceOutlook:
    """How groups that are unlike behave in the long run."""

    charges: int
    days_between: float
    """Time from one charge to the next. [day]"""
    alone: DriftHistory
    """A charger that sees only the whole pack."""
    balanced: DriftHistory | None
    """With the bleed of the plan; None: nothing balances."""
    full_v: float
    """Voltage per cell that no group should pass. [V]"""
    group_ah: tuple[float, ...]
    """Capacities of the groups that were taken. [A h]"""
    capacities_are_measured: bool
    top: BalanceOutcome
    bottom: BalanceOutcome
    feigned_ah: float
    """Gap that unequal resistance feigns under the full charge current. [A h]"""
    feigned_at_end_ah: float
    """The same at the end current. [A h]"""


def balance_outlook(
    cell: Cell,
    pack: PackModel,
    plan: ChargePlan,
    *,
    charges_per_week: float,
    group_ah: tuple[float, ...] = (),
    group_cut_v: float | None = None,
) -> BalanceOutlook | None:
    """Follow the groups of a pack through fifty charges.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The pack.
    plan : ChargePlan
        Its charge.
    charges_per_week : float
        How often it is charged. [1/week]
    group_ah : tuple of float
        Measured capacities of the groups, from the pack's minus on; empty: one group is small by
        the spread of a batch. [A h]
    group_cut_v : float or None
        Voltage of any one group at which a board ends the charge. [V]

    Returns
    -------
    BalanceOutlook or None
        None for a single group.

    Notes
    -----
    The group that is behind also leaks more than the others, by the share that the balance plan
    counts on each month; it is the usual way in which packs drift. Each use takes the pack down to
    its first empty group.
    """
    if pack.series == 1:
        return None
    capacities = group_ah or _batch_capacities(pack)
    case = _case(cell, pack, plan, capacities=capacities, charges_per_week=charges_per_week)
    case = replace(case, group_cut_v=group_cut_v)
    curve = OpenCircuitCurve(soc=SOC_GRID, voltage_v=pack.cell.ocv_v + pack.cell.ocv_shift_v)
    bleed = plan.settings.bleed
    feigned = [
        false_gap(
            current_a=current_a,
            resistance_spread_ohm=_resistance_spread_ohm(pack),
            slope_v_per_ah=_top_slope_v_per_ah(pack),
        )
        for current_a in (plan.settings.charge_a, plan.settings.end_a)
    ]
    return BalanceOutlook(
        charges=DRIFT_CHARGES,
        days_between=case.cycle_h / 24.0,
        alone=simulate_drift(case, curve=curve, cycles=DRIFT_CHARGES),
        balanced=None
        if bleed is None
        else simulate_drift(
            case,
            curve=curve,
            cycles=DRIFT_CHARGES,
            bleed=bleed,
            bleed_hours_per_cycle=_active_h(pack, plan),
        ),
        full_v=plan.settings.end_v_per_cell,
        group_ah=capacities,
        capacities_are_measured=bool(group_ah),
        top=balance_at(capacities, end=BalanceEnd.TOP),
        bottom=balance_at(capacities, end=BalanceEnd.BOTTOM),
        feigned_ah=feigned[0],
        feigned_at_end_ah=feigned[1],
    )


def _case(
    cell: Cell,
    pack: PackModel,
    plan: ChargePlan,
    *,
    capacities: tuple[float, ...],
    charges_per_week: float,
) -> DriftCase:
    behind = plan.balance.behind_ah
    leaker = behind.index(max(behind))
    leak_a = spread_per_month(cell) * pack.capacity_ah / _HOURS_PER_MONTH
    return DriftCase(
        capacity_ah=capacities,
        behind_ah=behind,
        leak_a=tuple(leak_a if index == leaker else 0.0 for index in range(pack.series)),
        cycle_h=7 * 24.0 / charges_per_week,
        used_ah=max(capacities),
        full_v=plan.settings.end_v_per_cell,
    )


def _batch_capacities(pack: PackModel) -> tuple[float, ...]:
    """Groups alike but the first, which is small by the spread of new cells of one batch."""
    share = batch_spread("single").group_behind_fraction(parallel=pack.parallel)
    whole = pack.capacity_ah
    return (whole * (1.0 - share), *([whole] * (pack.series - 1)))


def _resistance_spread_ohm(pack: PackModel) -> float:
    """Highest less lowest resistance of groups, by the spread of new cells of one batch."""
    share = 2 * TWO_SIDED_90 * batch_spread("single").resistance_sd_fraction
    cell_ohm = pack.cell.pulse_ohm(
        pulse_s=10.0, soc=_HALF, temperature_degc=_ROOM_DEGC, current_a=pack.cell.capacity_ah
    )
    return share * cell_ohm / pack.parallel / math.sqrt(pack.parallel)


def _top_slope_v_per_ah(pack: PackModel) -> float:
    low = pack.cell.ocv_at(1.0 - _TOP_STEP_SOC)
    return max(1e-6, (pack.cell.ocv_at(1.0) - low) / (_TOP_STEP_SOC * pack.capacity_ah))


def _active_h(pack: PackModel, plan: ChargePlan) -> float:
    """Hours of each charge in which bleeds are active."""
    bleed, charge = plan.settings.bleed, plan.charge
    if bleed is None or charge is None:
        return 0.0
    if bleed.start_v is None:
        return charge.run.total_time_s / 3600.0
    return charge.run.time_above_s(terminal_v=bleed.start_v * pack.series) / 3600.0
