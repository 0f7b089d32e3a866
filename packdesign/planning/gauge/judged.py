"""Verdicts on a gauge: whether its thresholds and its reading can do their work."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

from packdesign.foundation.basis import Band
from packdesign.planning.gauge.sampling import least_capacitor_f
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.verdicts.judge import Check, at_least, at_most
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["gauge_verdicts"]

_PERCENT: Final = 100.0
_NANO_PER_UNIT: Final = 1e9
_ROUNDING_V: Final = 1e-9
"""Rounding of the arithmetic. [V]"""
_LARGEST_ERROR_PERCENT: Final = 3.0
"""Reading error beyond which thresholds mean little: 0.1 V of 3.3 V; chosen here. [%]"""


def gauge_verdicts(found: Gauge) -> tuple[Verdict, ...]:
    """Judge a gauge: floor, order, starts and room of its thresholds, error, pin, impedance.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    tuple of Verdict
        "gauge_floor", "gauge_order", "gauge_start", "gauge_room", "gauge_error", "gauge_pin",
        "gauge_source", and "gauge_drain" where the builder limits it.
    """
    drain = () if math.isinf(found.most_drain_a) else (at_most(_drain(found)),)
    return (
        at_least(_floor(found)),
        at_least(_order(found)),
        at_least(_start(found)),
        at_least(_room(found)),
        at_most(_error(found)),
        at_most(_pin(found)),
        at_most(_impedance(found)),
        *drain,
    )


def _room(found: Gauge) -> Check:
    """Judge the thresholds as the firmware is given them, by the device that reads lowest too."""
    full_v = found.thresholds.loaded_full_v
    highest_v = max(each.acts_v for each in found.firmware)
    stop = found.firmware[2]
    read_v = found.read_v(pack_v=full_v)
    lowest_v = found.read_v(pack_v=full_v, lowest=True)
    fresh_v = found.thresholds.full_v - found.pack.working_a * found.pack.sudden_ohm(1.0)
    # what a load takes in an hour of cold it takes from a pack that has long warmed up or run down
    stops = max(read_v, found.read_v(pack_v=fresh_v)) < stop.acts_v
    return Check(
        id="gauge_room",
        what="the reading of the full pack under the working load",
        value=Band(low=min(lowest_v, read_v), mid=read_v, high=read_v),
        against="the warning that the firmware is given",
        limit=highest_v,
        unit="V",
        fix="Lower the pack's resistance, the starting current or the rail's minimum, or read the "
        "voltage more closely (calibrate each device): as it is, the device "
        + ("stops with a full pack." if stops else "warns from the first minute."),
        find_out="",
        source="own design of the thresholds",
        may_stop=stops,
    )


def _error(found: Gauge) -> Check:
    return Check(
        id="gauge_error",
        what="the worst error of a reading",
        value=found.error.worst_fraction * _PERCENT,
        against="what thresholds can bear",
        limit=_LARGEST_ERROR_PERCENT,
        unit="%",
        fix="Calibrate each device once against a meter, use closer resistors or a better "
        "reference.",
        find_out="",
        source=found.adc.source,
        may_stop=False,
    )


def _pin(found: Gauge) -> Check:
    return Check(
        id="gauge_pin",
        what="the highest voltage at the pin",
        value=found.divider.highest_pin_v(pack_v=found.thresholds.full_v),
        against="what the input reads",
        limit=found.adc.input_max_v,
        unit="V",
        fix="Raise the upper resistor.",
        find_out="",
        basis=found.adc.basis,
        source=found.adc.source,
    )


def _impedance(found: Gauge) -> Check:
    return Check(
        id="gauge_source",
        what="the impedance that the pin sees",
        value=found.divider.source_ohm,
        against="the highest source impedance of the input",
        limit=found.adc.max_source_ohm,
        unit="ohm",
        fix=f"Use smaller resistors, sample longer, or put {_capacitor(found)} at the pin.",
        find_out="",
        basis=found.adc.basis,
        source=found.adc.source,
        may_stop=False,
    )


def _capacitor(found: Gauge) -> str:
    """Name the capacitor that feeds the samples: the least that does, in nanofarads."""
    least_nf = math.ceil(least_capacitor_f(found.adc) * _NANO_PER_UNIT)
    return f"a capacitor of {least_nf} nF or more (monitor.capacitor in the brief)"


def _drain(found: Gauge) -> Check:
    return Check(
        id="gauge_drain",
        what="the drain of the divider",
        value=found.divider.drain_a(pack_v=found.thresholds.full_v),
        against="what the brief lets it draw",
        limit=found.most_drain_a,
        unit="A",
        fix=f"Put {_capacitor(found)} at the pin so that larger resistors do, buffer the divider, "
        "or switch it off between readings.",
        find_out="",
        source="stated in the brief",
        may_stop=False,
    )


def _floor(found: Gauge) -> Check:
    return Check(
        id="gauge_floor",
        what="the hard cut",
        value=found.thresholds.hard_cut.loaded_v,
        against="the cells' cut-off or the rails' minimum",
        limit=found.pack.floor_v,
        unit="V",
        fix=f"Raise the hard cut to {found.pack.floor_v:.2f} V or more.",
        find_out="",
        source="the cell's own datasheet",
    )


def _order(found: Gauge) -> Check:
    """Judge what the firmware compares, as it is given and as it is once calibrated."""
    closest = min(
        upper - lower
        for counts in (
            [constant.counts for constant in found.firmware],
            [constant.plain_counts for constant in found.firmware],
        )
        for upper, lower in pairwise(counts)
    )
    return Check(
        id="gauge_order",
        what="the least distance between two neighbouring thresholds",
        value=float(closest),
        against="what two readings of one voltage may differ by",
        limit=float(found.adc.apart_counts),
        unit="counts",
        fix="Set warn, limit, stop and hard cut further apart, or read the voltage more closely: "
        "more bits, a converter with less error, or resistors that use more of its range.",
        find_out="",
        source="own design of the thresholds",
    )


def _start(found: Gauge) -> Check:
    """Judge whether a start can reach the hard cut while the stop still waits out its hold."""
    pack, acting = found.pack, found.acting
    cut_v = acting.hard_cut.loaded_v
    curve = pack.curve
    full_v = curve.start_v(floor_v=cut_v, more_a=pack.peak_a - pack.working_a)
    soft_v = curve.start_v(floor_v=cut_v, more_a=pack.softened_a - pack.working_a)
    left_v = min(acting.stop.loaded_v - soft_v, acting.limit.loaded_v - full_v)
    return Check(
        id="gauge_start",
        what="the least that a start leaves (full at the limit, softened at the stop)",
        value=left_v,
        against="the hard cut that the firmware is given",
        limit=cut_v,
        unit="V",
        fix="Raise limit and stop, or soften starts further: as it is, the hard cut may come "
        "before the stop has been counted.",
        find_out="",
        tolerance=_ROUNDING_V,
        source="own design of the thresholds; a softened start draws half of what a full one draws "
        "beyond the working current, own choice",
        may_stop=False,
    )
