"""Verdict on held shafts: what they draw, for how long, and what stands it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from packdesign.engineering.electrical.fuse_opening import opening_time
from packdesign.engineering.electrical.protection import TripRisk, trip_risk
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OverloadError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.hardest_cell import HardestCell
from packdesign.planning.assess.held_at_once import HeldAtOnce, gravest, held_at_once
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_part
from packdesign.planning.needs.parts import board_of, trip_of
from packdesign.planning.verdicts.current import LONGEST_BURST_S, burst_current, continuous_current
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_stall"]

_SOURCE: Final = (
    "held shaft: voltage over resistance, or the driver's limit; the worst of a cold winding on "
    "the full pack and hot ones on the cold pack, full to near empty"
)


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
        "stall_current" for all shafts held at once, as in a device that is stuck, and for what the
        mission holds on purpose.
    """
    if loading.mission is None or not brief.all_motors:
        return
    try:
        moments = held_at_once(brief, design, loading)
    except OverloadError:
        yield _collapse(brief)
        return
    found = [(_stall_current(brief, design, held, hardest=hardest), held) for held in moments]
    yield gravest(found)


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
    brief: Brief, design: PackDesign, held: HeldAtOnce, *, hardest: HardestCell
) -> Verdict:
    """Hold the cell against the stall, and say what driver, fuse and board do meanwhile."""
    cell_a = held.found.pack_a / design.parallel * hardest.share
    if held.lasts_s > LONGEST_BURST_S:
        judged = continuous_current(cell=design.cell, load_a=cell_a)
    else:
        judged = burst_current(cell=design.cell, load_a=cell_a, lasts_s=held.lasts_s)
    is_endless = not math.isfinite(held.meant_s)
    ends = held.ends
    if is_endless and math.isfinite(held.guarded_s):
        ends = "with nothing but fuse and board to end it"
    words = [
        f"With {_shafts(held.sections)} held, {_taken(held)}, and the pack gives "
        f"{spoken(held.found.pack_a, 'A')}, {ends}. That is the worst, with the windings "
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


def _taken(held: HeldAtOnce) -> str:
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


def _fuse_words(brief: Brief, held: HeldAtOnce) -> Iterator[str]:
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


def _board_words(brief: Brief, held: HeldAtOnce) -> Iterator[str]:
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
