"""What ``packdesign group --json`` prints."""

from __future__ import annotations

from typing import Any

from packdesign.planning.assess.lot import MeasuredLot
from packdesign.planning.charge_plan.intake_plan import IntakePlan
from packdesign.planning.verdicts.verdict import overall_status
from packdesign.presentation.export.contract import SCHEMA, verdict_objects
from packdesign.presentation.export.plain import number

__all__ = ["group_object"]


def group_object(found: MeasuredLot) -> dict[str, Any]:
    """Give a sorted lot of measured cells.

    Parameters
    ----------
    found : MeasuredLot
        The lot.
    """
    return {
        "schema": SCHEMA,
        "overall": str(overall_status(found.verdicts)),
        "cell": found.cell.name,
        "series": found.series,
        "parallel": found.parallel,
        "accepted": [reading.label for reading in found.intake.accepted],
        "rejected": [
            {"cell": each.label, "reasons": list(each.reasons)} for each in found.intake.rejected
        ],
        "not_judged": list(found.intake.not_judged),
        **_plan(found.plan),
        "verdicts": verdict_objects(found.verdicts),
    }


def _plan(plan: IntakePlan | None) -> dict[str, Any]:
    if plan is None:
        return {"groups": [], "spare": [], "joints": [], "voltage_match_v": None}
    grouping = plan.grouping
    return {
        "groups": [
            {"cells": list(labels), "capacity_ah": number(capacity_ah)}
            for labels, capacity_ah in zip(grouping.groups, grouping.group_ah, strict=True)
        ],
        "spare": list(grouping.spare),
        "joints": [
            {
                "cell": joint.label,
                "group": joint.group,
                "gap_v": number(joint.gap_v),
                "peak_a": number(joint.levelling.peak_a),
                "moved_ah": number(joint.levelling.moved_ah),
                "heat_j": number(joint.levelling.heat_j),
                "is_level": joint.is_level,
                "resistor_ohm": number(joint.resistor_ohm),
                "resistor_w": number(joint.resistor_w),
                "resistor_time_s": number(joint.resistor_time_s),
            }
            for joint in plan.joints
        ],
        "voltage_match_v": number(plan.voltage_match_v),
    }
