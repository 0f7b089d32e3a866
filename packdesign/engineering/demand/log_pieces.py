"""The rows of a log as pieces of constant current: joined, averaged, cut where the pack is gone."""

from __future__ import annotations

from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray

__all__ = ["FEWEST_ROWS", "demand_of_rows", "rows_with_pack"]

FEWEST_ROWS: Final = 2
"""A log of fewer rows lasts no time. [-]"""
_NO_PACK_V: Final = 0.3
_IDLE_FRACTION: Final = 0.01
"""Below this voltage, with less than this share of the largest current, no pack is connected: its
board has cut off, or it was unplugged. That is no run time. Own choice. [V], [-]"""


def rows_with_pack(current_a: FloatArray, voltage_v: FloatArray | None) -> int:
    """Count the rows up to the last at which the pack is there; a logger may run on without it.

    Parameters
    ----------
    current_a : array
        Of every row. [A]
    voltage_v : array or None
        Of every row, NaN where it has none; None: not logged. [V]
    """
    if voltage_v is None:
        return len(current_a)
    idle = np.abs(current_a) <= _IDLE_FRACTION * np.max(np.abs(current_a))
    there = np.flatnonzero(~((voltage_v < _NO_PACK_V) & idle))
    kept = int(there[-1]) + 1 if len(there) else 0
    return kept if kept >= FEWEST_ROWS else len(current_a)


def demand_of_rows(
    time_s: FloatArray, current_a: FloatArray, *, repeats: bool, largest_pieces: int
) -> tuple[Demand, tuple[str, ...]]:
    """Make the demand of a log: between two rows the current is their mean.

    Parameters
    ----------
    time_s, current_a : array
        Of every row. [s, A]
    repeats : bool
        The log starts again at its end.
    largest_pieces : int
        Above this many pieces of different current they are averaged. [-]

    Returns
    -------
    tuple
        The demand, and what was joined or averaged in words.
    """
    lengths = np.diff(time_s)
    means = (current_a[:-1] + current_a[1:]) / 2
    lasting = lengths > 0
    lengths, means = lengths[lasting], means[lasting]
    starts = np.flatnonzero(np.concatenate([[True], np.diff(means) != 0]))
    notes = []
    if len(starts) < len(lengths):
        notes.append(
            f"rows of equal current joined: {len(lengths):,} intervals, {len(starts):,} pieces"
        )
    charge = np.add.reduceat(lengths * means, starts)
    lengths = np.add.reduceat(lengths, starts)
    means = means[starts]
    if len(lengths) > largest_pieces:
        square = float(np.sum(lengths * means**2))
        edges = np.concatenate([[0.0], np.cumsum(lengths)])
        windows = np.linspace(0.0, edges[-1], largest_pieces + 1)
        passed = np.concatenate([[0.0], np.cumsum(charge)])
        means = np.diff(np.interp(windows, edges, passed)) / np.diff(windows)
        lengths = np.diff(windows)
        kept = float(np.sum(lengths * means**2)) / square if square > 0 else 1.0
        notes.append(
            f"averaged to {largest_pieces:,} pieces of {lengths[0]:.3g} s: the charge is kept, "
            f"{100 * (1 - kept):.2f} % of the heating is lost"
        )
    demand = Demand(
        duration_s=lengths,
        current_a=means,
        power_w=np.zeros(len(lengths)),
        label=("log",) * len(lengths),
        repeats=repeats,
    )
    return demand, tuple(notes)
