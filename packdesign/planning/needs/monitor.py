"""The monitor of a brief: the controller's input, and resistors that exist already."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.data.batch_spread import batch_spread
from packdesign.data.controllers import controller_rows
from packdesign.foundation.basis import Basis
from packdesign.planning.brief.charge_sections import Monitor
from packdesign.planning.brief.schema import Brief
from packdesign.planning.gauge.adc import Adc, best_adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.pack import Wished
from packdesign.planning.gauge.sampling import adc_with_capacitor
from packdesign.planning.needs.parts import board_of

__all__ = [
    "DEFAULT_CONTROLLER",
    "adc_of",
    "behind_fraction",
    "divider_of",
    "start_lasts_s",
    "wished_levels",
]

DEFAULT_CONTROLLER: Final = "ATmega328P/PB"
"""Input that is assumed where the brief names none: common on hobby boards."""
_DEFAULT_SUPPLY_V: Final = 5.0
_INTERVAL_S: Final = 0.1
"""Time between two readings: half the shortest time that a threshold must hold. [s]"""
_USUAL_START_S: Final = 1.0
"""How long a start lasts where the brief tells of none: own choice. [s]"""
_SAME_REFERENCE_V: Final = 0.05


def adc_of(brief: Brief) -> Adc:
    """Give the input that reads the pack.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    UnknownNameError
        If the controller is not in the table and the brief does not give bits and reference.
    """
    monitor = brief.monitor or Monitor()
    if monitor.controller is None and monitor.adc_bits and monitor.reference_v:
        return _with_own_figures(_plain_adc(monitor), monitor)
    rows = controller_rows(monitor.controller or DEFAULT_CONTROLLER)
    if monitor.adc_bits is not None:
        rows = tuple(
            replace(row, bits=monitor.adc_bits) if row.bits is None else row for row in rows
        )
    wanted_v = monitor.reference_v
    fitting = [
        row
        for row in rows
        if wanted_v is not None
        and row.reference_v is not None
        and abs(row.reference_v - wanted_v) < _SAME_REFERENCE_V
    ]
    supply_v = wanted_v if wanted_v is not None and not fitting else _DEFAULT_SUPPLY_V
    return _with_own_figures(best_adc(fitting or rows, supply_v=supply_v), monitor)


def divider_of(brief: Brief) -> Divider | None:
    """Give the resistors that exist already, or None where they are still to be chosen.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    monitor = brief.monitor
    if monitor is None or monitor.r_top_ohm is None or monitor.r_bottom_ohm is None:
        return None
    tolerance = monitor.resistor_tolerance_fraction
    return Divider(
        r_top_ohm=monitor.r_top_ohm,
        r_bottom_ohm=monitor.r_bottom_ohm,
        tolerance_fraction=0.01 if tolerance is None else tolerance,
    )


def behind_fraction(brief: Brief, *, parallel: int) -> float:
    """Give the charge by which the weakest group may be behind, where nothing sees it. [-]

    Parameters
    ----------
    brief : Brief
        The brief: its monitor or its board may watch each group.
    parallel : int
        Cells in a group. [-]
    """
    board = board_of(brief.pack)
    is_seen = board is not None and board.watches_each_group
    if is_seen or (brief.monitor is not None and brief.monitor.per_group):
        return 0.0
    return batch_spread("single").group_behind_fraction(parallel=parallel)


def wished_levels(brief: Brief) -> Wished:
    """Give the voltages per cell at which the builder wants the device to act.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    monitor = brief.monitor or Monitor()
    return Wished(
        warn_v=monitor.warn_per_cell_v,
        limit_v=monitor.limit_per_cell_v,
        stop_v=monitor.stop_per_cell_v,
        hard_cut_v=monitor.hard_cut_per_cell_v,
    )


def start_lasts_s(brief: Brief) -> float:
    """Give how long the longest start lasts, that the stop has to wait out. [s]

    Parameters
    ----------
    brief : Brief
        The brief: its starts and the ramps of its drives.
    """
    actions = brief.mission.actions if brief.mission is not None else ()
    told = [each.duration_s for each in actions if each.do == "start"]
    told += [motor.drive.ramp_up_s for motor in brief.all_motors if motor.drive is not None]
    return max((each for each in told if each), default=_USUAL_START_S)


def _plain_adc(monitor: Monitor) -> Adc:
    reference_v = monitor.reference_v or 0.0
    return Adc(
        name="own controller",
        bits=monitor.adc_bits or 10,
        reference_v=reference_v,
        reference_tolerance_fraction=monitor.reference_tolerance_fraction or 0.02,
        input_max_v=reference_v,
        basis=Basis.MEASURED,
        source="stated in the brief",
    )


def _with_own_figures(adc: Adc, monitor: Monitor) -> Adc:
    given = {
        "bits": monitor.adc_bits,
        "reference_tolerance_fraction": monitor.reference_tolerance_fraction,
        "max_source_ohm": monitor.source_resistance_max_ohm,
    }
    known = {name: value for name, value in given.items() if value is not None}
    told = replace(adc, **known)  # type: ignore[arg-type]
    if not monitor.capacitor_f:
        return told
    return adc_with_capacitor(told, capacitor_f=monitor.capacitor_f, interval_s=_INTERVAL_S)
