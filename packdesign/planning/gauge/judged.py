"""Verdicts on a gauge: whether its thresholds and its reading can do their work."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

from packdesign.planning.gauge.sampling import least_capacitor_f
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.verdicts.judge import Check, at_least, at_most
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["gauge_verdicts"]

_PERCENT: Final = 100.0
_NANO_PER_UNIT: Final = 1e9
_LARGEST_ERROR_PERCENT: Final = 3.0
"""Reading error beyond which thresholds mean little: 0.1 V of 3.3 V; chosen here. [%]"""


def gauge_verdicts(found: Gauge) -> tuple[Verdict, ...]:
    """Judge a gauge: floor, order and room of its thresholds, error, pin voltage, impedance.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    tuple of Verdict
        "gauge_floor", "gauge_order", "gauge_room", "gauge_error", "gauge_pin", "gauge_source", and
        "gauge_drain" where the builder limits it.
    """
    drain = () if math.isinf(found.most_drain_a) else (at_most(_drain(found)),)
    return (
        at_least(_floor(found)),
        at_least(_order(found)),
        at_least(_room(found)),
        at_most(_error(found)),
        at_most(_pin(found)),
        at_most(_impedance(found)),
        *drain,
    )


def _room(found: Gauge) -> Check:
    return Check(
        id="gauge_room",
        what="the full pack under the working load",
        value=found.thresholds.loaded_full_v,
        against="the warning voltage",
        limit=found.thresholds.warn.loaded_v,
        unit="V",
        fix="Lower the pack's resistance, the starting current or the rail's minimum, or read the "
        "voltage more closely: as it is, the device warns from the first minute.",
        find_out="",
        source="own design of the thresholds",
        may_stop=False,
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
    levels = [level.loaded_v for level in found.thresholds.in_order]
    closest_v = min(upper - lower for upper, lower in pairwise(levels))
    return Check(
        id="gauge_order",
        what="the least distance between two thresholds",
        value=closest_v,
        against="the error of the converter",
        limit=found.error.converter_v,
        unit="V",
        fix="Set warn, limit, stop and hard cut further apart, or read the voltage more closely.",
        find_out="",
        source="own design of the thresholds",
    )
