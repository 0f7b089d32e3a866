"""Verdicts on wire, strip, connector and switch: current, rise, voltage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.current import LONGEST_BURST_S
from packdesign.planning.verdicts.judge import Check, Figure, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "PEAK_OVER_RATED",
    "ContactRating",
    "contact_current",
    "contact_peak",
    "contact_voltage",
    "strip_rise",
    "wire_current",
]

PEAK_OVER_RATED: Final = 2.0
"""Nine of ten connectors in the gathered table that give both ratings allow a peak of no more than
this many times the rated current. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactRating:
    """What a connector or a switch carries for good and for a short time."""

    rated_a: float
    peak_a: float | None
    is_timed: bool = True
    """Whether it is known how long the peak may last."""
    basis: Basis = Basis.ASSUMED
    source: str = ""
    """Of what it carries for good."""
    peak_basis: Basis = Basis.ASSUMED
    peak_source: str = ""
    """Of what it carries for a short time."""


def wire_current(
    *,
    wire: str,
    load_a: Figure,
    ampacity_a: float | None,
    where: str = "",
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    note: str = "",
) -> Verdict:
    """Whether a wire carries its steady current.

    Parameters
    ----------
    wire : str
        Which wire ("pack lead", "balance lead").
    load_a : Band or float or None
        Root-mean-square current over the hardest stretch in which it warms up. [A]
    ampacity_a : float or None
        Current that the wire carries in this place without overheating. [A]
    where : str
        Which place that figure is for: "in a bundle".
    basis : Basis
        Basis of the ampacity.
    source : str
        Source of the ampacity.
    note : str
        What is said of the current besides; whole sentences.

    Returns
    -------
    Verdict
        "wire_current_" and the wire, in amperes.
    """
    return at_most(
        Check(
            id=f"wire_current_{slug(wire)}",
            what=f"the steady current of the {wire}",
            value=load_a,
            against=f"its ampacity {where}".rstrip(),
            limit=ampacity_a,
            unit="A",
            fix="Use thicker wire.",
            find_out="Find the size and insulation of the wire.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def strip_rise(
    *,
    strip: str,
    rise_k: Figure,
    limit_k: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    note: str = "",
) -> Verdict:
    """Whether a strip stays cool enough beside the cells.

    Parameters
    ----------
    strip : str
        Which strip.
    rise_k : Band or float or None
        Rise of the strip over the cells. [K]
    limit_k : float or None
        Rise allowed. [K]
    basis : Basis
        Basis of the limit.
    source : str
        Source of the limit.
    note : str
        What is said of the current besides; whole sentences.

    Returns
    -------
    Verdict
        "strip_rise_" and the strip, in kelvin.
    """
    return at_most(
        Check(
            id=f"strip_rise_{slug(strip)}",
            what=f"the rise of the {strip}",
            value=rise_k,
            against="the rise allowed",
            limit=limit_k,
            unit="K",
            fix="Use a wider, thicker or second strip, or copper.",
            find_out="Find the material and size of the strip.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def contact_current(
    *,
    part: str,
    load_a: Figure,
    rated_a: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    note: str = "",
) -> Verdict:
    """Whether a connector or a switch carries its current.

    Parameters
    ----------
    part : str
        Which connector or switch.
    load_a : Band or float or None
        Root-mean-square current per contact over the hardest stretch in which it warms up. [A]
    rated_a : float or None
        Rating per contact. [A]
    basis : Basis
        Basis of the rating.
    source : str
        Source of the rating.
    note : str
        What is said of the current besides; whole sentences.

    Returns
    -------
    Verdict
        "contact_current_" and the part, in amperes.
    """
    return at_most(
        Check(
            id=f"contact_current_{slug(part)}",
            what=f"the current of the {part}",
            value=load_a,
            against="its rating",
            limit=rated_a,
            unit="A",
            fix="Use a larger part, or share the current over more contacts.",
            find_out=f"Find the rating of the {part} on the maker's own sheet.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def contact_peak(
    *,
    part: str,
    load_a: float,
    lasts_s: float,
    rating: ContactRating,
    may_stop: bool = True,
    note: str = "",
) -> Verdict:
    """Whether a connector or a switch carries the current of held shafts until it ends.

    A peak rating serves what lasts no longer than a burst. Without one, a burst above the rating is
    unknown up to twice it and fails beyond.

    Parameters
    ----------
    part : str
        Which connector or switch.
    load_a : float
        Current. [A]
    lasts_s : float
        How long it flows; infinite where nothing ends it. [s]
    rating : ContactRating
        What it carries.
    may_stop : bool
        Whether a failure is a stop.
    note : str
        What is said besides; whole sentences.

    Returns
    -------
    Verdict
        "stall_" and the part, in amperes.
    """
    is_burst = lasts_s <= LONGEST_BURST_S
    is_peak = is_burst and rating.peak_a is not None and load_a > rating.rated_a
    doubt = (
        ""
        if rating.is_timed or not is_peak
        else "Its source does not say how long a peak may last."
    )
    verdict = at_most(
        Check(
            id=f"stall_{slug(part)}",
            what=f"the current of the {part} while the shafts are held",
            value=load_a,
            against="its peak rating" if is_peak else "its rating",
            limit=rating.peak_a if is_peak else rating.rated_a,
            unit="A",
            fix=f"Set a current limit in the driver, or use a larger {part}.",
            find_out=f"Find what the {part} carries for {spoken(lasts_s, 's')} on the maker's own "
            "sheet.",
            basis=rating.peak_basis if is_peak else rating.basis,
            source=rating.peak_source if is_peak else rating.source,
            may_stop=may_stop,
            note=note,
            doubt=doubt,
        )
    )
    is_near = load_a <= PEAK_OVER_RATED * rating.rated_a
    if is_burst and not is_peak and is_near and verdict.status is not Status.OK:
        return replace(
            verdict,
            status=Status.UNKNOWN,
            reason=f"{verdict.reason} No rating for {spoken(lasts_s, 's')} is known.",
            fix=f"Find what the {part} carries for {spoken(lasts_s, 's')}. {verdict.fix}",
        )
    return verdict


def contact_voltage(
    *,
    part: str,
    full_v: Figure,
    rated_dc_v: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether a switch or relay may break direct current at the voltage of the full pack.

    Parameters
    ----------
    part : str
        Which part.
    full_v : Band or float or None
        Voltage of the full pack. [V]
    rated_dc_v : float or None
        Highest direct voltage that the part may break. [V]
    basis : Basis
        Basis of the rating.
    source : str
        Source of the rating.

    Returns
    -------
    Verdict
        "contact_voltage_" and the part, in volts.
    """
    return at_most(
        Check(
            id=f"contact_voltage_{slug(part)}",
            what=f"the voltage across the {part}",
            value=full_v,
            against="its rating for direct current",
            limit=rated_dc_v,
            unit="V",
            fix="Use a part rated for direct current at this voltage; a rating for mains is not "
            "one.",
            find_out=f"Find the rating for direct current of the {part}.",
            basis=basis,
            source=source,
        )
    )
