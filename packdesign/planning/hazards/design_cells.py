"""Hazards fixed at the drawing board: the choice of cells and the room they are given."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import (
    Ternary,
    above,
    all_of,
    any_of,
    below,
    is_one_of,
    negated,
)
from packdesign.planning.verdicts.fit import POUCH_ROOM_FRACTION
from packdesign.planning.verdicts.verdict import Status

__all__ = ["DESIGN_CELL_HAZARDS", "LARGEST_WH_PER_LITRE"]

LARGEST_WH_PER_LITRE: Final = 1000.0
"""Own choice: the 4.0 Ah published as the end of the possible for an 18650 is about 870 W h/l at
3.6 V in 16.5 ml; 15 % more is left for newer cells."""

_LARGEST_18650_AH: Final = 4.0
_LARGEST_OCV_SPREAD_V: Final = 0.010
_LARGEST_RESISTANCE_SPREAD_OHM: Final = 0.005
_LARGEST_CAPACITY_SPREAD_AH: Final = 0.020

_stop = partial(Hazard, stage=Stage.DESIGN, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.DESIGN, severity=Status.CAUTION)


def _families_differ(situation: Situation) -> Ternary:
    families = situation.cell_families
    return None if families is None else len(set(families)) > 1


def _load_needs_cut(situation: Situation) -> Ternary:
    """Whether the steady current is above what needs no cut; no where it is far below it."""
    load_a = situation.cell_load_continuous_a
    if above(load_a, situation.cell_easy_without_cut_a) is False:
        return False
    return above(load_a, situation.cell_uncut_continuous_a)


def _capacity_beyond_physics(situation: Situation) -> Ternary:
    too_dense = above(situation.claimed_wh_per_litre, LARGEST_WH_PER_LITRE)
    too_much_for_an_18650 = above(situation.claimed_capacity_ah, _LARGEST_18650_AH)
    is_18650 = is_one_of(situation.cell_size_code, {"18650"})
    if is_18650 and too_dense is None:
        return too_much_for_an_18650  # the size is known by its name
    return any_of(all_of(is_18650, too_much_for_an_18650), too_dense)


DESIGN_CELL_HAZARDS: Final = (
    _stop(
        id="mixed_chemistry_pack",
        holds=_families_differ,
        reason="The pack joins cells of different chemistry, so no charge voltage suits them all.",
        fix="Build from one model and one batch.",
        source=f"{sources.MEMORY}; {sources.LG_NOTICE}",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="mixed_cell_models",
        holds=lambda s: all_of(negated(s.cells_same_model), negated(s.cells_measured_alike)),
        reason="The pack mixes cells of different make, model or age.",
        fix="Use one model from one batch, or show by measurement that all cells are alike.",
        source=f"{sources.LG_NOTICE}; {sources.MATCHING}",
        ask="Say whether all cells are of one model and batch.",
        unknown="Nobody has said whether all cells are of one model and one batch.",
    ),
    _caution(
        id="cell_spread_too_wide",
        holds=lambda s: any_of(
            above(s.ocv_spread_v, _LARGEST_OCV_SPREAD_V),
            above(s.resistance_spread_ohm, _LARGEST_RESISTANCE_SPREAD_OHM),
            above(s.capacity_spread_ah, _LARGEST_CAPACITY_SPREAD_AH),
        ),
        reason="The cells differ by more than 10 mV, 5 milliohm or 20 mAh before they are joined.",
        fix="Measure and sort the cells, and leave out those that stand apart.",
        source=sources.MATCHING,
    ),
    _stop(
        id="salvaged_cells_in_pack",
        holds=lambda s: is_one_of(s.cell_origin, {"used_pack", "scrap", "unknown"}),
        reason="The cells come from old packs or from nobody knows where (origin: {cell_origin}).",
        fix="Buy new cells from a seller who can trace them to the maker.",
        source=f"{sources.CPSC_CHARGING}; {sources.NY_495A}; {sources.LFB_2023}",
        ask="Say where the cells come from: new and traceable, or out of a used pack.",
        unknown="Nobody has said where the cells come from.",
    ),
    _stop(
        id="loose_rewrapped_cell",
        holds=lambda s: any_of(
            is_one_of(s.cell_origin, {"rewrapped"}), negated(s.cell_maker_known)
        ),
        reason="The cells are re-sleeved, or nobody can say who made them.",
        fix="Buy cells of a known maker and part number, and protect the finished pack.",
        source=f"{sources.CPSC_LOOSE_CELLS}; {sources.LUMAFIELD}",
    ),
    _stop(
        id="impossible_capacity_claim",
        holds=_capacity_beyond_physics,
        reason="The claimed capacity ({claimed_capacity_ah} Ah) is more than any real cell of this "
        "size holds; such cells tested near 1 Ah.",
        fix="Do not use these cells: what is inside is not known.",
        source=sources.FAKE_18650,
        ask="Find the capacity and the size of the cell on its datasheet.",
        unknown="The capacity or the size of the cell is missing, so its claim cannot be held "
        "against what real cells hold.",
    ),
    _stop(
        id="cell_rating_needs_temperature_cut",
        holds=lambda s: all_of(
            s.cell_rating_needs_temperature_cut,
            negated(s.has_temperature_cut),
            _load_needs_cut(s),
        ),
        reason="The steady current of {cell_load_continuous_a} A per cell is allowed only while "
        "something cuts off at a cell temperature, and nothing here does; without it the cell is "
        "rated {cell_uncut_continuous_a} A.",
        fix="Fit a temperature cut-off on a cell, add cells in parallel, or draw less.",
        source="the conditions printed on the cell's own datasheet",
        basis=Basis.DATASHEET,
        ask="Find the cell's continuous rating without a temperature cut, or fit such a cut.",
        unknown="It is not known whether a cell may carry this steady current without a "
        "temperature cut.",
    ),
    _caution(
        id="cell_vent_end_covered",
        holds=lambda s: s.vent_end_covered,
        reason="The vent end of a cell is glued, potted or pressed shut.",
        fix="Leave free space over the vent; hold the cell by its side.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="bare_cells_touching",
        holds=lambda s: all_of(
            None if s.cell_gap_m is None else s.cell_gap_m <= 0, negated(s.has_insulating_holder)
        ),
        reason="The cans touch with nothing but their sleeve between them.",
        fix="Put the cells in holders, or a sheet between them, and keep a gap.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="pouch_without_growth_room",
        holds=lambda s: all_of(
            is_one_of(s.cell_form, {"pouch"}),
            below(s.pouch_free_thickness_fraction, POUCH_ROOM_FRACTION),
        ),
        reason="The pouch has {pouch_free_thickness_fraction} of its thickness left to swell into, "
        "less than 0.08.",
        fix="Leave 8 to 10 % of the thickness, filled with soft foam behind a flat plate.",
        source=f"{sources.MEMORY}; {sources.CALCE}",
        basis=Basis.ASSUMED,
        ask="Measure how much room the pouch has to grow thicker.",
        unknown="It is not known whether the cells have room to grow thicker, as pouches do.",
    ),
    _stop(
        id="sealed_rigid_cavity",
        holds=lambda s: all_of(
            s.cavity_is_sealed, s.cavity_is_rigid, negated(s.has_pressure_relief)
        ),
        reason="The cavity is rigid and sealed: the gas of a single venting cell has no way out.",
        fix="Give it a vent or a relief valve that points away from the face and the hand.",
        source=f"{sources.IMCA_HOUSING}; {sources.IMCA_25_20}",
        ask="Say whether the cavity is sealed and whether it can relieve pressure.",
        unknown="It is not known whether the gas of a venting cell could get out of the cavity.",
    ),
    _stop(
        id="relief_valve_fits_backwards",
        holds=lambda s: s.relief_valve_reversible,
        reason="The relief valve can be fitted the wrong way round.",
        fix="Use a valve with different threads at each end, and test it before closing.",
        source=sources.IMCA_25_20,
    ),
)
"""Hazards of cells and their room."""
