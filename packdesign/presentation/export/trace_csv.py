"""A discharge or a charge over time as CSV, at pack level, with the columns of the contract."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import Final

import numpy as np

from packdesign.engineering.charging.charge_run import BandedCharge
from packdesign.engineering.demand.profile import FloatArray
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.presentation.export.files import write_whole

__all__ = ["TRACE_COLUMNS", "voltage_band_v", "write_charge_trace", "write_discharge_trace"]

TRACE_COLUMNS: Final = (
    "time_s", "current_a", "voltage_v", "voltage_low_v", "voltage_high_v", "soc", "cell_degc",
    "surface_degc",
)  # fmt: skip
"""Discharge current is positive, charging current negative."""


def write_discharge_trace(path: Path, outcome: DischargeOutcome) -> None:
    """Write the likely discharge with its voltage band.

    Parameters
    ----------
    path : Path
        The file; it is replaced as a whole, or left alone if it cannot be written.
    outcome : DischargeOutcome
        The discharge, run with its trace.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    outcome = outcome.as_it_ends
    trace = outcome.trace
    low_v, high_v = voltage_band_v(outcome)
    _write(
        path,
        (
            trace.time_s, trace.current_a, trace.voltage_v, low_v, high_v, trace.soc,
            trace.cell_degc, trace.surface_degc,
        ),
    )  # fmt: skip


def write_charge_trace(path: Path, charge: BandedCharge) -> None:
    """Write the likely charge; its band is one of times, so both voltages repeat the likely one.

    Parameters
    ----------
    path : Path
        The file; it is replaced as a whole, or left alone if it cannot be written.
    charge : BandedCharge
        The charge.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    run = charge.run
    _write(
        path,
        (
            run.time_s, run.current_a, run.voltage_v, run.voltage_v, run.voltage_v, run.soc,
            run.cell_degc, run.surface_degc,
        ),
    )  # fmt: skip


def voltage_band_v(outcome: DischargeOutcome) -> tuple[FloatArray, FloatArray]:
    """Give the lowest and highest likely voltage at the times of the trace. Shape (n,) each. [V]

    Parameters
    ----------
    outcome : DischargeOutcome
        The discharge. The width of the band, known at the fast engine's times, is carried over to
        those of the trace; without one both are the likely voltage.
    """
    bands, time_s, voltage_v = outcome.bands, outcome.trace.time_s, outcome.trace.voltage_v
    mid = bands.trace
    if mid is None or bands.voltage_low_v is None or bands.voltage_high_v is None:
        return voltage_v, voltage_v
    below_v = np.interp(time_s, mid.time_s, mid.voltage_v - bands.voltage_low_v)
    above_v = np.interp(time_s, mid.time_s, bands.voltage_high_v - mid.voltage_v)
    return voltage_v - below_v, voltage_v + above_v


def _write(path: Path, columns: Iterable[FloatArray]) -> None:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(TRACE_COLUMNS)
    for row in np.column_stack(list(columns)).tolist():
        writer.writerow([f"{value:.9g}" for value in row])
    write_whole(path, text.getvalue())
