"""Shafts that are held: what flows, and until what ends it.

Two things hold a shaft under power. A device that is stuck holds all of them, until a driver lets
go or fuse or board cuts; what the mission plans ends no jam. A stall that the mission plans holds
the shafts it names, at its own duty, for its own time, in every use.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.held import HeldShafts, held_shafts
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.motor_case import SHEET_DEGC
from packdesign.engineering.electrical.fuse_opening import opening_time
from packdesign.engineering.electrical.protection import TripRisk, trip_risk
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, fed_circuit_at
from packdesign.planning.assess.worst_charge import USUAL_WORST_SOC
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_part
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.needs.motors import driven_of, known_motors
from packdesign.planning.needs.parts import board_of, trip_of
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict, gravity

__all__ = ["HeldAtOnce", "gravest", "held_at_once"]

_HOT_DEGC: Final = 120.0
"""Winding that has stood under current, where the brief says nothing: wire of insulation class E
bears that much (IEC 60085, from memory). [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldAtOnce:
    """Shafts held at one moment."""

    sections: tuple[MotorSection, ...]
    """Motors whose shafts are held; those that a planned stall leaves out rest meanwhile."""
    machines: tuple[Machine, ...]
    found: HeldShafts
    moment: str
    meant_s: float
    """Until the drivers end it, or the mission where it is planned; infinite where neither does.
    [s]"""
    guarded_s: float
    """Until fuse or board ends it for certain; infinite where neither does. [s]"""
    is_planned: bool
    """Whether the mission holds these shafts on purpose; otherwise the device is stuck."""

    @property
    def lasts_s(self) -> float:
        """Longest time that the current flows. [s]"""
        return min(self.meant_s, self.guarded_s)

    @property
    def ends(self) -> str:
        """What ends it, as words."""
        if not math.isfinite(self.lasts_s):
            return "with nothing to end it"
        by = "until the driver lets go"
        if self.guarded_s < self.meant_s:
            by = "until fuse or board has surely cut it"
        elif self.is_planned:
            by = "as the mission plans it"
        return f"for {spoken(self.lasts_s, 's')}, {by}"

    @property
    def winding_w(self) -> float:
        """Heat in the hottest winding. [W]"""
        pairs = zip(self.found.motor_a, self.machines, strict=True)
        return max(amperes**2 * machine.motor.resistance_ohm for amperes, machine in pairs)


def held_at_once(brief: Brief, design: PackDesign, loading: Loading) -> tuple[HeldAtOnce, ...]:
    """Hold shafts in each way that they may be, at each of the moments that may take the most.

    Parameters
    ----------
    brief : Brief
        The brief; it has a motor.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.

    Returns
    -------
    tuple of HeldAtOnce
        The device that is stuck, at every moment, and each stall that the mission plans.

    Raises
    ------
    OverloadError
        If the pack cannot carry motors and rails.
    """
    return tuple(
        _held(brief, moment, grip)
        for moment in _moments(brief, design, loading)
        for grip in (_stuck(brief), *_planned(brief))
    )


def gravest(found: Sequence[tuple[Verdict, HeldAtOnce]]) -> Verdict:
    """Tell the worst of the verdicts on held shafts; a planned stall that hurts is told as one.

    Parameters
    ----------
    found : sequence of tuple of Verdict and HeldAtOnce
        One check, in each way that shafts may be held.

    Returns
    -------
    Verdict
        The worst planned stall where it is as grave as the worst jam and not ok, else that jam;
        either tells of the other too where that is not ok.
    """
    stuck = _worst([verdict for verdict, held in found if not held.is_planned])
    planned = [verdict for verdict, held in found if held.is_planned]
    if not planned:
        return stuck
    meant = _worst(planned)
    if meant.status is Status.OK:
        return stuck
    if gravity(meant.status) < gravity(stuck.status):
        return _with(stuck, meant, when="In the stall that the mission plans")
    return _with(meant, stuck, when="In a jam that nobody plans")


def _worst(found: Sequence[Verdict]) -> Verdict:
    def badness(verdict: Verdict) -> tuple[int, float]:
        return gravity(verdict.status), math.inf if verdict.value is None else verdict.value

    return max(found, key=badness)


def _with(told: Verdict, other: Verdict, *, when: str) -> Verdict:
    """Add what another verdict says, where it is not ok."""
    if other.status is Status.OK:
        return told
    fix = told.fix if other.fix in told.fix else f"{told.fix} {other.fix}"
    also = f"{when}, {other.reason[:1].lower()}{other.reason[1:]}"
    if other.reason == told.reason:
        also = f"{when} it is the same."
    return replace(told, reason=f"{told.reason} {also}", fix=fix)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grip:
    """Which shafts are held, and for how long they stay under power."""

    sections: tuple[MotorSection, ...]
    meant_s: float
    """Until driver or mission ends it. [s]"""
    is_planned: bool = False
    duty: float | None = None
    """None: that of each drive. [-]"""


def _stuck(brief: Brief) -> _Grip:
    """Hold every shaft until the last driver lets go: nobody plans when a jam ends."""
    sections = brief.all_motors
    return _Grip(sections=sections, meant_s=max(_timeout_s(section) for section in sections))


def _planned(brief: Brief) -> Iterator[_Grip]:
    """Hold the shafts of each stall of the mission, as long as it says and its driver lets it."""
    actions = brief.mission.actions if brief.mission is not None else ()
    for action in actions:
        sections = tuple(
            section for section in brief.all_motors if action.motor in (None, section.name)
        )
        if action.do != "stall" or not sections:
            continue
        wished_s = (action.duration_s or 0.0) * action.repeats
        yield _Grip(
            sections=sections,
            meant_s=max(min(wished_s, _timeout_s(section)) for section in sections),
            is_planned=True,
            duty=action.duty_fraction,
        )


def _timeout_s(section: MotorSection) -> float:
    """Time after which its driver lets a held shaft go; infinite where it does not. [s]"""
    timeout_s = section.drive.stall_timeout_s if section.drive is not None else None
    return math.inf if timeout_s is None else timeout_s


def _held(brief: Brief, moment: _Moment, grip: _Grip) -> HeldAtOnce:
    """Find what flows, and how long it lasts."""
    motors = [moment.driven[section.name] for section in grip.sections]
    drives = [
        each.drive if grip.duty is None else replace(each.drive, duty=grip.duty) for each in motors
    ]
    machines = tuple(each.machine for each in motors)
    found = held_shafts(circuit=moment.circuit, driven=list(zip(machines, drives, strict=True)))
    return HeldAtOnce(
        sections=grip.sections,
        machines=machines,
        found=found,
        moment=moment.name,
        meant_s=grip.meant_s,
        guarded_s=_guarded_s(brief, pack_a=found.pack_a),
        is_planned=grip.is_planned,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """When shafts are held."""

    name: str
    circuit: Circuit
    driven: dict[str, Driven]


def _moments(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[_Moment]:
    """When held shafts take the most: unlimited ones cold and full, limited ones hot and empty.

    Limited ones take the most at the lowest voltage at which their limit still holds them down,
    which need not be the lowest that they meet. The full pack has had no time to sag.
    """
    window, worst = loading.window, loading.worst
    full = fed_circuit_at(brief, design, window, soc=1.0, temperature_degc=start_degc(brief))
    yield _Moment(
        name="cold, on the full pack",
        circuit=replace(full, source=replace(full.source, rc_ohm=(), rc_time_s=())),
        driven=driven_of(brief, hungriest=True),
    )
    if worst is None:
        return
    cell = design.model.cell
    for name, share in (
        ("near-empty", worst.charge.share),
        ("near-empty", USUAL_WORST_SOC),
        ("half-empty", 0.5),
        ("full", 1.0),
    ):
        soc = cell.soc_within_reach(share, temperature_degc=worst.temperature_degc)
        yield _Moment(
            name=f"hot, on the cold, {name} pack",
            circuit=fed_circuit_at(
                brief, design, window, soc=soc, temperature_degc=worst.temperature_degc
            ),
            driven=_hot(brief),
        )


def _hot(brief: Brief) -> dict[str, Driven]:
    """Give the motors with windings that have stood under current."""
    motors, driven = known_motors(brief), driven_of(brief)
    for section in brief.all_motors:
        stated = section.winding_degc
        rise_k = (_HOT_DEGC if stated is None else stated) - SHEET_DEGC
        motor = motors[section.name].at_temperature(winding_rise_k=rise_k).typical()
        each = driven[section.name]
        driven[section.name] = replace(each, machine=replace(each.machine, motor=motor))
    return driven


def _guarded_s(brief: Brief, *, pack_a: float) -> float:
    """Time after which fuse or board has surely cut the current. [s]"""
    fuse = fuse_part(brief.pack)
    longest_s = math.inf if fuse is None else opening_time(fuse, current_a=pack_a).longest_s
    delay_s = _delay_s(brief)
    if trip_risk(trip_of(brief.pack), delay_s=delay_s, load_a=pack_a) is TripRisk.WILL:
        longest_s = min(longest_s, 2 * (delay_s or 0.0))
    return longest_s


def _delay_s(brief: Brief) -> float | None:
    board = board_of(brief.pack)
    return None if board is None else board.overcurrent_delay_s
