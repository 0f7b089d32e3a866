"""Verdicts on wire, strip, connector and switch: current, rise, voltage."""

from __future__ import annotations

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_most, slug
from packdesign.planning.verdicts.verdict import Verdict

__all__ = [
    "contact_current",
    "contact_voltage",
    "strip_rise",
    "wire_current",
]


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
