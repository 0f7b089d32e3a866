"""What is said beside the thresholds, the same on terminal, page and sheet."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.gauge.service import Gauge

__all__ = [
    "gauge_notes",
    "hold_words",
    "raised_words",
    "sag_words",
    "softened_words",
    "unseen_words",
]

_PERCENT: Final = 100.0
_SEEN_V: Final = 0.005
"""Difference between two voltages that shows in print. [V]"""


def raised_words(found: Gauge) -> str:
    """Say which counts are raised by the error of a reading, and what they would be without it.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One or two sentences; empty where no count is raised.
    """
    raised = [each for each in found.firmware if each.counts > each.plain_counts]
    if not raised:
        return ""
    names = ", ".join(
        f"{each.name.replace('_', ' ')} to {each.acts_v:.2f} V ({each.plain_counts} without)"
        for each in raised
    )
    return (
        "Counts raised by what a reading may be off, so that a device that reads high still acts "
        f"in time: {names}. They act above the volts beside them; calibrate each device and the "
        "plain counts will do."
    )


def unseen_words(found: Gauge) -> str:
    """Say why the hard cut stands above the cells' cut-off where only the sum of groups is seen.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One sentence; empty where that lifts nothing.
    """
    pack = found.pack
    plain_v = max(pack.series * pack.cell_cutoff_v, pack.rail_minimum_v)
    if pack.floor_v - plain_v < _SEEN_V:
        return ""
    percent = _PERCENT * pack.behind_fraction
    return (
        f"Nothing watches each group, so the floor is {pack.floor_v:.2f} V and not {plain_v:.2f} "
        f"V: a group that is {percent:.1f} % behind the others, as in one batch balanced when "
        "full, is at its cut-off there already."
    )


def sag_words(found: Gauge) -> str:
    """Say how cold and how old the cells are whose charge stands beside the thresholds.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One sentence; empty where nothing is told of it.
    """
    when = found.pack.sagged_when
    if not when:
        return ""
    return (
        f"At rest and charge left are for {when}, which sag most: warmer or newer ones have less "
        "charge left at the same reading."
    )


def softened_words(found: Gauge) -> str:
    """Say how far starts have to be softened from the limit on.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One sentence; empty where a start at full power does not reach from the stop to the hard
        cut.
    """
    pack, acting = found.pack, found.acting
    taken_v = pack.curve.start_v(
        floor_v=acting.hard_cut.loaded_v, more_a=pack.peak_a - pack.working_a
    )
    if acting.stop.loaded_v - taken_v >= acting.hard_cut.loaded_v:
        return ""
    return (
        f"From the limit on let no start draw more than {pack.softened_a:.3g} A: one at full power "
        f"({pack.peak_a:.3g} A) may reach the hard cut before the stop has been counted."
    )


def hold_words(found: Gauge) -> str:
    """Say where the stop cannot wait out a start, and what the maker may decide.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        Some sentences; empty where the hold spans a start.
    """
    pack, hold_s = found.pack, found.thresholds.stop.hold_s
    if hold_s >= pack.start_s:
        return ""
    return (
        f"A start lasts {spoken_time(pack.start_s)}, the hold of the stop {spoken_time(hold_s)}: "
        f"at {pack.peak_a:.3g} A a longer one would run the pack down well below the stop before "
        "it is counted. So a long start on a low pack may end the work. It is for the maker to "
        "decide: let it end so, forbid starts from the limit on, or shorten them; if most of that "
        "time is work at speed, give the brief the run-up as its start and the rest as a hold."
    )


def gauge_notes(found: Gauge) -> tuple[str, ...]:
    """Give what is to be said beside the thresholds, nothing where all is plain.

    Parameters
    ----------
    found : Gauge
        The gauge.
    """
    said = (
        sag_words(found),
        unseen_words(found),
        raised_words(found),
        softened_words(found),
        hold_words(found),
    )
    return tuple(words for words in said if words)
