"""The rules of carrying a pack, in our own words, each with the day it took effect or was read.

Rules change every year, and the carrier decides. Which of them a pack falls under is in
:mod:`packdesign.planning.hazards.transport`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.planning.hazards import sources

__all__ = ["HOME_BUILT", "HOME_BUILT_SOURCE", "RULES", "DatedRule"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedRule:
    """One rule in our own words."""

    text: str
    since: str
    """Day it took effect or was published, as far as known."""
    source: str


HOME_BUILT: Final = (
    "A pack built at home has no UN 38.3 report, and tested cells do not stand in for one: it may "
    "not fly, be posted or given to a carrier. Your own car, for your own use, is outside these "
    "rules (from memory; ask)."
)
"""What every pack lacks that was not made by a tested maker."""
HOME_BUILT_SOURCE: Final = f"{sources.TESTED_TYPE}; {sources.CAA}; ADR 1.1.3.1 a, from memory"

RULES: Final[tuple[DatedRule, ...]] = (
    DatedRule(
        text="Spare packs up to 100 Wh: cabin only, 20 at most in general; above 100 to 160 Wh: "
        "two at most, cabin only, airline approval; contacts covered, each by itself.",
        since="2026-01-01",
        source="IATA DGR 67th edition, through qazinform.com 2026-03-12",
    ),
    DatedRule(
        text="Power banks: two per person, cabin only, not recharged on board.",
        since="2026-03-27",
        source="ICAO Doc 9284 2025-26 Addendum 1; UK CAA page",
    ),
    DatedRule(
        text="A pack inside a device may go in the hold only if the device is fully off and cannot "
        "be switched on by accident.",
        since="2026-01-01",
        source="IATA DGR 67th edition, through qazinform.com 2026-03-12",
    ),
    DatedRule(
        text="Air cargo, packs beside equipment with cells above 2.7 Wh: 30 % charge or less.",
        since="2026-01-01",
        source="ICAO panel decision, PRBA note November 2023; cxtms.com",
    ),
    DatedRule(
        text="Packs shipped alone: never as cargo on passenger aircraft, 30 % charge or less.",
        since="2023-01-20",
        source="US PHMSA HM-224I",
    ),
    DatedRule(
        text="Damaged or defective packs: forbidden by air; by road only under special provision "
        "376, after the maker or an expert has looked.",
        since="ADR 2025",
        source="ADR special provision 376 (gefahrgutbrumme.de)",
    ),
)
"""What matters to the owner of one pack, passenger rules first."""
