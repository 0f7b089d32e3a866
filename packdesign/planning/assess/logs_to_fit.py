"""Logs that a pack is to be fitted to: read, and refused where they cannot be of this pack."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from packdesign.engineering.demand.measured_log import read_log
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.replay import Log
from packdesign.foundation.errors import LogError
from packdesign.planning.assess.design import PackDesign

__all__ = ["log_with_voltage", "refuse_another_pack", "refuse_the_same_twice"]

_LEAST_SHARE: Final = 0.6
_MOST_SHARE: Final = 1.1
"""A log whose middle voltage lies outside these shares of cut-off and full is of another pack, or
in another unit: own choice. [-]"""
_MOST_CRATE: Final = 200.0
"""No cell of the table bears near as much. [1/h]"""
_FEWEST_ROWS: Final = 3


def log_with_voltage(path: Path) -> Log:
    """Read a log that has current and voltage; rows with gaps are left out.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    LogError
        If it cannot be used, or has no voltage.
    """
    rows = read_log(path)
    if rows.voltage_v is None:
        msg = f"{path.name} has no voltage, so nothing can be held against it; add voltage_v"
        raise LogError(msg)
    whole = np.isfinite(rows.voltage_v)
    degc = rows.temperature_degc
    if degc is not None and not np.any(np.isfinite(degc)):
        degc = None
    if degc is not None:
        whole &= np.isfinite(degc)
    if np.count_nonzero(whole) < _FEWEST_ROWS:
        also = "" if degc is None else " and temperature"
        msg = (
            f"{path.name}: {np.count_nonzero(whole)} of its {len(whole)} rows have voltage{also}; "
            f"{_FEWEST_ROWS} or more are needed"
        )
        raise LogError(msg)

    def kept(values: FloatArray) -> FloatArray:
        return np.asarray(values[whole], dtype=np.float64)

    return Log(
        time_s=kept(rows.time_s),
        current_a=kept(rows.current_a),
        voltage_v=kept(rows.voltage_v),
        temperature_degc=None if degc is None else kept(degc),
    )


def refuse_another_pack(log: Log, design: PackDesign, path: Path) -> None:
    """Refuse a log whose volts or amps cannot be those of this pack.

    Parameters
    ----------
    log : Log
        The log.
    design : PackDesign
        The pack.
    path : Path
        Its file.

    Raises
    ------
    LogError
        If they cannot be, or there are no amps.
    """
    series, cell = design.series, design.cell
    middle_v = float(np.median(log.voltage_v)) / series
    if not _LEAST_SHARE * cell.cutoff_v <= middle_v <= _MOST_SHARE * cell.full_v:
        msg = (
            f"{path.name}: its voltages make {middle_v:.3g} V for each of {series} cells in "
            f"series, and a {cell.name} works from {cell.cutoff_v:g} to {cell.full_v:g} V; "
            "give the voltage of the whole pack, in volts"
        )
        raise LogError(msg)
    largest_a = float(np.max(np.abs(log.current_a)))
    if largest_a <= 0:
        msg = f"{path.name} draws no current, so it teaches nothing; leave it out"
        raise LogError(msg)
    most_a = _MOST_CRATE * design.capacity_ah
    if largest_a > most_a:
        msg = (
            f"{path.name}: {largest_a:.3g} A is {largest_a / design.capacity_ah:.0f} times the "
            f"capacity of the pack ({design.capacity_ah:.3g} Ah); give the current of the whole "
            "pack, in amperes"
        )
        raise LogError(msg)
    if np.max(log.current_a) <= 0:
        msg = (
            f"{path.name}: every current is negative; discharge counts as positive here, so turn "
            "the sign round"
        )
        raise LogError(msg)


def refuse_the_same_twice(logs: Sequence[Log], paths: Sequence[Path]) -> None:
    """Refuse a log that is given again: it would count as a second witness.

    Parameters
    ----------
    logs : sequence of Log
        All that are given.
    paths : sequence of Path
        Their files.

    Raises
    ------
    LogError
        If two hold the same run.
    """
    for k, log in enumerate(logs):
        for j, other in enumerate(logs[:k]):
            if np.array_equal(log.time_s, other.time_s) and np.array_equal(
                log.voltage_v, other.voltage_v
            ):
                msg = (
                    f"{paths[k].name} holds the same run as {paths[j].name}, which would count "
                    "twice; give each run once"
                )
                raise LogError(msg)
