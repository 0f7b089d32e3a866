"""Verdicts on voltages and currents: windows of the devices, ratings of the cell, the mission."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.engineering.demand.profile import Demand
from packdesign.foundation.basis import Band, Basis, weakest
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_cell import HardestCell, hardest_cell
from packdesign.planning.assess.hardest_stretch import hardest_a, peak_lasts_s, stretch_words
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts import current, performance, voltage_window
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "judge_currents",
    "judge_run_time",
    "judge_voltages",
    "peak_current_a",
    "wished_run_time_s",
    "worst_bus_v",
]

_ROUNDING: Final = 1e-9
"""How far a run time may fall short of a use by rounding alone. [-]"""
_AT_ONCE_S: Final = 60.0
"""A run shorter than this and than one use has failed at once: own choice. [s]"""
_FULL_READING: Final = 0.005
"""How far past full still counts as full, for rounding and the grid of times: own choice. [-]"""
_MODEL: Final = "simulated from the datasheet; the band is the model's spread"


def judge_voltages(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    held: frozenset[str] = frozenset(),
) -> Iterator[Verdict]:
    """Judge the full and the sagging pack against the window of every device.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.
    held : frozenset of str
        Rails that a capacitor carries through the dip of the worst start.
    """
    window = loading.window
    if window.highest_v < float("inf"):
        yield voltage_window.device_maximum(
            device=window.highest_device,
            full_v=design.full_v,
            maximum_v=window.highest_v,
            source="stated in the brief",
            called=_called(brief, window.highest_device),
        )
    for motor in brief.all_motors:
        if motor.drive is not None and motor.drive.max_v is not None:
            yield voltage_window.device_maximum(
                device=f"driver of {motor.name}",
                called=f"the driver of {motor.name}",
                full_v=design.full_v,
                maximum_v=motor.drive.max_v,
                source="stated in the brief",
            )
    for load in brief.all_loads:
        if load.rail == DIRECT and load.max_v is not None:
            yield voltage_window.device_maximum(
                device=load.name,
                full_v=design.full_v,
                maximum_v=load.max_v,
                source="stated in the brief",
            )
    demand = loading.demand
    if demand.minimum_v > 0:
        yield voltage_window.device_minimum(
            device=demand.minimum_v_device,
            worst_v=outcome.min_voltage_v
            if demand.minimum_v_device in held
            else worst_bus_v(loading, outcome),
            minimum_v=demand.minimum_v,
            basis=weakest(design.model.cell.basis, Basis.PUBLISHED),
            source=_MODEL,
            called=_called(brief, demand.minimum_v_device),
            note="" if loading.worst is None else loading.worst.charge.words,
        )


def _called(brief: Brief, device: str) -> str:
    """Say what a device is; a rail is often named by its voltage alone."""
    is_rail = any(rail.name == device for rail in brief.rails)
    return f"the regulator of rail {device}" if is_rail else f"the {device}"


def worst_bus_v(loading: Loading, outcome: DischargeOutcome) -> Band:
    """Lowest voltage at the driver, at the worst moment; without motors that of the run. [V]

    Parameters
    ----------
    loading : Loading
        What is asked of the pack.
    outcome : DischargeOutcome
        What it does.
    """
    worst = loading.worst
    if worst is None or worst.likely.lowest_bus_v is None:
        return outcome.min_voltage_v
    unlucky_v = worst.unlucky.lowest_bus_v
    likely_v = float(worst.likely.lowest_bus_v)
    low_v = likely_v if unlucky_v is None else min(float(unlucky_v), likely_v)
    ordinary = loading.mission.summary.lowest_bus_v if loading.mission is not None else None
    high_v = likely_v if ordinary is None else float(ordinary) - loading.lifted_v
    low_v, likely_v = (max(volts - worst.lifted_v, 0.0) for volts in (low_v, likely_v))
    return Band(low_v, likely_v, max(high_v, likely_v))


def peak_current_a(loading: Loading, outcome: DischargeOutcome) -> float:
    """Give the largest current of the pack at any instant of any case. [A]

    Parameters
    ----------
    loading : Loading
        What is asked of the pack.
    outcome : DischargeOutcome
        What it does.
    """
    peaks = [outcome.summary.peak_current_a]
    if loading.mission is not None:
        peaks.append(loading.mission.summary.transient_peak_a)
    if loading.worst is not None:
        peaks.append(loading.worst.likely.transient_peak_a)
    return max(peaks)


def judge_currents(
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    hardest: HardestCell | None = None,
) -> Iterator[Verdict]:
    """Judge steady and peak current of a cell against its ratings, and the mission itself.

    Steady is any stretch that lasts longer than a burst may.

    Parameters
    ----------
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.
    hardest : HardestCell or None
        Share of the hardest-worked cell; None: of new cells of one batch.
    """
    shared = hardest_cell(design) if hardest is None else hardest
    to_cell = shared.share / design.parallel
    peak_a = peak_current_a(loading, outcome)
    burst_s = current.longest_burst_s(design.cell)
    load_a = to_cell * hardest_a(design, loading, outcome, at_least_s=burst_s)
    steady = current.continuous_current(cell=design.cell, load_a=load_a)
    words = stretch_words(load_a, to_cell * outcome.summary.rms_current_a, at_least_s=burst_s)
    yield _said(replace(steady, reason=f"{steady.reason} {words}".rstrip()), shared)
    yield _said(
        current.burst_current(
            cell=design.cell,
            load_a=peak_a * to_cell,
            lasts_s=peak_lasts_s(design, loading, outcome, peak_a=peak_a),
        ),
        shared,
    )
    yield from _possible(loading, outcome)
    yield from _overcharged(outcome)


def _possible(loading: Loading, outcome: DischargeOutcome) -> Iterator[Verdict]:
    """Say what goes wrong in the mission, and whether the pack gets through one use at all."""
    found = list(_problems(loading))
    runs_s, use_s = outcome.run_time_s.mid, loading.demand.period_s
    if loading.demand.repeats and runs_s < use_s * (1.0 - _ROUNDING):
        status = Status.STOP if runs_s < _AT_ONCE_S else Status.CAUTION
        words = (
            f"The pack does not get through one use of {spoken(use_s, 's')}: it ends after "
            f"{spoken(runs_s, 's')} ({outcome.ends_by})."
        )
        found.insert(0, (status, words))
    elif found:
        use = "one use" if loading.demand.repeats else "all that is asked"
        words = (
            f"The time is not what fails: the whole run of {spoken(runs_s, 's')} is held against "
            f"{use}, {spoken(use_s, 's')}."
        )
        found.append((Status.OK, words))
    if not found:
        return
    yield Verdict(
        id="mission_possible",
        status=Status.STOP if Status.STOP in {each for each, _ in found} else Status.CAUTION,
        value=runs_s,
        limit=use_s,
        unit="s",
        reason=" ".join(words for _, words in found),
        fix="Ease the load, gear down, raise the current limit, or use a stiffer or larger pack.",
        basis=Basis.PUBLISHED,
        source="coupled transient of motor, load, driver and pack; discharge of the pack",
    )


def _overcharged(outcome: DischargeOutcome) -> Iterator[Verdict]:
    """Say where a load that feeds back, as a log of braking does, fills the pack past full."""
    highest = float(max(outcome.trace.soc))
    if highest <= 1.0 + _FULL_READING:
        return
    yield Verdict(
        id="overcharged_in_use",
        status=Status.STOP,
        value=highest,
        limit=1.0,
        unit="",
        margin=1.0 - highest,
        reason=f"What the load feeds back would fill the pack to {100 * highest:.0f} % of its "
        "capacity: an overcharged cell can burst and burn.",
        fix="Start less full, brake without feeding back, or have a board that cuts off the "
        "charge; if the log counts discharge as negative, say so in the brief.",
        basis=Basis.PUBLISHED,
        source="charge counted over the demand",
    )


def _problems(loading: Loading) -> Iterator[tuple[Status, str]]:
    """What fails on an ordinary day, in the cold and near empty, and then with bad luck besides."""
    seen: set[str] = set()
    worst = loading.worst
    for when, status, summary in (
        ("", Status.STOP, None if loading.mission is None else loading.mission.summary),
        ("Cold and near empty: ", Status.STOP, None if worst is None else worst.likely),
        (
            "Cold, near empty and with an unlucky cell and motor: ",
            Status.CAUTION,
            None if worst is None else worst.unlucky,
        ),
    ):
        for problem in () if summary is None else summary.problems:
            action = problem.split(":")[0]
            if action not in seen:
                seen.add(action)
                said = f"{when}{problem}" if when else f"{problem[:1].upper()}{problem[1:]}"
                yield status, said.rstrip(".") + "."


def _said(verdict: Verdict, shared: HardestCell) -> Verdict:
    """Add to the reason which cell was judged."""
    return replace(verdict, reason=f"{verdict.reason} {shared.words}".rstrip())


def judge_run_time(
    brief: Brief,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    own_stop_s: float | None = None,
) -> Iterator[Verdict]:
    """Judge the run time against the wish, where there is one.

    Parameters
    ----------
    brief : Brief
        The brief.
    loading : Loading
        What is asked of the pack.
    outcome : DischargeOutcome
        What it does.
    own_stop_s : float or None
        When the device stops by itself in the likely run; None: the pack ends it. [s]
    """
    wished_s = wished_run_time_s(brief, loading.demand)
    if wished_s is None:
        return
    notes = [_two_wishes(brief, loading)]
    runtime_s = outcome.run_time_s
    if own_stop_s is not None and own_stop_s < runtime_s.mid:
        runtime_s = runtime_s.scaled(own_stop_s / runtime_s.mid)
        notes.append("It is counted until the device stops by itself, before the pack is empty.")
    yield performance.run_time(
        runtime_s=runtime_s,
        wished_s=wished_s,
        note=" ".join(each for each in notes if each),
        basis=Basis.PUBLISHED,
        source=_MODEL,
    )


def _two_wishes(brief: Brief, loading: Loading) -> str:
    """Say which of two wishes holds where the brief gives a time and uses."""
    mission = brief.mission
    if mission is None or mission.run_time_s is None or mission.uses is None:
        return ""
    uses_s = mission.uses * loading.demand.period_s
    holds = "uses hold" if uses_s > mission.run_time_s else "run time holds"
    return (
        f"The brief wants both a run time ({spoken(mission.run_time_s, 's')}) and {mission.uses} "
        f"uses ({spoken(uses_s, 's')}): the longer counts, so the {holds}."
    )


def wished_run_time_s(brief: Brief, demand: Demand) -> float | None:
    """Give how long the pack shall run from one charge, by time or by uses, or None. [s]

    Where the brief gives both, the longer counts.

    Parameters
    ----------
    brief : Brief
        The brief.
    demand : Demand
        What is asked of the pack; a use is one period of it.
    """
    mission = brief.mission
    if mission is None:
        return None
    wishes = [
        mission.run_time_s,
        None if mission.uses is None else mission.uses * demand.period_s,
    ]
    return max((each for each in wishes if each is not None), default=None)
