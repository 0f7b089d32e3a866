"""What it costs that the cells of a pack are not alike: the weakest group ends every run."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.charging.intake import CellReading
from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.batch import stack
from packdesign.engineering.discharge.cycles import has_many_cycles
from packdesign.engineering.discharge.run import Conditions, EndReason
from packdesign.engineering.discharge.unlike_cells import UnlikeCells
from packdesign.engineering.discharge.unlike_run import run_unlike
from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.electrical.spread import BatchSpread, draw_cells
from packdesign.foundation.basis import Band
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.hardest_cell import spread_of
from packdesign.planning.assess.pack_network import network_of
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.lot_plan import lot_plan
from packdesign.planning.needs.charger import charger_facts, group_facts

__all__ = ["WeakestGroup", "weakest_group"]

_DRAWN_PACKS: Final = 20
_SEED: Final = 7
_MOST_CELLS: Final = 400
"""Cells that are followed at once; of large packs fewer are drawn."""
_FEWEST_PACKS: Final = 5
_SLOW_CRATE: Final = 0.1
"""Slower than this no resistance tells, only charge: the pack is followed at this rate. [1/h]"""
_MOST_PIECES: Final = 200
"""Pieces of a log that is followed as it is; of a longer one the mean, for the sake of time."""
_LEAST_TOLD: Final = 0.001
"""Less of the run time is told as less than that. [-]"""
_LEAST_SHORT: Final = 1e-6
"""A run that is this little short of its demand has met it. [-]"""
_ONE_BY_ONE: Final = "measured one by one"
_MOST_NODES: Final = 60
"""Nodes of a ladder whose strips are followed. Those of a larger pack, and of drawn ones, are taken
as perfect: that moves the shares of the cells, and the run time by less than 0.1 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakestGroup:
    """How long the pack runs against one whose cells are all alike."""

    share: Band
    """Run time over that of like cells: unlucky, likely and lucky; one figure where the cells were
    measured. [-]"""
    group: int | None
    """Group that ends the run, from 1 at the pack's minus; None where cells and groups are only
    known as a batch, or no group ends it."""
    cells: str
    """What is known of the cells, in words."""
    is_measured: bool
    """Whether the cells themselves were measured."""
    is_behind: bool = False
    """Whether groups were measured that lack charge, and nothing brings them level."""
    ends_by: EndReason
    """What ends the pack; of drawn packs what ends the most."""
    end_v: float
    """Voltage of the pack at that moment; of drawn packs the median. [V]"""

    @property
    def is_of_this_pack(self) -> bool:
        """Whether something was measured on this very pack, so that it ends its likely run too."""
        return self.is_measured or self.is_behind

    @property
    def cuts_the_run(self) -> bool:
        """Whether this very pack ends earlier than one of like cells."""
        return self.is_of_this_pack and self.share.mid < 1.0

    @property
    def end_words(self) -> str:
        """What ends the pack, with the group where it is one."""
        return str(self.ends_by) + ("" if self.group is None else f" (group {self.group})")

    @property
    def words(self) -> str:
        """What it costs, as a sentence."""
        if self.is_measured:
            ends = "the pack" if self.group is None else f"group {self.group}"
            return (
                f"As its cells were measured, {ends} ends the run after "
                f"{100 * self.share.mid:.1f} % of the time that like cells would give, and with as "
                "much of their charge."
            )
        return (
            f"Cells differ ({self.cells}): the weakest group ends a run {_told(self.share.mid)} "
            f"earlier than like cells would, in 1 pack of 20 by {_told(self.share.low)} or more."
        )

    def of_the_pack(self, run_time_s: Band) -> Band:
        """Run time of the pack. [s]

        Parameters
        ----------
        run_time_s : Band
            Of one of like cells. [s]

        Notes
        -----
        What was measured moves all of it; what a batch may do, the low end alone.
        """
        low_s = run_time_s.low * self.share.low
        if not self.is_of_this_pack:
            return replace(run_time_s, low=low_s)
        share = self.share
        return Band(low_s, run_time_s.mid * share.mid, run_time_s.high * share.high)


def _told(share: float) -> str:
    """What is lost of the run time, in words."""
    lost = 1.0 - share
    least = lost < _LEAST_TOLD
    return f"less than {100 * _LEAST_TOLD:g} %" if least else f"{100 * lost:.1f} %"


def weakest_group(
    brief: Brief, design: PackDesign, demand: Demand, conditions: Conditions, *, is_ended: bool
) -> WeakestGroup | None:
    """Find what the differences among the cells take from the run time.

    Parameters
    ----------
    brief : Brief
        Says what is known of the cells: measured one by one, or where they come from.
    design : PackDesign
        The pack.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where the run starts and what ends it.
    is_ended : bool
        Whether a limit ends the run of like cells, not the demand or the clock.

    Returns
    -------
    WeakestGroup or None
        None for a single cell, and where nothing ends the run.

    Notes
    -----
    Every cell is followed, with what it shares of the current. Of a demand of many short cycles, a
    slow one or a long log, the mean is followed, in these packs as in the one of like cells, so
    that their ratio keeps its meaning. Where like cells outlast the demand, only a pack that does
    not is told of. A demand that charges on balance ends nothing.
    """
    if design.series * design.parallel == 1:
        return None
    readings = _measured(brief, design)
    spread = spread_of(brief)
    factors = _of_batch(design, spread) if readings is None else _of_lot(readings)
    capacity, resistance = (_with_alike(each) for each in factors)
    start_soc = np.full(capacity.shape, conditions.start_soc)
    lacking = _lacking(brief, design)
    start_soc[1:] = np.maximum(start_soc[1:] - lacking[:, None], 0.0)
    cells = UnlikeCells(
        pack=design.model,
        network=_followed_network(design, has_strips=readings is not None),
        capacity_factor=capacity,
        resistance_factor=resistance,
        start_soc=start_soc,
    )
    followed, slowed = _followed_demand(design, demand, conditions)
    if slowed <= 0:
        return None
    run = run_unlike(cells, followed, conditions)
    alike_s, unlike_s = float(run.end_s[0]), run.end_s[1:]
    if alike_s <= 0:
        return None
    shares = np.minimum(unlike_s / alike_s, 1.0) if readings is not None else unlike_s / alike_s
    if not is_ended:
        asked_s = conditions.longest_s
        asked_s = asked_s if demand.repeats else min(asked_s, demand.period_s)
        shares = np.minimum(shares * max(alike_s / slowed / asked_s, 1.0), 1.0)
        if np.min(shares) > 1.0 - _LEAST_SHORT:
            return None
    low, mid, high = np.percentile(shares, [5.0, 50.0, 95.0])
    share = Band(float(low), float(mid), float(high))
    is_behind, is_measured = bool(np.any(lacking)), readings is not None
    ends_by, group = Counter(zip(run.reasons[1:], run.group[1:].tolist(), strict=True)).most_common(
        1
    )[0][0]
    is_told = group >= 0 and (is_measured or is_behind)
    return WeakestGroup(
        share=share,
        group=group + 1 if is_told else None,
        cells=_ONE_BY_ONE if is_measured else _known_of(brief, spread, is_behind=is_behind),
        is_measured=is_measured,
        is_behind=is_behind,
        ends_by=ends_by,
        end_v=float(np.median(run.end_v[1:])),
    )


def _known_of(brief: Brief, spread: BatchSpread, *, is_behind: bool) -> str:
    """Say what is known of cells that were not measured, or do not make this pack."""
    were_measured = brief.measured is not None and brief.measured.cells is not None
    known = spread.name
    if were_measured:
        known = f"taken as {known}, for those measured make no such pack"
    return f"{known}, groups as far behind as measured" if is_behind else known


def _with_alike(factors: FloatArray) -> FloatArray:
    """Put a pack of like cells before the others."""
    return np.concatenate([np.ones((1, *factors.shape[1:])), factors])


def _lacking(brief: Brief, design: PackDesign) -> FloatArray:
    """Charge that each group lacks after a charge that does not balance. Shape (series,). [-]"""
    behind_ah = np.array(group_facts(brief).behind_ah)
    if behind_ah.size == 0 or charger_facts(brief).balances is not False:
        return np.zeros(design.series)
    return np.asarray((behind_ah - np.min(behind_ah)) / design.model.capacity_ah)


def _of_batch(design: PackDesign, spread: BatchSpread) -> tuple[FloatArray, FloatArray]:
    """Factors on capacity and resistance of drawn packs."""
    count = design.series * design.parallel
    packs = int(np.clip(_MOST_CELLS // count, _FEWEST_PACKS, _DRAWN_PACKS))
    return draw_cells(spread, shape=(packs, design.series, design.parallel), seed=_SEED)


def _measured(brief: Brief, design: PackDesign) -> list[list[CellReading]] | None:
    """Readings of the cells group by group; None where they do not make this pack."""
    plan = lot_plan(brief.measured, design.cell, series=design.series, parallel=design.parallel)
    if plan is None:
        return None
    by_label = {reading.label: reading for reading in plan.intake.accepted}
    return [[by_label[label] for label in group] for group in plan.grouping.groups]


def _of_lot(groups: list[list[CellReading]]) -> tuple[FloatArray, FloatArray]:
    """Factors on capacity and resistance of one pack of measured cells.

    Both count only among each other: the mean of the capacities is in the model, or a later one
    that the brief states; of the resistances every meter reads another part.
    """
    capacity, ohm = (
        np.array([[getattr(each, name) or np.nan for each in group] for group in groups])
        for name in ("capacity_ah", "resistance_ohm")
    )
    relative = [
        figures / np.mean(figures) if np.all(np.isfinite(figures)) else np.ones(figures.shape)
        for figures in (capacity, ohm)
    ]
    return relative[0][None], relative[1][None]


def _followed_network(design: PackDesign, *, has_strips: bool) -> PackNetwork:
    """Give the ladder; strips of drawn packs, and of a large one, as perfect."""
    network = network_of(design)
    nodes = (design.series + 1) * design.parallel
    return network if has_strips and nodes <= _MOST_NODES else replace(network, strip_ohm=0.0)


def _followed_demand(
    design: PackDesign, demand: Demand, conditions: Conditions
) -> tuple[Demand, float]:
    """Give what is followed, and the mean current of the demand over its own.

    That is the demand; of one with many cycles or pieces the mean, of a slow one a quicker mean.
    """
    model = design.model
    mean = demand.averaged(lasting_s=conditions.longest_s)
    mean_a = mean.mean_current_a(voltage_v=design.cell.nominal_v * design.series)
    slow_a = _SLOW_CRATE * model.capacity_ah
    if mean_a < slow_a:
        quicker = replace(mean, current_a=np.array([slow_a]), power_w=np.zeros(1))
        return quicker, mean_a / slow_a
    if not demand.repeats:
        return (mean if len(demand.duration_s) > _MOST_PIECES else demand), 1.0
    batch = stack([model], ambient_degc=np.array([conditions.ambient_degc]))
    soc = np.array([conditions.start_soc])
    has_many = has_many_cycles(batch, demand, soc=soc, longest_s=conditions.longest_s)
    return (mean if has_many else demand), 1.0
