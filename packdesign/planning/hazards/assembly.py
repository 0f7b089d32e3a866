"""Hazards at the bench: joining, insulating and waking a new pack."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import Ternary, above, all_of, below, is_one_of, negated
from packdesign.planning.verdicts.verdict import Status

__all__ = ["ASSEMBLY_HAZARDS", "LARGEST_JOIN_GAP_V"]

LARGEST_JOIN_GAP_V: Final = 0.05
"""Largest difference at which cells may be joined in parallel; from memory. [V]"""

_stop = partial(Hazard, stage=Stage.ASSEMBLY, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.ASSEMBLY, severity=Status.CAUTION)


def _taps_out_of_order(situation: Situation) -> Ternary:
    taps = situation.tap_voltages_v
    low, high = situation.cell_cutoff_v, situation.cell_full_v
    if taps is None or low is None or high is None:
        return None
    return any(not low <= upper - lower <= high for lower, upper in pairwise(taps))


def _first_charge_alone(situation: Situation) -> Ternary:
    first = None if situation.charge_count is None else situation.charge_count == 0
    return all_of(first, negated(situation.is_attended))


ASSEMBLY_HAZARDS: Final = (
    _stop(
        id="solder_on_cell_can",
        holds=lambda s: all_of(
            is_one_of(s.joint_type, {"solder"}), is_one_of(s.joint_place, {"cell_can"})
        ),
        reason="Soldering straight onto a cell drives heat into its seal and separator.",
        fix="Spot-weld tabs to the cell, and solder only to the tabs, away from it.",
        source=sources.LG_NOTICE,
    ),
    _stop(
        id="positive_rim_uninsulated",
        holds=lambda s: all_of(s.strip_crosses_positive_rim, negated(s.has_insulating_ring)),
        reason="Metal crosses the rim at the positive end, and the rim is the negative can: a "
        "short that no board can stop.",
        fix="Put an insulating ring on every positive end, and use holders without a metal tongue.",
        source=sources.HOLDERS,
    ),
    _stop(
        id="flashed_cells_reused",
        holds=lambda s: s.cell_was_shorted,
        reason="A cell was short-circuited while building; harm inside may show weeks later.",
        fix="Recycle the cells that were shorted.",
        source=f"{sources.FLASHED}; judged from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="unequal_voltage_paralleled",
        holds=lambda s: above(s.parallel_join_gap_v, LARGEST_JOIN_GAP_V),
        reason="Cells {parallel_join_gap_v} V apart are about to be joined in parallel.",
        fix="Bring them level with a charger or through a resistor first.",
        source=f"{sources.MATCHING}; the 0.05 V line from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="cell_fitted_backwards",
        holds=lambda s: below(s.lowest_group_v, 0.0),
        reason="A group reads {lowest_group_v} V: it is in backwards.",
        fix="Take it apart; measure each group before every joint.",
        source=f"{sources.LG_NOTICE}; judged from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="tap_wires_out_of_order",
        holds=_taps_out_of_order,
        reason="The balance wires do not rise by one cell from pin to pin.",
        fix="Find the swapped wire with a meter before the plug goes in.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="insulation_missing_between_strips",
        holds=lambda s: all_of(s.strips_overlap, below(s.insulation_layers, 1)),
        reason="Strips at different voltage cross with only film between them; it rubs through.",
        fix="Lay fish paper or polyimide sheet between them.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="group_gap_after_build",
        holds=lambda s: above(s.group_gap_at_rest_v, LARGEST_JOIN_GAP_V),
        reason="Groups are {group_gap_at_rest_v} V apart after their first rest.",
        fix="Find the wrong cell or the bad joint before charging.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="first_charge_left_alone",
        holds=_first_charge_alone,
        reason="Nobody watches the first charge, which is when building errors show.",
        fix="Stay with it, outdoors on a hard surface, with a timer, and feel for heat.",
        source=f"{sources.MEMORY}; {sources.CPSC_CHARGING}",
        basis=Basis.ASSUMED,
    ),
)
"""Hazards of assembly."""
