"""Hazards while the device runs, and signs on a pack in use."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import Ternary, above, all_of, any_of, below, is_one_of
from packdesign.planning.verdicts.verdict import Status

__all__ = ["USE_HAZARDS"]

_HOT_DISCHARGE_DEGC: Final = 60.0

_stop = partial(Hazard, stage=Stage.USE, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.USE, severity=Status.CAUTION)


def _over_hot_limit(situation: Situation) -> Ternary:
    printed = situation.cell_discharge_max_degc
    limit_degc = _HOT_DISCHARGE_DEGC if printed is None else printed
    return above(situation.cell_temperature_degc, limit_degc)


def _heats_by_itself(situation: Situation) -> Ternary:
    idle = None if situation.pack_current_a is None else situation.pack_current_a == 0
    warms = any_of(above(situation.warming_k_per_min, 0.5), situation.is_warm_at_rest)
    return all_of(idle, warms)


def _sags_alone(situation: Situation) -> Ternary:
    if situation.median_group_sag_v is None:
        return None
    return above(situation.worst_group_sag_v, 1.3 * situation.median_group_sag_v)


USE_HAZARDS: Final = (
    _stop(
        id="cell_over_hot_limit_in_use",
        holds=_over_hot_limit,
        reason="A cell is at {cell_temperature_degc} degC, above its limit in discharge (60 degC "
        "where the sheet gives none).",
        fix="Stop and let it cool.",
        source=sources.SAMSUNG_30Q,
    ),
    _stop(
        id="heating_without_load",
        holds=_heats_by_itself,
        reason="The pack is warm by itself, or warms by over 0.5 K a minute, with no current.",
        fix="Get everybody out and call the fire service.",
        source=f"{sources.SEI}; {sources.FRNSW_BURNING}; the rate from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="run_below_floor_voltage",
        holds=lambda s: all_of(
            below(s.lowest_group_v, s.cell_cutoff_v), above(s.below_floor_s, 2.0)
        ),
        reason="A group has stayed at {lowest_group_v} V, under its floor of {cell_cutoff_v} V.",
        fix="Stop, recharge gently, and raise the stop voltage.",
        source=f"{sources.SAMSUNG_30Q}; {sources.CREUP}; the 2 s from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="group_driven_negative",
        holds=lambda s: below(s.lowest_group_v, 0.0),
        reason="A weak group is at {lowest_group_v} V: the others drive it backwards.",
        fix="Retire the pack.",
        source=sources.UL_COPPER,
    ),
    _stop(
        id="external_short",
        holds=lambda s: above(s.short_duration_s, 0.1),
        reason="The terminals were joined by metal for {short_duration_s} s.",
        fix="Isolate the pack, take it outdoors, watch it for hours, then recycle it.",
        source=f"{sources.SAMSUNG_29E}; {sources.CPSC_LOOSE_CELLS}; the 0.1 s from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="cell_dented_or_pierced",
        holds=lambda s: any_of(above(s.dent_depth_m, 0.0005), s.is_pierced),
        reason="A cell is dented by over 0.5 mm, creased or pierced: it may short inside later.",
        fix="Take it outdoors into dry sand, and recycle it as damaged.",
        source=f"{sources.FRNSW_SAFETY}; {sources.WEST_YORKSHIRE}; {sources.LG_NOTICE}; the depth "
        "from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="salt_water_soaking",
        holds=lambda s: all_of(s.is_immersed, is_one_of(s.water, {"salt"})),
        reason="The pack has been under salt water; such packs caught fire days to weeks later.",
        fix="Neither charge nor open it; put it outdoors, 15 m from buildings.",
        source=sources.USFA_SALT,
    ),
    _stop(
        id="flooded_housing_opened",
        holds=lambda s: all_of(s.housing_flooded, s.housing_being_opened),
        reason="A flooded or suspect sealed housing is being opened; gas can throw its lid.",
        fix="Leave it outdoors; if it must be opened, point it away and wear a face shield.",
        source=f"{sources.IMCA_HOUSING}; {sources.IMCA_25_20}",
    ),
    _caution(
        id="capacity_under_eighty",
        holds=lambda s: below(s.capacity_left_fraction, 0.80),
        reason="The pack keeps {capacity_left_fraction} of its capacity; ageing often speeds up "
        "below 0.80.",
        fix="Plan its replacement and check it every month.",
        source=sources.TWAICE,
    ),
    _stop(
        id="swollen_pouch",
        holds=lambda s: above(s.thickness_over_new_fraction, 1.10),
        reason="The cells are {thickness_over_new_fraction} times as thick as new: there is gas in "
        "them.",
        fix="Stop using it; do not press or pierce it; take it outdoors.",
        source=f"{sources.CALCE}; {sources.FRNSW_SAFETY}; the 1.10 from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="group_sags_alone",
        holds=_sags_alone,
        reason="One group sags by {worst_group_sag_v} V where the others sag by "
        "{median_group_sag_v} V.",
        fix="Find the weak joint or cell before the next use.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
)
"""Hazards in use."""
