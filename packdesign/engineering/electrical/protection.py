"""A protection circuit against its cells and its load: thresholds, tolerances, trip current.

The records are those of ``data.boards``. A board is the last line behind gauge, charger and fuse:
its trip current is often twice its rating and more, so it replaces none of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.data.boards import Board
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "CellWindow",
    "TripRisk",
    "board_trip_a",
    "board_window",
    "hot_sense_ohm",
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


@dataclass(frozen=True, slots=True, kw_only=True)
class CellWindow:
    """Room between the thresholds of a board and what its cells ask for; negative is wrong.

    None where the board does not print the threshold: unknown, never fine.
    """

    charge_room_v: float | None
    """Earliest over-charge trip above the charge voltage; below 0 it may end a charge early. [V]"""
    overcharge_room_v: float | None
    """Highest voltage the cell bears above the latest over-charge trip; below 0 the board may trip
    too late. [V]"""
    device_room_v: float | None
    """Voltage at which the device stops above the earliest over-discharge trip; below 0 the board
    may cut the power before the device has warned. [V]"""
    floor_room_v: float | None
    """Latest over-discharge trip above the floor of the cell; below 0 the board may let it be
    harmed. [V]"""


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


def board_window(
    board: Board,
    *,
    charge_v: float,
    highest_v: float,
    device_stop_v: float,
    floor_v: float,
) -> CellWindow:
    """Hold the thresholds of a board against one cell and its device.

    Parameters
    ----------
    board : Board
        With its thresholds per cell.
    charge_v : float
        Charge voltage of the cell. [V]
    highest_v : float
        Voltage that the cell must never pass, from its maker. [V]
    device_stop_v : float
        Voltage per cell at which the device itself stops. [V]
    floor_v : float
        Lowest voltage that the cell bears without harm. [V]

    Returns
    -------
    CellWindow
        Four rooms.

    Raises
    ------
    OutOfRangeError
        If the four voltages do not rise from floor to highest.

    Notes
    -----
    Thresholds with their printed tolerance at its worse end. A threshold that is ordered by suffix
    counts as the whole range on offer.

    Examples
    --------
    >>> from packdesign.data.boards import find_board
    >>> room = board_window(find_board("H&M DW01A"), charge_v=4.2, highest_v=4.3,
    ...     device_stop_v=3.0, floor_v=2.5)
    >>> round(room.charge_room_v, 2), round(room.overcharge_room_v, 2), round(room.floor_room_v, 2)
    (0.05, -0.05, -0.2)
    """
    if not floor_v <= device_stop_v < charge_v <= highest_v:
        msg = (
            "voltages must rise from floor_v over device_stop_v and charge_v to highest_v; got "
            f"{floor_v}, {device_stop_v}, {charge_v}, {highest_v}"
        )
        raise OutOfRangeError(msg)
    over = _printed_band(
        board.overcharge_v,
        board.overcharge_min_v,
        board.overcharge_max_v,
        board.overcharge_tolerance_v or 0.0,
    )
    under = _printed_band(
        board.overdischarge_v,
        board.overdischarge_min_v,
        board.overdischarge_max_v,
        board.overdischarge_tolerance_v or 0.0,
    )
    return CellWindow(
        charge_room_v=None if over is None else over.low - charge_v,
        overcharge_room_v=None if over is None else highest_v - over.high,
        device_room_v=None if under is None else device_stop_v - under.high,
        floor_room_v=None if under is None else under.low - floor_v,
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
