"""The end of a pack: when to retire it, how to make it safe, where it goes, what to do in a fire.

Published advice in our own words, each with its source and date. Local rules and the fire service
go before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

__all__ = [
    "ADVICE",
    "READ_ON",
    "RETIRE_SIGNS",
    "Advice",
    "Occasion",
    "PackHealth",
    "advice_for",
    "reasons_to_retire",
]

READ_ON: Final = "2026-11-25"
"""Day on which every page behind this module was read, from stored copies."""


class Occasion(StrEnum):
    """What the advice is for."""

    MAKE_SAFE = "making a retired pack safe"
    HAND_IN = "handing it in"
    DAMAGED = "a damaged but quiet pack"
    FIRE = "smoke or flame"
    OVERHEATING = "a small pack getting hot, no flame"
    AFTER_FIRE = "after a fire"
    FIRST_AID = "someone is hurt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One piece of advice."""

    occasion: Occasion
    text: str
    source: str
    """Who says so, and when; "undated" where the page shows no date."""


_FRNSW: Final = "Fire and Rescue NSW, page 9394, undated"
_PLACE: Final = "Fire and Rescue NSW, page 9426, undated"


def _advice(occasion: Occasion, *rows: tuple[str, str]) -> tuple[Advice, ...]:
    return tuple(Advice(occasion=occasion, text=text, source=source) for text, source in rows)


ADVICE: Final[tuple[Advice, ...]] = (
    *_advice(
        Occasion.MAKE_SAFE,
        ("Run it down in the device to its cut-off, never below; do not short it.",
         "common practice, no source"),
        ("Cover every contact with tape, or put each pack in a bag of its own.",
         "US EPA, 2021-03-25"),
        ("No salt water: it corrodes and can start a fire days later.",
         "Fire and Rescue NSW incident of 2023-07-11; US Fire Administration, 2022-10-20"),
        ("Do not pile up old packs.", "NFPA tip sheet, copy, undated"),
    ),
    *_advice(
        Occasion.HAND_IN,
        ("Never in the bin or kerbside recycling: a recycling or hazardous-waste point.",
         "US EPA, 2021-03-25; " + _PLACE),
        ("If the pack does not come out of the device, hand in both together.",
         "West Yorkshire Fire, undated"),
    ),
    *_advice(
        Occasion.DAMAGED,
        ("Put it outside in sand or cat litter, away from what burns; call the scheme, do not "
         "post it.", "Call2Recycle, undated; South Carolina DHEC, 2023"),
        ("Do not charge or use it, and do not give it a second life if it was charged cold.",
         _PLACE + "; Gerosa 2025 (cold-plated cells heat themselves earlier)"),
    ),
    *_advice(
        Occasion.FIRE,
        ("Get everybody out, close doors, do not go back, call the fire service. The smoke is "
         "toxic and can burn.", _FRNSW),
        ("Do not fight it: household extinguishers do not stop it.",
         "Scottsdale Fire, 2024-06-30; US Fire Administration"),
    ),
    *_advice(
        Occasion.OVERHEATING,
        ("Only if it is safe: unplug it, do not breathe the fumes, bring it outside away from "
         "windows. A small pack can go into a bucket of clean water.", _FRNSW),
        ("Never salt water.", "Fire and Rescue NSW incident of 2023-07-11"),
    ),
    *_advice(
        Occasion.AFTER_FIRE,
        ("It can light again after minutes or days: leave it outside, tell the fire service.",
         "NFCC, 2025-11-21; Border Mail, 2024-02-23"),
    ),
    *_advice(
        Occasion.FIRST_AID,
        ("Burn: cool running water for 20 minutes; larger than a small coin, emergency care.",
         _FRNSW),
        ("Electrolyte on skin or in an eye: rinse at least 15 minutes, then a doctor; say that it "
         "was a lithium battery.", "makers' safety sheets (LiveWire, Blackfire), undated"),
        ("Fumes breathed: fresh air and a doctor, even if it seems well at first.",
         "makers' safety sheets (LiveWire), undated"),
    ),
)  # fmt: skip


def advice_for(occasion: Occasion) -> tuple[Advice, ...]:
    """Give the advice for an occasion, most urgent first.

    Parameters
    ----------
    occasion : Occasion
        What it is for.

    Examples
    --------
    >>> len(advice_for(Occasion.FIRE)) >= 1
    True
    """
    return tuple(each for each in ADVICE if each.occasion is occasion)


RETIRE_SIGNS: Final[tuple[str, ...]] = (
    "Capacity below 80 % of new, or resistance twice that of new.",
    "A group that falls behind again after balancing.",
    "Swollen, dented, leaking, smelling, or warm without load: at once.",
    "Any cell that was below its floor, or a pack that was charged colder than its label allows.",
    "A pack that was under water, or whose history nobody knows.",
)
"""What to watch for, in plain words; the figures behind it are in :func:`reasons_to_retire`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackHealth:
    """What is known of a used pack. None: not known."""

    capacity_fraction: float | None = None
    """Capacity over new. [-]"""
    resistance_ratio: float | None = None
    """Resistance over new. [-]"""
    group_gap_fraction: float | None = None
    """Gap between groups that comes back after balancing, as a share of capacity. [-]"""
    charged_below_freezing: bool | None = None
    swollen_dented_or_leaking: bool | None = None
    below_floor: bool | None = None
    """Whether any cell has been below its floor."""


def reasons_to_retire(health: PackHealth) -> tuple[str, ...]:
    """Give every reason to retire a pack; empty when none was found among what is known.

    Parameters
    ----------
    health : PackHealth
        What is known of it.

    Notes
    -----
    80 % of capacity or 200 % of resistance: TWAICE encyclopedia, undated. EVE stops at 70 %. Below
    80 % fade often turns steep, some kinds without a sign (Attia 2022).

    Examples
    --------
    >>> reasons_to_retire(PackHealth(capacity_fraction=0.9))
    ()
    """
    reasons: list[str] = []
    if health.capacity_fraction is not None and health.capacity_fraction < 0.80:
        reasons.append(
            f"capacity at {health.capacity_fraction * 100:.0f} %: below 80 % fade often turns steep"
        )
    if health.resistance_ratio is not None and health.resistance_ratio >= 2.0:
        reasons.append(f"resistance at {health.resistance_ratio:.1f} times new: 2 is the usual end")
    if health.group_gap_fraction is not None and health.group_gap_fraction > 0.05:
        # 5 %: common practice, no source
        reasons.append("a group falls behind again after balancing: a cell leaks or has lost much")
    if health.charged_below_freezing:
        reasons.append("it was charged below freezing: plated lithium stays")
    if health.swollen_dented_or_leaking:
        reasons.append("swollen, dented or leaking")
    if health.below_floor:
        reasons.append("a cell was below its floor")
    return tuple(reasons)
