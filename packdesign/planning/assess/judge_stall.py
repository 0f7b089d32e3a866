"""Verdicts on a held shaft: what it draws, for how long, what stands it, what the hand feels."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.demand.circuit import Machine
from packdesign.engineering.demand.load_torque import HELD_SHAFT
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.steady import SteadyPoint, steady_point
from packdesign.engineering.electrical.fuse import opening_time
from packdesign.engineering.electrical.protection import TripRisk, trip_risk
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.hardest_cell import HardestCell
from packdesign.planning.assess.loading import Loading, fed_circuit_at, start_degc
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_part
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.needs.parts import board_of, trip_of
from packdesign.planning.verdicts.current import burst_current, continuous_current
from packdesign.planning.verdicts.judge import Check, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_stall"]

_BURST_S: Final = 10.0
"""What lasts longer counts as continuous for a cell: common practice, no source. [s]"""
_SOURCE: Final = "held shaft on the full pack: voltage over resistance, or the driver's limit"
_AT_THE_LIMIT: Final = 0.999


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """One motor with its shaft held."""

    section: MotorSection
    driven: Driven
    point: SteadyPoint
    meant_s: float
    """Until the driver or the mission ends it; infinite where neither does. [s]"""
    guarded_s: float
    """Until fuse or board ends it for certain; infinite where neither does. [s]"""
    is_planned: bool
    """Whether the mission holds the shaft on purpose."""

    @property
    def lasts_s(self) -> float:
        """Longest time that the current flows. [s]"""
        return min(self.meant_s, self.guarded_s)

    @property
    def is_limited(self) -> bool:
        limit_a = self.driven.drive.current_limit_a
        return limit_a is not None and abs(self.point.motor_a) >= limit_a * _AT_THE_LIMIT

    @property
    def motor_w(self) -> float:
        """Heat in one winding. [W]"""
        return self.point.motor_a**2 * self.driven.machine.motor.resistance_ohm


def judge_stall(
    brief: Brief, design: PackDesign, loading: Loading, *, hardest: HardestCell
) -> Iterator[Verdict]:
    """Judge what happens while a shaft is held.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    hardest : HardestCell
        Share of the hardest-worked cell.

    Yields
    ------
    Verdict
        "stall_current" for the motor that draws the most; "jam_torque_" with the name of each motor
        whose torque on the hand is limited.
    """
    if loading.mission is None or not brief.all_motors:
        return
    circuit = fed_circuit_at(
        brief, design, loading.window, soc=1.0, temperature_degc=start_degc(brief)
    )
    driven, typical = driven_of(brief, hungriest=True), driven_of(brief)
    held = []
    for section in brief.all_motors:
        each = driven[section.name]
        machine = replace(each.machine, load=HELD_SHAFT)
        try:
            point = steady_point(circuit=circuit, machine=machine, drive=each.drive)
        except OutOfRangeError:
            yield _collapse(section)
            continue
        found = _Held(
            section=section,
            driven=each,
            point=point,
            meant_s=_meant_s(brief, section, each),
            guarded_s=_guarded_s(brief, pack_a=point.pack_a),
            is_planned=_is_planned(brief, section),
        )
        held.append(found)
        yield from _jam_torque(found, typical[section.name].machine)
    if held:
        worst = max(held, key=lambda each: each.point.pack_a)
        yield _stall_current(brief, design, worst, hardest=hardest)


def _meant_s(brief: Brief, section: MotorSection, driven: Driven) -> float:
    """Longest time that driver and mission hold a shaft under power. [s]"""
    timeout_s = driven.drive.stall_timeout_s
    if timeout_s is not None:
        return timeout_s
    return max(_planned_s(brief, section), default=math.inf)


def _is_planned(brief: Brief, section: MotorSection) -> bool:
    return bool(_planned_s(brief, section))


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


def _collapse(section: MotorSection) -> Verdict:
    return Verdict(
        id="stall_current",
        status=Status.STOP,
        reason=f"With the shaft of {section.name} held, the pack cannot carry motor and rails: its "
        "voltage collapses and everything on it resets.",
        fix="Set a current limit in the driver, or take a stiffer pack.",
        basis=Basis.PUBLISHED,
        source=_SOURCE,
    )


def _stall_current(
    brief: Brief, design: PackDesign, held: _Held, *, hardest: HardestCell
) -> Verdict:
    """Hold the cell against the stall, and say what driver, fuse and board do meanwhile."""
    cell_a = held.point.pack_a / design.parallel * hardest.share
    if held.lasts_s > _BURST_S:
        judged = continuous_current(cell=design.cell, load_a=cell_a)
    else:
        judged = burst_current(cell=design.cell, load_a=cell_a, lasts_s=held.lasts_s)
    limited = " (the driver's limit holds it down)" if held.is_limited else ""
    motor_a, pack_a = spoken(abs(held.point.motor_a), "A"), spoken(held.point.pack_a, "A")
    each = " in each motor" if held.section.count > 1 else ""
    is_endless = not math.isfinite(held.meant_s)
    ends = f"for {spoken(held.meant_s, 's')}"
    if is_endless:
        guarded = math.isfinite(held.guarded_s)
        ends = f"with nothing {'but fuse and board ' if guarded else ''}to end it"
    words = [
        f"With the shaft held, {held.section.name} takes {motor_a}{each}{limited} and {pack_a} "
        f"from the pack, {ends}.",
        judged.reason,
        *_fuse_words(brief, held),
        *_board_words(brief, held),
    ]
    status, fix = judged.status, judged.fix
    if status is Status.STOP and not held.is_planned:
        status = Status.CAUTION
    if is_endless:
        words.append(f"{spoken(held.motor_w, 'W')} of heat go into the winding meanwhile.")
        fix = " ".join(["Give the driver a current limit and a stall timeout.", fix]).strip()
        status = Status.CAUTION if status is Status.OK else status
    return Verdict(
        id="stall_current",
        status=status,
        value=cell_a,
        limit=judged.limit,
        unit="A",
        margin=judged.margin,
        reason=" ".join(words),
        fix=fix,
        basis=judged.basis,
        source=f"{_SOURCE}; {judged.source}",
    )


def _fuse_words(brief: Brief, held: _Held) -> Iterator[str]:
    fuse = fuse_part(brief.pack)
    if fuse is None:
        return
    opens = opening_time(fuse, current_a=held.point.pack_a)
    if held.meant_s < opens.shortest_s:
        yield f"The {fuse.name} fuse holds meanwhile."
    elif math.isinf(opens.longest_s):
        yield f"The {fuse.name} fuse need not open at that current."
    else:
        yield (
            f"The {fuse.name} fuse blows in {spoken(opens.shortest_s, 's')} to "
            f"{spoken(opens.longest_s, 's')} of it."
        )


def _board_words(brief: Brief, held: _Held) -> Iterator[str]:
    board = board_of(brief.pack)
    if board is None or board.kind != "board":
        return
    risk = trip_risk(
        trip_of(brief.pack),
        delay_s=board.overcurrent_delay_s,
        load_a=held.point.pack_a,
        load_s=held.meant_s,
    )
    yield {
        TripRisk.NEVER: "The protection board stays on.",
        TripRisk.MAY: "The protection board may trip: then all is dark until it is reset.",
        TripRisk.WILL: "The protection board trips: then all is dark until it is reset.",
        TripRisk.UNKNOWN: "Whether the protection board trips is not known.",
    }[risk]


def _jam_torque(held: _Held, machine: Machine) -> Iterator[Verdict]:
    """Torque on the hand once the tool jams: the motor's full torque, whatever the ramp."""
    drive = held.section.drive
    limit_nm = drive.reaction_torque_limit_nm if drive is not None else None
    if limit_nm is None:
        return
    torque_nm = machine.count * machine.motor.held_torque_nm(current_a=held.point.motor_a)
    allowed_a = machine.motor.current_holding_a(torque_nm=limit_nm / machine.count)
    yield at_most(
        Check(
            id=f"jam_torque_{slug(held.section.name)}",
            what=f"the torque of {held.section.name} on the hand when the tool jams",
            value=torque_nm,
            against="the limit set for it",
            limit=limit_nm,
            unit="N m",
            fix=f"Set the driver's current limit to {spoken(allowed_a, 'A')} or less, add a side "
            "handle or a clutch; no ramp helps here.",
            find_out="Say how much torque the hand shall feel.",
            basis=Basis.PUBLISHED,
            source="motor constants and gear at the current of a held shaft",
            may_stop=False,
        )
    )
