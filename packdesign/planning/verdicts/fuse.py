"""Verdicts on the fuse: it carries the load, spares the wire, blows and breaks a short circuit."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from packdesign.engineering.electrical.fuse import STEADY_LOAD_FRACTION, STEADY_LOAD_SOURCE
from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least, at_most, share_of, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "BLOW_MULTIPLE",
    "INSULATION_FRACTION",
    "fuse_before_wire",
    "fuse_blows",
    "fuse_holds",
    "fuse_interrupts",
    "fuse_overload_unknown",
    "fuse_spares_wire",
    "fuse_voltage",
]

BLOW_MULTIPLE: Final = 2.0
"""Multiple of its rating at which a fuse opens within 2 min (UL 248-14, up to 30 A). [-]"""
INSULATION_FRACTION: Final = 0.1
"""Share of the time to melting within which the insulation of a wire is taken to live: a tenth of
the heat warms copper by some 45 K; own choice. [-]"""

_BLOW_SOURCE: Final = "UL 248-14 opening at 200 %, in the Littelfuse Fuseology guide p.12"


def fuse_holds(*, load_a: Figure, fuse_a: float | None) -> Verdict:
    """Whether the fuse carries the steady load for good.

    Parameters
    ----------
    load_a : Band or float or None
        Root-mean-square current. [A]
    fuse_a : float or None
        Rating of the fuse. [A]

    Returns
    -------
    Verdict
        "fuse_holds", in amperes, against 75 % of the rating.
    """
    return at_most(
        Check(
            id="fuse_holds",
            what="the steady current through the fuse",
            value=load_a,
            against="three quarters of its rating",
            limit=None if fuse_a is None else STEADY_LOAD_FRACTION * fuse_a,
            unit="A",
            fix="Use the next larger fuse, if the wire still carries more than it.",
            find_out="Say which fuse is fitted.",
            basis=Basis.ASSUMED,
            source=STEADY_LOAD_SOURCE,
        )
    )


def fuse_overload_unknown(*, load_a: float, fuse_a: float) -> Verdict:
    """Say that a fuse of which only the rating is known carries more than that for a while.

    Parameters
    ----------
    load_a : float
        Largest current that lasts. [A]
    fuse_a : float
        Rating of the fuse. [A]

    Returns
    -------
    Verdict
        "fuse_overload", unknown.
    """
    return Verdict(
        id="fuse_overload",
        status=Status.UNKNOWN,
        value=load_a,
        limit=fuse_a,
        unit="A",
        reason=f"At times {spoken(load_a, 'A')} flow through a fuse of {spoken(fuse_a, 'A')}. How "
        "long it bears that its rating alone does not tell: it may open in use.",
        fix="Name the fuse by its part, or take one rated above that current where the wire "
        "carries it.",
        basis=Basis.ASSUMED,
        source="opening times differ from series to series: see the fuse's own sheet",
    )


def fuse_spares_wire(
    *,
    fuse_a: Figure,
    ampacity_a: float | None,
    where: str = "",
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether the fuse opens before the thinnest wire behind it overheats.

    Parameters
    ----------
    fuse_a : Band or float or None
        Rating of the fuse. [A]
    ampacity_a : float or None
        Least ampacity of wire and strip behind it. [A]
    where : str
        Which place that figure is for: "in a bundle".
    basis : Basis
        Basis of the ampacity.
    source : str
        Source of the ampacity.

    Returns
    -------
    Verdict
        "fuse_spares_wire", in amperes.
    """
    return at_most(
        Check(
            id="fuse_spares_wire",
            what="the rating of the fuse",
            value=fuse_a,
            against=f"the ampacity of the wire behind it {where}".rstrip(),
            limit=ampacity_a,
            unit="A",
            fix="Lower the fuse or thicken the wire.",
            find_out="Find fuse and wire size.",
            basis=basis,
            source=source,
        )
    )


def fuse_before_wire(
    *, used: float | None, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the fuse opens a short circuit before the copper behind it melts.

    Parameters
    ----------
    used : float or None
        Longest opening time over the time in which the wire melts, at the worst current; infinite
        where the fuse need not open at all. [-]
    basis : Basis
        Basis of the opening times.
    source : str
        Source of the opening times.

    Returns
    -------
    Verdict
        "fuse_before_wire", a share of the time to melting; a caution above a tenth of it.
    """
    fix = "Use a smaller or faster fuse, or thicker wire."
    check = Check(
        id="fuse_before_wire",
        what="how soon the fuse opens a short circuit",
        value=used,
        against="the time in which the wire behind it melts",
        limit=1.0,
        unit="",
        fix=fix,
        find_out="Name the fuse by series and rating, as the table has it, or find its longest "
        "opening times on its sheet.",
        basis=basis,
        source=f"{source}; melting after Onderdonk, all heat kept in the copper, from memory",
    )
    if used is None:
        return at_most(check)
    if math.isinf(used):
        words = "the fuse need not open at all: the wire behind it heats until it melts."
        found = replace(at_most(replace(check, value=2.0)), value=None, margin=None)
        return replace(found, reason=f"In a short circuit {words}")
    is_singed = INSULATION_FRACTION < used <= 1
    words = "Insulation suffers long before copper melts." if is_singed else ""
    found = at_most(replace(check, doubt=words, find_out=fix if is_singed else check.find_out))
    said = f"A short circuit may last {share_of(used)} the time in which the wire behind the fuse "
    said += "melts."
    return replace(found, reason=f"{said} {words}".rstrip())


def fuse_blows(*, short_a: Figure, fuse_a: float | None, note: str = "") -> Verdict:
    """Whether a short circuit pushes enough current to open the fuse soon.

    Parameters
    ----------
    short_a : Band or float or None
        Current into a short circuit at the far end of the wire, from a pack low in charge. [A]
    fuse_a : float or None
        Rating of the fuse. [A]
    note : str
        What that current was taken at, as a sentence.

    Returns
    -------
    Verdict
        "fuse_blows", in amperes, against twice the rating.
    """
    return at_least(
        Check(
            id="fuse_blows",
            what="the current into a short circuit",
            value=short_a,
            against="twice the rating of the fuse, where it opens within minutes",
            limit=None if fuse_a is None else BLOW_MULTIPLE * fuse_a,
            unit="A",
            fix="Use a smaller or faster fuse: this pack cannot blow it.",
            find_out="Say which fuse is fitted, and find the pack's resistance.",
            basis=Basis.PUBLISHED,
            source=_BLOW_SOURCE,
            note=note,
        )
    )


def fuse_interrupts(
    *,
    short_a: Figure,
    interrupt_a: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    note: str = "",
) -> Verdict:
    """Whether the fuse can break the largest current that the pack pushes.

    Parameters
    ----------
    short_a : Band or float or None
        Current of the full pack into a short circuit right behind the fuse. [A]
    interrupt_a : float or None
        Interrupting rating for direct current. [A]
    basis : Basis
        Basis of the rating.
    source : str
        Source of the rating.
    note : str
        What the current was taken at, as a sentence.

    Returns
    -------
    Verdict
        "fuse_interrupts", in amperes.
    """
    return at_most(
        Check(
            id="fuse_interrupts",
            what="the current into a short circuit",
            value=short_a,
            against="the interrupting rating of the fuse",
            limit=interrupt_a,
            unit="A",
            fix="Use a fuse with a higher interrupting rating for direct current.",
            find_out="Find the interrupting rating of the fuse for direct current.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def fuse_voltage(
    *, full_v: Figure, rated_dc_v: float | None, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the fuse is rated for the voltage of the full pack.

    Parameters
    ----------
    full_v : Band or float or None
        Voltage of the full pack. [V]
    rated_dc_v : float or None
        Rating of the fuse for direct voltage. [V]
    basis : Basis
        Basis of the rating.
    source : str
        Source of the rating.

    Returns
    -------
    Verdict
        "fuse_voltage", in volts.
    """
    return at_most(
        Check(
            id="fuse_voltage",
            what="the voltage of the full pack",
            value=full_v,
            against="the voltage rating of the fuse",
            limit=rated_dc_v,
            unit="V",
            fix="Use a fuse rated for this direct voltage.",
            find_out="Find the voltage rating of the fuse for direct current.",
            basis=basis,
            source=source,
        )
    )
