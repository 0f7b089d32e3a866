"""What ``packdesign owned --json`` prints."""

from __future__ import annotations

from typing import Any

from packdesign.planning.owned.service import OwnedPack
from packdesign.presentation.export.contract import assessment_object, verdict_objects
from packdesign.presentation.export.plain import band

__all__ = ["owned_object"]


def owned_object(found: OwnedPack) -> dict[str, Any]:
    """Give the assessment of an owned pack, with its label's claims and its reading.

    Parameters
    ----------
    found : OwnedPack
        The pack.
    """
    reading = found.reading
    told = None
    if reading is not None:
        told = {
            "resistance_ohm": band(reading.resistance_ohm),
            "at_rest_v": reading.at_rest_v,
            "pulse_s": reading.pulse_s,
            "temperature_degc": reading.temperature_degc,
        }
    return assessment_object(found.assessment) | {
        "overall": str(found.overall),
        "claims": verdict_objects(found.claims),
        "reading": told,
    }
