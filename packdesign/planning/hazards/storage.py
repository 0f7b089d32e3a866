"""Hazards of putting a pack away."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.ternary import above, all_of
from packdesign.planning.verdicts.verdict import Status

__all__ = ["STORAGE_HAZARDS"]

_stop = partial(Hazard, stage=Stage.STORAGE, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.STORAGE, severity=Status.CAUTION)

STORAGE_HAZARDS: Final = (
    _caution(
        id="stored_full",
        holds=lambda s: all_of(above(s.storage_soc_fraction, 0.80), above(s.storage_days, 30.0)),
        reason="The pack lies nearly full ({storage_soc_fraction}) for {storage_days} days: it "
        "ages and swells faster.",
        fix="Store it at 40 to 60 %.",
        source=f"{sources.CREUP}; {sources.SAMSUNG_30Q}; {sources.CALCE}; the 80 % from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="stored_hot_for_months",
        holds=lambda s: all_of(above(s.storage_degc, 45.0), above(s.storage_days, 30.0)),
        reason="The pack is kept at {storage_degc} degC for over a month.",
        fix="Keep it cool.",
        source=f"{sources.SAMSUNG_30Q}; {sources.SAMSUNG_ICR20}",
    ),
    _caution(
        id="stored_warm_for_a_year",
        holds=lambda s: all_of(above(s.storage_degc, 25.0), above(s.storage_days, 550.0)),
        reason="The pack is kept at {storage_degc} degC for over 18 months; less than 90 % may "
        "come back.",
        fix="Keep it below 25 degC, and check it.",
        source=sources.SAMSUNG_30Q,
    ),
    _caution(
        id="left_in_parked_car",
        holds=lambda s: all_of(s.in_parked_car, above(s.outdoor_degc, 25.0)),
        reason="The pack lies in a car in the sun: about 47 degC in the cabin and 70 degC on the "
        "dashboard within an hour.",
        fix="Take it with you.",
        source=f"{sources.PARKED_CAR}; {sources.USFA}; the 25 degC from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="stored_damp",
        holds=lambda s: above(s.humidity_percent, 75.0),
        reason="The store is damp ({humidity_percent} %): contacts corrode and charge leaks away.",
        fix="Keep it dry.",
        source=f"{sources.CREUP}; {sources.STORAGE_NOTE}; {sources.BYUN}",
    ),
    _caution(
        id="storage_check_overdue",
        holds=lambda s: above(s.days_since_check, 90.0),
        reason="Nobody has measured the pack for {days_since_check} days; it may drift to empty.",
        fix="Measure it and top it up (makers say every 90 days, some six months).",
        source=f"{sources.CREUP}; {sources.STORAGE_NOTE}",
    ),
    _caution(
        id="spares_piled_together",
        holds=lambda s: above(s.packs_touching, 1),
        reason="{packs_touching} loose packs touch each other: one that fails lights the rest.",
        fix="Keep each in its own bag or case with covered terminals.",
        source=f"{sources.NFPA}; {sources.FENZ}",
    ),
    _caution(
        id="within_reach_of_children",
        holds=lambda s: s.child_accessible,
        reason="Children or pets can get at the cells.",
        fix="Lock them away.",
        source=f"{sources.DHEC}; {sources.STORAGE_NOTE}; {sources.LG_NOTICE}",
    ),
    _stop(
        id="damaged_pack_kept_indoors",
        holds=lambda s: all_of(s.is_damaged, s.kept_indoors),
        reason="A damaged pack is kept in the house; it may catch fire later.",
        fix="Put it outdoors in dry sand or cat litter, away from buildings, and have it fetched.",
        source=f"{sources.CALL2RECYCLE}; {sources.FRNSW_SAFETY}; {sources.DHEC}",
    ),
)
"""Hazards of storage."""
