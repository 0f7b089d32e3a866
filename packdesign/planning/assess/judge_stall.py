"""Verdict on held shafts: what they draw, for how long, and what stands it."""

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
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OverloadError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.hardest_cell import HardestCell
from packdesign.planning.assess.loading import Loading, fed_circuit_at
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_part
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.needs.motors import driven_of, known_motors
from packdesign.planning.needs.parts import board_of, trip_of
from packdesign.planning.verdicts.current import burst_current, continuous_current
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_stall"]

_BURST_S: Final = 10.0
"""What lasts longer counts as continuous for a cell: common practice, no source. [s]"""
_SOURCE: Final = (
    "held shaft: voltage over resistance, or the driver's limit; the worse of a cold winding on "
    "the full pack and a hot one on the cold, near-empty pack"
)
_HOT_DEGC: Final = 120.0
"""Winding that has stood under current, where the brief says nothing: wire of insulation class E
bears that much (IEC 60085, from memory). [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """Every shaft held at once, at the worse of two moments."""

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
        "stall_current" for all shafts held at once, as in a device that is stuck.
    """
    if loading.mission is None or not brief.all_motors:
        return
    sections = brief.all_motors
    moments = list(_moments(brief, design, loading))
    try:
        shafts = [_held_at(moment, sections) for moment in moments]
    except OverloadError:
        yield _collapse(brief)
        return
    moment, found = max(zip(moments, shafts, strict=True), key=lambda pair: pair[1].pack_a)
    motors = [moment.driven[section.name] for section in sections]
    held = _Held(
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
    yield _stall_current(brief, design, held, hardest=hardest)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """When shafts are held."""

    name: str
    circuit: Circuit
    driven: dict[str, Driven]


def _moments(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[_Moment]:
    """When held shafts take the most: unlimited ones cold and full, limited ones hot and empty.

    The full pack has had no time to sag.
    """
    window, worst = loading.window, loading.worst
    full = fed_circuit_at(brief, design, window, soc=1.0, temperature_degc=start_degc(brief))
    yield _Moment(
        name="cold, on the full pack",
        circuit=replace(full, source=replace(full.source, rc_ohm=(), rc_time_s=())),
        driven=driven_of(brief, hungriest=True),
    )
    if worst is not None:
        yield _Moment(
            name="hot, on the cold, near-empty pack",
            circuit=fed_circuit_at(
                brief, design, window, soc=worst.soc, temperature_degc=worst.temperature_degc
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


def _collapse(brief: Brief) -> Verdict:
    return Verdict(
        id="stall_current",
        status=Status.STOP,
        reason=f"With {_shafts(brief.all_motors)} held, the pack cannot carry motor and rails: its "
        "voltage collapses and everything on it resets.",
        fix="Set a current limit in the driver, or take a stiffer pack.",
        basis=Basis.PUBLISHED,
        source=_SOURCE,
    )


def _shafts(sections: Sequence[MotorSection]) -> str:
    if len(sections) == 1:
        return f"the shaft of {sections[0].name}"
    return f"the shafts of {' and '.join(section.name for section in sections)} at once"


def _stall_current(
    brief: Brief, design: PackDesign, held: _Held, *, hardest: HardestCell
) -> Verdict:
    """Hold the cell against the stall, and say what driver, fuse and board do meanwhile."""
    cell_a = held.found.pack_a / design.parallel * hardest.share
    if held.lasts_s > _BURST_S:
        judged = continuous_current(cell=design.cell, load_a=cell_a)
    else:
        judged = burst_current(cell=design.cell, load_a=cell_a, lasts_s=held.lasts_s)
    is_endless = not math.isfinite(held.meant_s)
    ends = f"for {spoken(held.meant_s, 's')}"
    if is_endless:
        guarded = math.isfinite(held.guarded_s)
        ends = f"with nothing {'but fuse and board ' if guarded else ''}to end it"
    words = [
        f"With {_shafts(held.sections)} held, {_taken(held)}, and the pack gives "
        f"{spoken(held.found.pack_a, 'A')}, {ends}. That is the most, with the windings "
        f"{held.moment}.",
        judged.reason,
        *_fuse_words(brief, held),
        *_board_words(brief, held),
    ]
    status, fix = judged.status, judged.fix
    if status is Status.STOP and not held.is_planned:
        status = Status.CAUTION
    if is_endless:
        words.append(f"{spoken(held.winding_w, 'W')} of heat go into the winding meanwhile.")
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


def _taken(held: _Held) -> str:
    """What each motor takes."""
    found = held.found
    each = []
    for section, amperes, limited in zip(
        held.sections, found.motor_a, found.is_limited, strict=True
    ):
        many = " in each motor" if section.count > 1 else ""
        limit = " (the driver's limit holds it down)" if limited else ""
        each.append(f"{section.name} takes {spoken(amperes, 'A')}{many}{limit}")
    return ", ".join(each)


def _fuse_words(brief: Brief, held: _Held) -> Iterator[str]:
    fuse = fuse_part(brief.pack)
    if fuse is None:
        return
    opens = opening_time(fuse, current_a=held.found.pack_a)
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
        load_a=held.found.pack_a,
        load_s=held.meant_s,
    )
    yield {
        TripRisk.NEVER: "The protection board stays on.",
        TripRisk.MAY: "The protection board may trip: then all is dark until it is reset.",
        TripRisk.WILL: "The protection board trips: then all is dark until it is reset.",
        TripRisk.UNKNOWN: "Whether the protection board trips is not known.",
    }[risk]
