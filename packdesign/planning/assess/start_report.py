"""What each motor takes when it starts, runs and stalls, and the ramp that just passes.

Taken from two moments: the full pack at its usual temperature, where stall and inrush are highest,
and the coldest near-empty pack, where the rail is lowest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from packdesign.engineering.demand.backwards import Found, StartLimits, shortest_ramp
from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.load_torque import HELD_SHAFT
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.steady import SteadyPoint, steady_point
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, fed_circuit_at
from packdesign.planning.assess.start_ways import ways_to_start
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.needs.parts import trip_of

__all__ = ["StartReport", "start_reports"]

_FULL: Final = "full pack, usual temperature"
_EMPTY: Final = "cold, near empty"
_BEYOND: Final = "the pack cannot carry motors and rails when cold and near empty, at any ramp"
_AT_THE_LIMIT: Final = 0.999


@dataclass(frozen=True, slots=True, kw_only=True)
class StartReport:
    """Currents, lowest rail and ramp of one motor, or of like motors switched together."""

    motor: str
    count: int
    start_battery_a: float
    """Largest current of the pack in a start, rails included. [A]"""
    start_motor_a: float
    """Largest current of one motor meanwhile. [A]"""
    steady_battery_a: float | None
    """Current of the full pack once the motor runs its own load; None: it cannot carry that. [A]"""
    steady_motor_a: float | None
    steady_is_stalled: bool
    """Whether the motor cannot turn its load at all."""
    stall_battery_a: float | None
    """Current of the full pack with the shaft held; None: it cannot carry that. [A]"""
    stall_motor_a: float | None
    stall_is_limited: bool
    """Whether the driver's current limit holds it down."""
    lowest_rail_v: float | None
    """Lowest voltage at the driver in a start from the worst moment; None: it collapsed. [V]"""
    lowest_rail_time_s: float
    """When, from the start; of the collapse where it collapsed. [s]"""
    lowest_rail_when: str
    needed_rail_v: float
    """Least voltage at which everything on the pack still works. [V]"""
    ramp_s: float
    """Ramp of the brief. [s]"""
    passing: Found | None
    """Shortest ramp that keeps every limit, for an unlucky cell and motor too. [s]"""
    passing_note: str
    """Why there is no such ramp, empty where there is."""
    ways: tuple[str, ...] = ()
    """What would let it start where no ramp does, or it stands still; a sentence each."""
    traces: Mapping[str, TransientResult] = field(default_factory=dict)
    """Each start over time, by the words of its moment; for drawing."""


def start_reports(brief: Brief, design: PackDesign, loading: Loading) -> tuple[StartReport, ...]:
    """Report on the start of each motor.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.

    Returns
    -------
    tuple of StartReport
        Empty where a log stands for the demand, or nothing turns.
    """
    if loading.mission is None or not brief.all_motors:
        return ()
    unlucky = driven_of(brief, hungriest=True)
    likely = driven_of(brief)
    found = []
    for section in brief.all_motors:
        limits = _limits(section, design, brief, needed_v=loading.demand.minimum_v)
        unlucky_corners = _corners(brief, design, loading, is_unlucky=True)
        passing, note = None, _BEYOND
        if loading.worst is not None:
            passing, note = _passing(unlucky_corners, unlucky[section.name], limits)
        corners = _corners(brief, design, loading)
        report = _report(section, corners, likely[section.name], loading, passing, note)
        ways: tuple[str, ...] = ()
        is_lacking = passing is None or report.steady_is_stalled
        if limits is not None and loading.worst is not None and is_lacking:

            def wider(count: int) -> dict[str, Circuit]:
                model = replace(design.model, parallel=count)
                wide = replace(design, model=model)
                return _corners(brief, wide, loading, is_unlucky=True)

            ways = ways_to_start(
                unlucky_corners,
                unlucky[section.name],
                limits,
                wider=wider,
                parallel=design.parallel,
            )
        found.append(replace(report, ways=ways))
    return tuple(found)


def _corners(
    brief: Brief, design: PackDesign, loading: Loading, *, is_unlucky: bool = False
) -> dict[str, Circuit]:
    """Circuits of both moments; the worst is left out where the pack cannot carry it at all."""
    moments, worst = {_FULL: (1.0, start_degc(brief), 1.0)}, loading.worst
    if worst is not None:
        factor = worst.resistance_factor if is_unlucky else 1.0
        moments[_EMPTY] = (worst.soc, worst.temperature_degc, factor)
    return {
        corner: fed_circuit_at(
            brief,
            design,
            loading.window,
            soc=soc,
            temperature_degc=degc,
            resistance_factor=resistance,
        )
        for corner, (soc, degc, resistance) in moments.items()
    }


def _limits(
    section: MotorSection, design: PackDesign, brief: Brief, *, needed_v: float
) -> StartLimits | None:
    """Collect what a start must not do; None where nothing is known."""
    cell = design.cell
    trip_a = trip_of(brief.pack)
    drive = section.drive
    burst_a = cell.pulse_a if cell.pulse_a is not None else cell.continuous_a
    given = {
        "lowest_bus_v": needed_v or None,
        "largest_pack_a": None if trip_a is None else trip_a.low,
        "largest_cell_a": burst_a,
        "largest_motor_a": section.max_current_a,
        "largest_hand_nm": drive.reaction_torque_limit_nm if drive is not None else None,
    }
    if all(value is None for value in given.values()):
        return None
    return StartLimits(**given)


def _passing(
    corners: Mapping[str, Circuit], driven: Driven, limits: StartLimits | None
) -> tuple[Found | None, str]:
    if limits is None:
        return None, "no limit is known that a start could break"
    try:
        found = shortest_ramp(
            corners=corners, machine=driven.machine, drive=driven.drive, limits=limits
        )
    except OutOfRangeError as error:
        return None, str(error)
    return found, ""


def _report(
    section: MotorSection,
    corners: Mapping[str, Circuit],
    driven: Driven,
    loading: Loading,
    passing: Found | None,
    note: str,
) -> StartReport:
    machine, drive = driven.machine, driven.drive
    starts = {}
    for corner, circuit in corners.items():
        try:
            starts[corner] = simulate_start(circuit=circuit, machine=machine, drive=drive)
        except OutOfRangeError:
            continue
    running = _settled(corners[_FULL], machine, drive)
    held = replace(machine, load=HELD_SHAFT)
    stalled = _settled(corners[_FULL], held, drive)
    stall_a = None if stalled is None else abs(stalled.motor_a)
    limit_a = drive.current_limit_a
    lowest_v, lowest_s, when = _lowest(starts)
    return StartReport(
        motor=section.name,
        count=machine.count,
        start_battery_a=max((each.wire.peak_a for each in starts.values()), default=0.0),
        start_motor_a=max((each.motor.peak_a for each in starts.values()), default=0.0),
        steady_battery_a=None if running is None else running.pack_a,
        steady_motor_a=None if running is None else abs(running.motor_a),
        steady_is_stalled=running is None or running.stalled,
        stall_battery_a=None if stalled is None else stalled.pack_a,
        stall_motor_a=stall_a,
        stall_is_limited=bool(limit_a and stall_a and stall_a >= limit_a * _AT_THE_LIMIT),
        lowest_rail_v=lowest_v,
        lowest_rail_time_s=lowest_s,
        lowest_rail_when=when,
        needed_rail_v=loading.demand.minimum_v,
        ramp_s=drive.ramp_s,
        passing=passing,
        passing_note=note,
        traces=starts,
    )


def _settled(circuit: Circuit, machine: Machine, drive: Drive) -> SteadyPoint | None:
    """Give where the machine settles; None where the pack cannot carry it for long."""
    try:
        return steady_point(circuit=circuit, machine=machine, drive=drive)
    except OutOfRangeError:
        return None


def _lowest(starts: Mapping[str, TransientResult]) -> tuple[float | None, float, str]:
    """Lowest rail over the starts, when, and in which; a collapse before any voltage."""
    for corner, result in starts.items():
        if result.collapsed_at_s is not None:
            return None, result.collapsed_at_s, corner
    if not starts:
        return None, 0.0, "nothing that turns has any inertia"
    corner = min(starts, key=lambda each: starts[each].lowest_bus_v)
    return starts[corner].lowest_bus_v, starts[corner].lowest_bus_time_s, corner
