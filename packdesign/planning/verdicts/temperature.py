"""Verdicts on heat: the cell against its own maximum, the surface against the hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.thermal.touch import HELD_S, touch_limit
from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import (
    Check,
    Figure,
    at_least,
    at_most,
    band_of,
    spoken,
)
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["RunAir", "cell_cold", "cell_temperature", "surface_temperature"]

_CUT_K: Final = 0.01
"""How near its limit a cell counts as at it: what ends a run is located far closer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAir:
    """What a temperature of a run holds for."""

    usual_degc: float
    """Air of the likely figure. [degC]"""
    hottest_degc: float
    """Air of the upper end of its band. [degC]"""
    run_s: float
    """Length of the one run, from full to its end. [s]"""

    @property
    def is_hotter(self) -> bool:
        """Whether the hottest day is another than the usual one."""
        return self.hottest_degc > self.usual_degc

    @property
    def usual_words(self) -> str:
        """The usual air in words."""
        return f"air of {self.usual_degc:g} degC"


def cell_temperature(
    *,
    peak_degc: Figure,
    maximum_degc: float | None,
    when: RunAir | None = None,
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
    when : RunAir or None
        What the figure holds for; None: it is not said.
    basis : Basis
        Basis of the limit.
    source : str
        Source of the limit.

    Returns
    -------
    Verdict
        "cell_temperature", in degrees Celsius.

    Notes
    -----
    A run is cut where a cell is at its limit. So a figure that stands there is no pass: the cells
    would have gone on, and nothing in the device is known to end the run.
    """
    check = Check(
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
    return _cut_at_the_limit(_judged(check, when), check, when)


def _cut_at_the_limit(found: Verdict, check: Check, when: RunAir | None) -> Verdict:
    """Turn a pass into what it is where the likely run, or the hottest ones, were cut."""
    if check.value is None or check.limit is None or found.status is not Status.OK:
        return found
    band = band_of(check.value)
    limit = f"its highest discharge temperature ({spoken(check.limit, 'degC')})"
    if band.mid > check.limit - _CUT_K:
        after = "" if when is None else f" after {spoken(when.run_s, 's')} in {when.usual_words}"
        reason = f"The hottest cell reaches {limit}{after}, before the pack is empty."
        return replace(found, status=Status.STOP, reason=reason, margin=0.0, fix=check.fix)
    if band.high > check.limit - _CUT_K:
        reason = f"{found.reason[:-1]}, but may reach it before the pack is empty."
        return replace(found, status=Status.CAUTION, reason=reason, fix=check.fix)
    return found


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
    when: RunAir | None = None,
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
    when : RunAir or None
        What the figure holds for; None: it is not said.

    Returns
    -------
    Verdict
        "surface_temperature", in degrees Celsius, against the lowest published limit.
    """
    limit = touch_limit(material=material, contact_s=contact_s)
    check = Check(
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
    return _judged(check, when)


def _judged(check: Check, when: RunAir | None) -> Verdict:
    """Judge a highest temperature, and say in which air and after how long it is reached."""
    if when is None:
        return at_most(check)
    what = f"{check.what}, after one run of {spoken(when.run_s, 's')} in {when.usual_words},"
    found = at_most(replace(check, what=what))
    if found.status is not Status.CAUTION or not when.is_hotter:
        return found
    return replace(
        found,
        reason=f"{found.reason} What it may reach is the upper end of the estimate on the hottest "
        f"day, in air of {when.hottest_degc:g} degC.",
    )
