"""A danger that a check has computed is not said again by the gate.

The gate runs on bare facts. Where a check of the judged pack holds the same danger against figures
of its own, and says it at least as gravely, the check stands and the hazard is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from packdesign.planning.verdicts.verdict import Verdict, gravity

__all__ = ["SAME_DANGER", "said_once"]

SAME_DANGER: Final[dict[str, tuple[str, ...]]] = {
    "fuse_bigger_than_wire": ("fuse_spares_wire",),
    "fuse_breaking_capacity_too_small": ("fuse_interrupts",),
    "wire_current_over_limit": ("wire_current_",),
    "bms_series_count_wrong": ("board_series",),
    "bms_voltage_for_other_chemistry": ("board_overcharge",),
    "bms_current_rating_below_load": ("board_current",),
    "unequal_voltage_paralleled": ("intake_joints",),
    "group_gap_after_build": ("group_gap",),
    "pouch_without_growth_room": ("swelling_room",),
    "hand_held_surface_too_hot": ("surface_temperature",),
    "charging_below_freezing": ("charge_cold",),
    "charge_when_hot": ("charge_hot", "charge_cells_now"),
    "charge_voltage_above_cell": ("charge_voltage",),
    "charger_current_too_high": ("charge_current",),
}
"""Checks of the same danger, by hazard; an ending of "_" stands for any ending."""

GRAVER_SISTER: Final[dict[str, tuple[str, ...]]] = {
    "recharge_after_deep_discharge": ("cell_stayed_below_two_volts",),
    "cell_rests_below_cutoff": ("recharge_after_deep_discharge", "cell_fitted_backwards"),
    "low_cell_charged_fast": ("recharge_after_deep_discharge", "cell_fitted_backwards"),
    "run_below_floor_voltage": ("recharge_after_deep_discharge", "cell_fitted_backwards"),
    "charging_wet_pack": ("salt_water_soaking",),
    "charging_unwatched": ("first_charge_left_alone",),
    "trigger_can_switch_on_in_bag": ("heat_or_motor_device_in_bag",),
}
"""Hazards that say the same and more, by hazard. The milder ones would even speak against them:
"recharge gently" beside "never charge it again"."""


def said_once(hazards: Sequence[Verdict], judged: Sequence[Verdict]) -> tuple[Verdict, ...]:
    """Leave out each hazard that a check or another hazard says as gravely, with more behind it.

    Parameters
    ----------
    hazards : sequence of Verdict
        Of the gate.
    judged : sequence of Verdict
        Of the checks on the same pack.

    Returns
    -------
    tuple of Verdict
        The hazards that nothing else says, in their order.

    Examples
    --------
    >>> said_once((), ())
    ()
    """
    return tuple(
        hazard
        for hazard in hazards
        if not _is_said(hazard, by=judged, names=SAME_DANGER.get(hazard.id, ()))
        and not _is_said(hazard, by=hazards, names=GRAVER_SISTER.get(hazard.id, ()))
    )


def _is_said(hazard: Verdict, *, by: Sequence[Verdict], names: tuple[str, ...]) -> bool:
    return any(
        gravity(verdict.status) >= gravity(hazard.status)
        for verdict in by
        if any(_is_called(verdict.id, name) for name in names)
    )


def _is_called(verdict_id: str, name: str) -> bool:
    return verdict_id == name or (name.endswith("_") and verdict_id.startswith(name))
