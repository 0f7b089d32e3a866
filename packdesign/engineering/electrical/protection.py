"""A protection circuit against its cells and its load: thresholds, tolerances, trip current.

The records are those of ``data.boards``. A board is the last line behind gauge, charger and fuse:
its trip current is often twice its rating and more, so it replaces none of them.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

from packdesign.data.boards import Board
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "TripRisk",
    "board_trip_a",
    "hot_sense_ohm",
    "overcharge_trip_v",
    "overdischarge_trip_v",
    "trip_current_a",
    "trip_risk",
]

_TRANSISTOR_PER_K: Final = 0.004
"""Growth of a power transistor's on-resistance per kelvin above 25 degC, about 1.4 times at 125
degC; from memory of data sheets."""

_UNSTATED_CURRENT_FRACTION: Final = 0.2
"""Tolerance of a trip current or threshold printed without one; BQ77905 prints 20 %."""


class TripRisk(StrEnum):
    """Whether a load trips the board."""

    NEVER = "never"
    MAY = "may"
    """Within the tolerance of threshold or resistance."""
    WILL = "will"
    UNKNOWN = "unknown"


def trip_current_a(*, threshold_v: Band, sense_ohm: Band) -> Band:
    r"""Current at which a threshold over a resistance is reached. [A]

    Parameters
    ----------
    threshold_v : Band
        Over-current threshold with its tolerance. [V]
    sense_ohm : Band
        Both transistors together, or the sense resistor. [ohm]

    Returns
    -------
    Band
        Lowest threshold over highest resistance, to highest over lowest. [A]

    Raises
    ------
    OutOfRangeError
        If a threshold or resistance is not above zero.

    Notes
    -----
    :math:`I = V / R_{on}` of both transistors (Hycon, battery protection questions and answers).

    Examples
    --------
    100 mV over two transistors of 0.92 milliohm:

    >>> trip = trip_current_a(threshold_v=Band.exact(0.100), sense_ohm=Band.exact(2 * 0.92e-3))
    >>> round(trip.mid, 1)
    54.3
    """
    if threshold_v.low <= 0 or sense_ohm.low <= 0:
        msg = f"threshold and resistance must be above 0; got {threshold_v} and {sense_ohm}"
        raise OutOfRangeError(msg)
    return Band(
        threshold_v.low / sense_ohm.high,
        threshold_v.mid / sense_ohm.mid,
        threshold_v.high / sense_ohm.low,
    )


def hot_sense_ohm(cold_ohm: Band, *, hottest_degc: float) -> Band:
    """Resistance of the transistors between cold start and hot board. [ohm]

    Parameters
    ----------
    cold_ohm : Band
        At 25 degC. [ohm]
    hottest_degc : float
        Junction at its hottest, 25 or more. [degC]

    Returns
    -------
    Band
        High end at the hottest. [ohm]

    Raises
    ------
    OutOfRangeError
        If the temperature is below 25 degC.

    Notes
    -----
    0.4 per cent per kelvin, from memory of data sheets. A hot board trips at less current.

    Examples
    --------
    >>> round(hot_sense_ohm(Band.exact(0.010), hottest_degc=75.0).high, 4)
    0.012
    """
    if hottest_degc < 25:
        msg = f"hottest_degc is {hottest_degc}; it must be 25 or more"
        raise OutOfRangeError(msg)
    factor = 1 + _TRANSISTOR_PER_K * (hottest_degc - 25)
    return Band(cold_ohm.low, cold_ohm.mid * (1 + factor) / 2, cold_ohm.high * factor)


def board_trip_a(board: Board, *, sense_ohm: Band | None = None) -> Band | None:
    """Current at which a board cuts off a discharge. [A]

    Parameters
    ----------
    board : Board
        With a trip current, or a threshold voltage.
    sense_ohm : Band or None
        What the threshold is measured over, where the board prints no current. [ohm]

    Returns
    -------
    Band or None
        With the printed tolerance, 20 per cent where none is printed; None where neither a current
        nor a threshold with its resistance is known. [A]

    Raises
    ------
    OutOfRangeError
        If a threshold or resistance is not above zero.

    Notes
    -----
    A printed trip current goes before one computed from threshold and resistance.

    Examples
    --------
    >>> from packdesign.data.boards import find_board
    >>> board_trip_a(find_board("HX-2S-D20"))
    Band(low=16.0, mid=20.0, high=24.0)
    """
    current = _printed_band(
        board.overcurrent_a, board.overcurrent_min_a, board.overcurrent_max_a, None
    )
    if current is not None:
        return current
    threshold = _printed_band(
        board.overcurrent_v,
        board.overcurrent_min_v,
        board.overcurrent_max_v,
        board.overcurrent_tolerance_v,
    )
    if threshold is None or sense_ohm is None:
        return None
    return trip_current_a(threshold_v=threshold, sense_ohm=sense_ohm)


def overcharge_trip_v(board: Board) -> Band | None:
    """Voltage of a cell at which a board ends a charge, from its earliest to its latest. [V]

    Parameters
    ----------
    board : Board
        With its thresholds per cell.

    Returns
    -------
    Band or None
        With the printed tolerance at its worse end; a threshold that is ordered by suffix counts as
        the whole range on offer. None where none is printed: unknown, never fine. [V]

    Examples
    --------
    >>> from packdesign.data.boards import find_board
    >>> overcharge_trip_v(find_board("H&M DW01A"))
    Band(low=4.25, mid=4.3, high=4.35)
    """
    return _printed_band(
        board.overcharge_v,
        board.overcharge_min_v,
        board.overcharge_max_v,
        board.overcharge_tolerance_v or 0.0,
    )


def overdischarge_trip_v(board: Board) -> Band | None:
    """Voltage of a cell at which a board ends a discharge, from its latest to its earliest. [V]

    Parameters
    ----------
    board : Board
        With its thresholds per cell.

    Returns
    -------
    Band or None
        As for `overcharge_trip_v`. [V]

    Examples
    --------
    >>> from packdesign.data.boards import find_board
    >>> overdischarge_trip_v(find_board("H&M DW01A"))
    Band(low=2.3, mid=2.4, high=2.5)
    """
    return _printed_band(
        board.overdischarge_v,
        board.overdischarge_min_v,
        board.overdischarge_max_v,
        board.overdischarge_tolerance_v or 0.0,
    )


def trip_risk(
    trip_a: Band | None, *, delay_s: float | None, load_a: float, load_s: float = math.inf
) -> TripRisk:
    """Say whether a load trips a board.

    Parameters
    ----------
    trip_a : Band or None
        From `board_trip_a`. [A]
    delay_s : float or None
        How long the board waits; None counts as no wait at all. [s]
    load_a : float
        Current of the load. [A]
    load_s : float
        How long the load draws it, left out: for good. [s]

    Returns
    -------
    TripRisk
        Unknown where the trip current is.

    Notes
    -----
    Delays are printed with wide tolerance, so a load must be over in half the delay to count as
    never tripping, and last twice the delay to trip for certain (chosen here).

    Examples
    --------
    A 30 A start of 0.5 s against a board of 70 to 90 A, and one of 25 to 35 A that waits 10 ms:

    >>> trip_risk(Band(70, 80, 90), delay_s=0.15, load_a=30.0, load_s=0.5).value
    'never'
    >>> trip_risk(Band(25, 30, 35), delay_s=0.010, load_a=30.0, load_s=0.5).value
    'may'
    """
    if trip_a is None:
        return TripRisk.UNKNOWN
    wait_s = delay_s or 0.0
    if load_a < trip_a.low or load_s < wait_s / 2:
        return TripRisk.NEVER
    if load_a > trip_a.high and load_s > 2 * wait_s:
        return TripRisk.WILL
    return TripRisk.MAY


def _printed_band(
    value: float | None, least: float | None, most: float | None, tolerance: float | None
) -> Band | None:
    """Make a band of a printed value, or range, with its tolerance; 20 % where there is none."""
    ends = [figure for figure in (least, value, most) if figure is not None]
    if not ends:
        return None
    middle = value if value is not None else (min(ends) + max(ends)) / 2
    if tolerance is None:
        has_range = len(ends) > 1
        tolerance = 0.0 if has_range else _UNSTATED_CURRENT_FRACTION * middle
    return Band(min(ends) - tolerance, middle, max(ends) + tolerance)
