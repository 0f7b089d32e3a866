"""Every verdict on one pack under its own load, in the order in which a builder meets them."""

from __future__ import annotations

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_cell import hardest_cell
from packdesign.planning.assess.hardest_stretch import peak_lasts_s
from packdesign.planning.assess.judge_assumed import judge_assumed
from packdesign.planning.assess.judge_before_charge import judge_before_charge
from packdesign.planning.assess.judge_board import judge_board
from packdesign.planning.assess.judge_braking import judge_braking
from packdesign.planning.assess.judge_electrical import (
    judge_currents,
    judge_run_time,
    judge_voltages,
    peak_current_a,
    worst_bus_v,
)
from packdesign.planning.assess.judge_fuse import judge_fuse
from packdesign.planning.assess.judge_hot_motor import judge_hot_motor
from packdesign.planning.assess.judge_jam import judge_jam
from packdesign.planning.assess.judge_life import judge_carrying, judge_life
from packdesign.planning.assess.judge_log import judge_log
from packdesign.planning.assess.judge_measured import judge_measured
from packdesign.planning.assess.judge_motion import judge_motion
from packdesign.planning.assess.judge_overload import judge_overload
from packdesign.planning.assess.judge_place import judge_fit, judge_heat, judge_reserved
from packdesign.planning.assess.judge_pwm import judge_pwm
from packdesign.planning.assess.judge_rails import judge_hold_up, judge_rails
from packdesign.planning.assess.judge_run_up import judge_run_up
from packdesign.planning.assess.judge_stall import judge_stall
from packdesign.planning.assess.judge_stall_wiring import judge_stall_wiring
from packdesign.planning.assess.judge_wiring import judge_charge, judge_wiring
from packdesign.planning.assess.judge_worn import judge_worn
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.lot import judge_intake
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge"]


def judge(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    own_stop_s: float | None = None,
) -> tuple[Verdict, ...]:
    """Judge one pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does under that.
    own_stop_s : float or None
        When the device stops by itself in the likely run; None: not known, or not before the pack.
        [s]
    """
    peak_a = peak_current_a(loading, outcome)
    hardest = hardest_cell(design, brief)
    carried = tuple(judge_hold_up(brief, design, loading))
    held = frozenset(rail for rail, verdict in carried if verdict.status is Status.OK)
    return (
        *judge_assumed(brief),
        *judge_measured(brief, design),
        *judge_worn(brief, design),
        *judge_fit(design.arrangement),
        *judge_reserved(brief),
        *judge_overload(loading),
        *judge_voltages(brief, design, loading, outcome, held=held),
        *judge_rails(brief, loading, worst_bus_v=worst_bus_v(loading, outcome), held=held),
        *(verdict for _, verdict in carried),
        *judge_currents(design, loading, outcome, hardest=hardest),
        *judge_motion(brief, loading),
        *judge_run_up(brief, loading),
        *judge_pwm(brief, design, loading),
        *judge_hot_motor(brief, design, loading),
        *judge_stall(brief, design, loading, hardest=hardest),
        *judge_stall_wiring(brief, design, loading, outcome),
        *judge_jam(brief, design, loading),
        *judge_braking(brief, design, loading),
        *judge_run_time(brief, loading, outcome, own_stop_s=own_stop_s),
        *judge_log(loading, outcome),
        *judge_heat(brief, design, outcome),
        *judge_wiring(brief, design, loading, outcome),
        *judge_fuse(brief, design, loading, outcome, peak_a=peak_a, own_stop_s=own_stop_s),
        *judge_board(
            brief,
            design,
            loading,
            outcome,
            peak_a=peak_a,
            peak_s=peak_lasts_s(design, loading, outcome, peak_a=peak_a),
        ),
        *judge_charge(brief, design),
        *judge_before_charge(brief, design),
        *judge_intake(brief, design),
        *judge_life(brief, design, loading, outcome),
        *judge_carrying(brief, design),
    )
