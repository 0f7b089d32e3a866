"""What is written on the pack, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Family

__all__ = ["LabelFacts", "label_gaps", "label_lines", "label_warning"]

_FAMILY_WORDS: Final[dict[Family, str]] = {
    Family.NCA: "Li-ion (NCA)",
    Family.NMC: "Li-ion (NMC)",
    Family.LCO: "Li-ion (LCO)",
    Family.LMO: "Li-ion (LMO)",
    Family.LFP: "Li-ion (LFP)",
    Family.LTO: "Li-ion (LTO)",
    Family.NA_ION: "Na-ion",
}
_BLANK: Final = "__________"
"""To be written in by hand."""
_OF_A_STOP: Final = "STOP: DO NOT CHARGE OR USE"
_WITH_GAPS: Final = "NOT COMPLETE: DO NOT USE YET"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelFacts:
    """What the label tells."""

    cell_name: str
    family: Family
    series: int
    parallel: int
    nominal_v: float
    full_v: float
    """Whole pack when full. [V]"""
    capacity_ah: float
    energy_wh: float
    charge_a: float
    """Largest charge current. [A]"""
    discharge_a: float | None
    """Largest continuous current; None: not known. [A]"""
    charge_low_degc: float
    charge_high_degc: float
    has_fuse: bool | None = None
    """None: nobody has said."""
    fuse_a: float | None = None
    """Rating of the fuse, or what a resettable one holds; None: not known. [A]"""
    built_by: str = ""


def label_gaps(facts: LabelFacts) -> tuple[str, ...]:
    """Name what must be known before the label may be used.

    Parameters
    ----------
    facts : LabelFacts
        What the label tells.

    Returns
    -------
    tuple of str
        Empty: nothing is missing but what is written by hand.
    """
    if facts.has_fuse is False:
        return ("there is no fuse",)
    if facts.has_fuse is None:
        return ("the fuse is not known",)
    return () if facts.fuse_a is not None else ("the rating of the fuse is not known",)


def label_warning(gaps: Sequence[str], *, is_stop: bool) -> str:
    """Write what must stand above the lines of a label, in large letters; empty: nothing.

    Parameters
    ----------
    gaps : sequence of str
        What must be known before the label may be used.
    is_stop : bool
        Whether anything that is known of the design says stop.

    Examples
    --------
    >>> label_warning([], is_stop=True), label_warning(["the fuse is not known"], is_stop=False)
    ('STOP: DO NOT CHARGE OR USE', 'NOT COMPLETE: DO NOT USE YET')
    """
    if is_stop:
        return _OF_A_STOP
    return _WITH_GAPS if gaps else ""


def label_lines(facts: LabelFacts) -> tuple[str, ...]:
    """Write the lines of a label.

    Parameters
    ----------
    facts : LabelFacts
        What the label tells.

    Notes
    -----
    Watt-hours in plain sight, as airlines ask (GMA News on the ICAO rule, March 2026). Separate
    collection is marked on all batteries in the EU since 2025-08-18 (EU 2023/1542): draw the
    crossed bin beside the text. The day of the build is written in by hand: nobody knows it when
    the label is printed.
    """
    current = f"discharge up to {facts.discharge_a:g} A, " if facts.discharge_a is not None else ""
    fuse = "none" if facts.has_fuse is False else f"{_BLANK} A"
    if facts.has_fuse and facts.fuse_a is not None:
        fuse = f"{facts.fuse_a:g} A"
    return (
        f"{facts.series}S{facts.parallel}P {_FAMILY_WORDS[facts.family]}, {facts.cell_name}",
        f"{facts.nominal_v:.1f} V  {facts.capacity_ah:.2f} Ah  {facts.energy_wh:.1f} Wh",
        f"Full {facts.full_v:.2f} V, charge up to {facts.charge_a:g} A, fuse {fuse}",
        f"{current}charge only from {facts.charge_low_degc:g} to {facts.charge_high_degc:g} degC",
        "Home-built, no UN 38.3 test. Do not short, open, heat, wet or drop.",
        "Do not bin: tape the contacts and hand in for recycling.",
        f"Built on {_BLANK} by {facts.built_by or _BLANK}",
    )
