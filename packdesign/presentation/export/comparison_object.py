"""A comparison as JSON."""

from __future__ import annotations

from typing import Any

from packdesign.planning.compare.record import Compared, Comparison
from packdesign.presentation.export.contract import SCHEMA, pack_object
from packdesign.presentation.export.plain import number

__all__ = ["comparison_object"]


def comparison_object(found: Comparison) -> dict[str, Any]:
    """Give what ``packdesign compare --json`` prints.

    Parameters
    ----------
    found : Comparison
        The comparison.
    """
    return {
        "schema": SCHEMA,
        "packs": [_compared(each) for each in found.packs],
        "figures": [
            {
                "what": row.what,
                "unit": row.unit,
                "values": [number(value) for value in row.values],
                "changes": [number(change) for change in row.changes],
                "more_is_better": row.more_is_better,
            }
            for row in found.figures
        ],
        "verdicts": [
            {
                "id": row.id,
                "statuses": [None if each is None else str(each) for each in row.statuses],
            }
            for row in found.verdicts
        ],
    }


def _compared(each: Compared) -> dict[str, Any]:
    return {
        "name": each.name,
        "pack": None if each.pack is None else pack_object(each.pack.pack),
        "rank": each.rank,
        "charge_time_s": number(each.charge_time_s),
        "chosen_by_shortlist": each.was_chosen,
        "problem": each.problem,
    }
