"""Every shaft held at once, as in a device that is stuck: what flows, and until what ends it."""

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

__all__ = ["HeldAtOnce", "held_at_once"]

_HOT_DEGC: Final = 120.0
"""Winding that has stood under current, where the brief says nothing: wire of insulation class E
bears that much (IEC 60085, from memory). [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldAtOnce:
    """Every shaft held at one moment."""

    sections: tuple[MotorSection, ...]
    machines: tuple[Machine, ...]
    found: HeldShafts
    moment: str
    meant_s: float
    """Until the drivers or the mission end it; infinite where neither does. [s]"""
    guarded_s: float
    """Until fuse or board ends it for certain; infinite where neither does. [s]"""
    is_planned: bool
    """Whether the mission holds a shaft on purpose."""

    @property
    def lasts_s(self) -> float:
        """Longest time that the current flows. [s]"""
        return min(self.meant_s, self.guarded_s)

    @property
    def winding_w(self) -> float:
        """Heat in the hottest winding. [W]"""
        pairs = zip(self.found.motor_a, self.machines, strict=True)
        return max(amperes**2 * machine.motor.resistance_ohm for amperes, machine in pairs)


def held_at_once(brief: Brief, design: PackDesign, loading: Loading) -> tuple[HeldAtOnce, ...]:
    """Hold every shaft at each of the moments at which that may take the most.

    Parameters
    ----------
    brief : Brief
        The brief; it has a motor.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.

    Raises
    ------
    OverloadError
        If the pack cannot carry motors and rails.
    """
    return tuple(
        _held(brief, moment, _held_at(moment, brief.all_motors))
        for moment in _moments(brief, design, loading)
    )


def _held(brief: Brief, moment: _Moment, found: HeldShafts) -> HeldAtOnce:
    """Add how long it lasts."""
    sections = brief.all_motors
    motors = [moment.driven[section.name] for section in sections]
    return HeldAtOnce(
        sections=sections,
        machines=tuple(each.machine for each in motors),
        found=found,
        moment=moment.name,
        meant_s=max(
            _meant_s(brief, section, each) for section, each in zip(sections, motors, strict=True)
        ),
        guarded_s=_guarded_s(brief, pack_a=found.pack_a),
        is_planned=any(_planned_s(brief, section) for section in sections),
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


def _held_at(moment: _Moment, sections: Sequence[MotorSection]) -> HeldShafts:
    """Hold every shaft at one moment."""
    motors = [moment.driven[section.name] for section in sections]
    return held_shafts(
        circuit=moment.circuit, driven=[(each.machine, each.drive) for each in motors]
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


def _meant_s(brief: Brief, section: MotorSection, driven: Driven) -> float:
    """Longest time that driver and mission hold a shaft under power. [s]"""
    timeout_s = driven.drive.stall_timeout_s
    if timeout_s is not None:
        return timeout_s
    return max(_planned_s(brief, section), default=math.inf)


def _planned_s(brief: Brief, section: MotorSection) -> list[float]:
    actions = brief.mission.actions if brief.mission is not None else ()
    return [
        action.duration_s or 0.0
        for action in actions
        if action.do == "stall" and action.motor in (None, section.name)
    ]


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
