"""Verdicts on heat: the cell against its own maximum, the surface against the hand."""

from __future__ import annotations

from packdesign.engineering.thermal.touch import HELD_S, touch_limit
from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least, at_most, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["cell_cold", "cell_temperature", "surface_temperature"]


def cell_temperature(
    *,
    peak_degc: Figure,
    maximum_degc: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether the hottest cell stays below its limit in discharge.

    Parameters
    ----------
    peak_degc : Band or float or None
        Highest temperature of the hottest cell. [degC]
    maximum_degc : float or None
        Highest discharge temperature of the cell. [degC]
    basis : Basis
        Basis of the limit.
    source : str
        Source of the limit.

    Returns
    -------
    Verdict
        "cell_temperature", in degrees Celsius.
    """
    return at_most(
        Check(
            id="cell_temperature",
            what="the hottest cell",
            value=peak_degc,
            against="its highest discharge temperature",
            limit=maximum_degc,
            unit="degC",
            fix="Add cells in parallel, rest between runs, let heat out, or draw less.",
            find_out="Find the cell's discharge temperature range on its sheet.",
            basis=basis,
            source=source,
        )
    )


def cell_cold(
    *,
    start_degc: Figure,
    minimum_degc: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether the cells are warm enough to be discharged.

    Parameters
    ----------
    start_degc : Band or float or None
        Coldest that the cells are in use. [degC]
    minimum_degc : float or None
        Lowest discharge temperature of the cell. [degC]
    basis : Basis
        Basis of the limit.
    source : str
        Source of the limit.

    Returns
    -------
    Verdict
        "cell_cold", in degrees Celsius.
    """
    return at_least(
        Check(
            id="cell_cold",
            what="the coldest cell",
            value=start_degc,
            against="its lowest discharge temperature",
            limit=minimum_degc,
            unit="degC",
            fix="Keep the pack warm until it is used, or choose a cell made for the cold.",
            find_out="Find the cell's discharge temperature range on its sheet.",
            basis=basis,
            source=source,
        )
    )


def surface_temperature(
    *,
    peak_degc: Figure,
    material: str = "metal",
    contact_s: float = HELD_S,
) -> Verdict:
    """Whether the surface stays cool enough for the hand on it.

    Parameters
    ----------
    peak_degc : Band or float or None
        Highest temperature of the touched surface. [degC]
    material : str
        What it is made of: metal, glass, plastic or wood; metal is the strictest.
    contact_s : float
        How long it is touched at a stretch. [s]

    Returns
    -------
    Verdict
        "surface_temperature", in degrees Celsius, against the lowest published limit.
    """
    limit = touch_limit(material=material, contact_s=contact_s)
    return at_most(
        Check(
            id="surface_temperature",
            what="the touched surface",
            value=peak_degc,
            against=f"the limit for {material} touched for {spoken(contact_s, 's')}",
            limit=limit.low_degc,
            unit="degC",
            fix="Draw less, rest between runs, or put insulation between the cells and the hand.",
            find_out="Find how hot the surface gets: run the discharge, or measure it.",
            basis=limit.basis,
            source=f"{limit.document}, {limit.source}; check the standard",
        )
    )
