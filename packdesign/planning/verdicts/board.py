"""Verdicts on the protection board: its current, its count of groups, its trip voltages."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least, at_most
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "TRIP_OVER_FULL_V",
    "board_after_charge",
    "board_after_device",
    "board_current",
    "board_overcharge",
    "board_peak",
    "board_series",
    "board_undervoltage",
]

TRIP_OVER_FULL_V: Final = 0.10
"""How far over full an overcharge trip still serves as a back-up; from memory. [V]"""
_ROUNDING_V: Final = 1e-6
_MEMORY: Final = "from memory; no document read"


def board_current(
    *,
    load_a: Figure,
    rated_a: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    note: str = "",
) -> Verdict:
    """Whether the board carries the steady current.

    Parameters
    ----------
    load_a : Band or float or None
        Root-mean-square current over the hardest stretch in which it warms up. [A]
    rated_a : float or None
        Continuous rating of the board; most are given for good cooling. [A]
    basis : Basis
        Basis of the rating.
    source : str
        Source of the rating.
    note : str
        What is said of the current besides; whole sentences.

    Returns
    -------
    Verdict
        "board_current", in amperes.
    """
    return at_most(
        Check(
            id="board_current",
            what="the steady current through the protection board",
            value=load_a,
            against="its continuous rating",
            limit=rated_a,
            unit="A",
            fix="Use a board with a higher rating, and feel its temperature under load.",
            find_out="Find the continuous rating of the board and its cooling condition.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def board_peak(
    *, peak_a: Figure, trip_a: float | None, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the board lets the start of the motor through without tripping.

    Parameters
    ----------
    peak_a : Band or float or None
        Peak current that lasts longer than the board's delay. [A]
    trip_a : float or None
        Least current at which the board trips. [A]
    basis : Basis
        Basis of the trip current.
    source : str
        Source of the trip current.

    Returns
    -------
    Verdict
        "board_peak", in amperes.
    """
    return at_most(
        Check(
            id="board_peak",
            what="the peak current through the protection board",
            value=peak_a,
            against="the least current at which it trips",
            limit=trip_a,
            unit="A",
            fix="Soften the start, or use a board that trips later or higher.",
            find_out="Find the trip current and its delay, with tolerance.",
            basis=basis,
            source=source,
        )
    )


def board_series(*, board_series: int | None, series: int) -> Verdict:
    """Whether the board is made for this number of groups.

    Parameters
    ----------
    board_series : int or None
        Groups that the board is made or set for. [-]
    series : int
        Groups in series. [-]

    Returns
    -------
    Verdict
        "board_series".
    """
    if board_series is None:
        status, reason = Status.UNKNOWN, "Not known: for how many groups the board is made."
        fix = "Find the count on the board or its sheet."
    elif board_series == series:
        status, fix = Status.OK, ""
        reason = f"The board is made for {board_series} groups, as many as the pack has."
    else:
        status, fix = Status.STOP, "Use a board for exactly this count, and test every tap."
        reason = f"The board is made for {board_series} groups and the pack has {series}."
    return Verdict(
        id="board_series",
        status=status,
        value=None if board_series is None else float(board_series),
        limit=float(series),
        reason=reason,
        fix=fix,
        basis=Basis.ASSUMED,
        source=_MEMORY,
    )


def board_overcharge(
    *, trip_v: Figure, cell_full_v: float, basis: Basis = Basis.ASSUMED, source: str = _MEMORY
) -> Verdict:
    """Whether the board's overcharge trip suits this chemistry.

    Parameters
    ----------
    trip_v : Band or float or None
        Overcharge trip per cell, with its tolerance as a band. [V]
    cell_full_v : float
        Charge voltage of the cell. [V]
    basis : Basis
        Basis of the trip voltage.
    source : str
        Source of the rule that a trip up to 0.10 V above full is a back-up and more is not.

    Returns
    -------
    Verdict
        "board_overcharge", in volts.
    """
    return at_most(
        Check(
            id="board_overcharge",
            what="the overcharge trip of the board",
            value=trip_v,
            against="0.10 V over the full cell",
            limit=round(cell_full_v + TRIP_OVER_FULL_V, 6),
            unit="V",
            fix="Use a board made for this chemistry.",
            find_out="Find the overcharge trip of the board, or test it with a supply.",
            basis=basis,
            source=source,
        )
    )


def board_after_charge(
    *, trip_v: Figure, charge_v: float, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the charger ends the charge before the board does.

    Parameters
    ----------
    trip_v : Band or float or None
        Overcharge trip per cell, with its tolerance as a band. [V]
    charge_v : float
        Voltage per cell at which the charge ends. [V]
    basis : Basis
        Basis of the trip voltage.
    source : str
        Source of the trip voltage.

    Returns
    -------
    Verdict
        "board_after_charge", in volts.
    """
    return at_least(
        Check(
            id="board_after_charge",
            what="the overcharge trip of the board",
            value=trip_v,
            against="the voltage at which the charge ends",
            limit=charge_v,
            unit="V",
            fix="Charge to a lower voltage, or use a board that trips later: this one cuts the "
            "charge short, and the groups are never balanced.",
            find_out="Find the overcharge trip of the board, with tolerance.",
            tolerance=_ROUNDING_V,
            basis=basis,
            source=source,
            may_stop=False,
        )
    )


def board_undervoltage(
    *, trip_v: Figure, cell_cutoff_v: float, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the board cuts off before a cell falls below its cut-off.

    Parameters
    ----------
    trip_v : Band or float or None
        Undervoltage trip per cell, with its tolerance as a band. [V]
    cell_cutoff_v : float
        Cut-off of the cell. [V]
    basis : Basis
        Basis of the trip voltage.
    source : str
        Source of the trip voltage.

    Returns
    -------
    Verdict
        "board_undervoltage", in volts.
    """
    return at_least(
        Check(
            id="board_undervoltage",
            what="the undervoltage trip of the board",
            value=trip_v,
            against="the cell's cut-off",
            limit=cell_cutoff_v,
            unit="V",
            fix="Let the device stop above the cell's cut-off, or use a board that trips higher.",
            find_out="Find the undervoltage trip of the board, with tolerance.",
            basis=basis,
            source=source,
        )
    )


def board_after_device(
    *, trip_v: Figure, stop_v: float, basis: Basis = Basis.ASSUMED, source: str = ""
) -> Verdict:
    """Whether the device stops by itself before the board cuts it off without a word.

    Parameters
    ----------
    trip_v : Band or float or None
        Undervoltage trip per cell, with its tolerance as a band. [V]
    stop_v : float
        Voltage per cell at which the device stops. [V]
    basis : Basis
        Basis of the trip voltage.
    source : str
        Source of the trip voltage.

    Returns
    -------
    Verdict
        "board_after_charge",
    "board_after_device", in volts.
    """
    return at_most(
        Check(
            id="board_after_device",
            what="the undervoltage trip of the board",
            value=trip_v,
            against="the voltage at which the device stops",
            limit=stop_v,
            unit="V",
            fix="Let the device stop at a higher voltage, so that it can say so first.",
            find_out="Find the undervoltage trip of the board, with tolerance.",
            basis=basis,
            source=source,
            may_stop=False,
        )
    )
