"""What ``packdesign keep --json`` prints."""

from __future__ import annotations

from itertools import zip_longest
from typing import Any

from packdesign.planning.assess.keeping import KeptPack
from packdesign.planning.assess.pack_figures import pack_figures
from packdesign.planning.upkeep.aged_burst import AgedBurst
from packdesign.planning.upkeep.label import label_warning
from packdesign.planning.upkeep.life import LifeYear
from packdesign.planning.verdicts.verdict import Status, overall_status
from packdesign.presentation.export.contract import SCHEMA, pack_object, verdict_objects
from packdesign.presentation.export.plain import band, number

__all__ = ["keep_object"]


def keep_object(found: KeptPack) -> dict[str, Any]:
    """Give the time after the build.

    Parameters
    ----------
    found : KeptPack
        The pack.
    """
    plan = found.plan
    storage, carrying = plan.storage, plan.carrying
    return {
        "schema": SCHEMA,
        "pack": pack_object(pack_figures(found.design)),
        "years": [_year(year, burst) for year, burst in zip_longest(plan.life, plan.bursts)],
        "storage": {
            "soc": number(storage.target_soc),
            "voltage_v": number(found.storage_v),
            "next_check": storage.next_check.isoformat(),
            "days": number(storage.days_to_top_up),
            "set_by": storage.set_by,
            "loss_per_month": number(storage.leak.fraction_per_month),
            "notes": list(storage.notes),
            "drain_mah_per_day": number(storage.drain_mah_per_day),
        },
        "carrying": {
            "energy_wh": number(carrying.energy_wh),
            "cargo": carrying.cargo.value,
            "passenger": carrying.passenger.value,
            "may_travel_by_air_or_post": carrying.may_travel_by_air_or_post,
            "free_ah": number(found.free_ah),
            "notes": list(carrying.notes),
            "rules": [
                {"text": rule.text, "since": rule.since, "source": rule.source}
                for rule in plan.rules
            ],
        },
        "label": list(plan.label),
        "retire_signs": list(plan.retire),
        "retire_now": list(found.retire_now),
        "advice": [
            {"occasion": each.occasion.value, "text": each.text, "source": each.source}
            for each in plan.advice
        ],
        "overall": str(overall_status(found.verdicts)),
        "verdicts": verdict_objects(found.verdicts),
        "cautions": list(found.cautions),
        "label_warning": label_warning(
            plan.label_gaps, is_stop=overall_status(found.verdicts) is Status.STOP
        ),
    }


def _year(year: LifeYear, burst: AgedBurst | None) -> dict[str, Any]:
    left, ratio = year.estimate.capacity_fraction, year.estimate.resistance_ratio
    return {
        "years": number(year.years),
        "charges": number(year.cycles),
        "capacity_fraction": None if left is None else band(left),
        "resistance_ratio": None if ratio is None else band(ratio),
        "ends_by": year.ends_by,
        "resets_below_degc": None if burst is None else number(burst.aged_degc),
        "resets_anywhere": None if burst is None else burst.fails_everywhere,
        "basis": str(year.estimate.basis),
        "charge_depth_fraction": number(year.depth_fraction),
    }
