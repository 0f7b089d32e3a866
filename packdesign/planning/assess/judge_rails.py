"""Verdicts on the rails: room over each regulator, what it must give, what hangs on it, hold-up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.demand.hold_up import LARGEST_CAPACITOR_F, HoldUp, hold_up
from packdesign.engineering.demand.rail_tree import Rail, RailTree
from packdesign.engineering.demand.rails import Draw
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, WorstMoment, fed_circuit_at, within_window_v
from packdesign.planning.brief.load_sections import DIRECT, Load
from packdesign.planning.brief.load_sections import Rail as RailSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.needs.parts import regulator_part
from packdesign.planning.needs.rails import rail_tree_of
from packdesign.planning.verdicts import performance
from packdesign.planning.verdicts.judge import Check, at_least, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_hold_up", "judge_rails"]

_SCHOTTKY_V: Final = 0.4
"""Drop of the diode ahead of a hold-up capacitor, where nobody says: from memory. [V]"""
_STATED: Final = "stated in the brief"


def judge_rails(
    brief: Brief, loading: Loading, *, worst_bus_v: Band, held: frozenset[str] = frozenset()
) -> Iterator[Verdict]:
    """Judge every regulator, and every load against the rail that feeds it.

    Parameters
    ----------
    brief : Brief
        The brief.
    loading : Loading
        What is asked of the pack.
    worst_bus_v : Band
        Lowest voltage where the rails are fed, at the worst moment. [V]
    held : frozenset of str
        Rails that a capacitor carries through that moment.

    Yields
    ------
    Verdict
        "rail_headroom_" and "rail_current_" with the name of the rail, "load_voltage_" with that
        of the load.
    """
    tree = rail_tree_of(brief)
    sections = {section.name: section for section in brief.rails}
    for rail in tree.rails:
        section = sections[rail.name]
        is_tightest = rail.name == loading.demand.minimum_v_device
        if not is_tightest and rail.name not in held:
            yield from _headroom(rail, section, tree, worst_bus_v)
        yield from _output(rail, section, tree)
    output_v = {rail.name: rail.regulator.output_v for rail in tree.rails}
    for load in brief.loads:
        if load.rail in output_v:
            yield from _load_voltage(load, output_v[load.rail])


def _headroom(
    rail: Rail, section: RailSection, tree: RailTree, worst_bus_v: Band
) -> Iterator[Verdict]:
    """Room over what a regulator needs, at the deepest sag or behind the rail that feeds it."""
    feeder = next((each for each in tree.rails if each.name == rail.fed_by), None)
    found = worst_bus_v if feeder is None else Band.exact(feeder.regulator.output_v)
    lowers = section.kind in ("buck", "linear")
    if not lowers and rail.regulator.lowest_input_v is None:
        return
    part = regulator_part(section)
    dropout_v: float | None = rail.regulator.dropout_v
    printed_v = rail.regulator.lowest_input_v
    if lowers and printed_v is None and section.dropout_v is None and not rail.regulator.dropout_v:
        dropout_v = None
    yield performance.rail_headroom(
        rail=rail.name,
        worst_input_v=found,
        output_v=rail.regulator.output_v if lowers else 0.0,
        dropout_v=dropout_v if lowers else 0.0,
        minimum_v=printed_v,
        basis=Basis.PUBLISHED if part is None else part.basis,
        source=_STATED if part is None else part.source,
    )


def _output(rail: Rail, section: RailSection, tree: RailTree) -> Iterator[Verdict]:
    """What hangs on a rail against what its regulator can give."""
    part = regulator_part(section)
    limit_a = section.max_output_a
    if limit_a is None and part is not None:
        limit_a = part.output_most_a
    if limit_a is None:
        return
    mean_a, peak_a = (_asked_a(rail, tree, is_peak=is_peak) for is_peak in (False, True))
    yield at_most(
        Check(
            id=f"rail_current_{slug(rail.name)}",
            what=f"the output current of rail {rail.name}",
            value=Band(mean_a, mean_a, max(peak_a, mean_a)),
            against="what its regulator gives",
            limit=limit_a,
            unit="A",
            fix="Use a stronger regulator, split the loads over two, or never run all of them at "
            "their most together.",
            find_out="Find the highest output current of the regulator.",
            basis=Basis.MEASURED if part is None else part.basis,
            source=_STATED if part is None else part.source,
        )
    )


def _asked_a(rail: Rail, tree: RailTree, *, is_peak: bool) -> float:
    """Current that loads and further regulators ask of a rail. [A]"""
    volts = rail.regulator.output_v
    asked = Draw()
    for load in tree.loads:
        if load.rail == rail.name:
            asked += load.peak if is_peak else load.mean
    for behind in tree.rails:
        if behind.fed_by == rail.name:
            asked += behind.regulator.draw(
                output_a=_asked_a(behind, tree, is_peak=is_peak), input_v=volts
            )
    return asked.at_a(voltage_v=volts)


def _load_voltage(load: Load, rail_v: float) -> Iterator[Verdict]:
    """Whether a load bears the voltage of its rail, and works at it."""
    low_v, high_v = load.min_v, load.max_v
    if low_v is None and high_v is None:
        return
    is_over = high_v is not None and rail_v > high_v
    is_under = low_v is not None and rail_v < low_v
    if low_v is None:
        wants = f"{spoken(high_v or 0.0, 'V')} at most"
    elif high_v is None:
        wants = f"{spoken(low_v, 'V')} or more"
    else:
        wants = f"{spoken(low_v)} to {spoken(high_v, 'V')}"
    nearest_v = high_v if is_over or low_v is None else low_v
    room_v = None
    if nearest_v:
        room_v = (nearest_v - rail_v if nearest_v == high_v else rail_v - nearest_v) / nearest_v
    yield Verdict(
        id=f"load_voltage_{slug(load.name)}",
        status=Status.STOP if is_over or is_under else Status.OK,
        value=rail_v,
        limit=nearest_v,
        unit="V",
        margin=room_v,
        reason=f"The rail of {load.name} gives {spoken(rail_v, 'V')}; it wants {wants}.",
        fix=f"Feed {load.name} from a rail of {wants}." if is_over or is_under else "",
        basis=Basis.MEASURED,
        source=_STATED,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Dip:
    """The longest time that the supply of a rail is too low, and where it began."""

    length_s: float
    before_v: float
    collapsed: bool


def judge_hold_up(
    brief: Brief, design: PackDesign, loading: Loading
) -> Iterator[tuple[str, Verdict]]:
    """Judge the capacitors that carry rails through the dip of the worst start.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.

    Yields
    ------
    tuple of str and Verdict
        The rail, and "hold_up_" with its name, in microfarads.
    """
    carried = [section for section in brief.rails if section.holdup_capacitor_f]
    if not carried or loading.worst is None or not brief.all_motors:
        return
    tree = rail_tree_of(brief)
    starts, before_v = _worst_starts(brief, design, loading, loading.worst)
    for section in carried:
        rail = next(each for each in tree.rails if each.name == section.name)
        if rail.fed_by != DIRECT:
            continue
        yield section.name, _held_up(rail, section, tree, starts, before_v=before_v)


def _worst_starts(
    brief: Brief, design: PackDesign, loading: Loading, worst: WorstMoment
) -> tuple[list[TransientResult], float]:
    """Start each motor with its hungriest figures from the unlucky pack at its worst moment.

    With them comes the voltage before, under the rails alone.
    """
    fed = fed_circuit_at(
        brief,
        design,
        loading.window,
        soc=worst.soc,
        temperature_degc=worst.temperature_degc,
        resistance_factor=worst.resistance_factor,
    )
    starts = []
    for each in driven_of(brief, hungriest=True).values():
        try:
            starts.append(simulate_start(circuit=fed, machine=each.machine, drive=each.drive))
        except OutOfRangeError:
            continue
    source = fed.source
    inside_v = within_window_v(source.open_circuit_v, loading.window)
    rails_a = fed.rails_a + fed.rails_w / inside_v
    before_v = source.open_circuit_v - source.settled_ohm * rails_a
    return starts, before_v


def _held_up(
    rail: Rail,
    section: RailSection,
    tree: RailTree,
    starts: list[TransientResult],
    *,
    before_v: float,
) -> Verdict:
    diode_v = _SCHOTTKY_V if section.holdup_diode_v is None else section.holdup_diode_v
    needed_v = rail.regulator.needed_input_v
    given_f = section.holdup_capacitor_f or 0.0
    dip = _longest_dip(starts, below_v=needed_v + diode_v, before_v=before_v)
    name = f"hold_up_{slug(rail.name)}"
    source = "transient of the worst start; capacitor law, C (V0^2 - V1^2) / (2 P)"
    if dip.length_s == 0 and not dip.collapsed:
        return Verdict(
            id=name,
            status=Status.OK,
            value=given_f * 1e6,
            limit=0.0,
            unit="uF",
            reason=f"The supply never falls below what rail {rail.name} needs behind its diode "
            f"({spoken(needed_v + diode_v, 'V')}): its capacitor is not even needed.",
            basis=Basis.PUBLISHED,
            source=source,
        )
    found = _carrier(rail, tree, dip, given_f=given_f, diode_v=diode_v)
    if not found.feasible or found.capacitor_f is None:
        return Verdict(
            id=name,
            status=Status.STOP,
            value=given_f * 1e6,
            limit=None if found.capacitor_f is None else found.capacitor_f * 1e6,
            unit="uF",
            reason=f"Rail {rail.name} goes down in the worst start: {found.reason}.",
            fix="Change the ramp, the cells, or where this rail is fed from.",
            basis=Basis.PUBLISHED,
            source=source,
        )
    needed_f = found.capacitor_f
    return at_least(
        Check(
            id=name,
            what=f"the capacitor of rail {rail.name}, for a dip of "
            f"{spoken(dip.length_s * 1000, 'ms')} in the worst start,",
            value=given_f * 1e6,
            against="what carries it through",
            limit=needed_f * 1e6,
            unit="uF",
            fix=f"Fit {spoken(needed_f * 1.3e6, 'uF')} or more behind the diode (30 % over, for "
            "its tolerance), or ramp more slowly.",
            find_out="Find the capacitance.",
            basis=Basis.PUBLISHED,
            source=source,
        )
    )


def _carrier(rail: Rail, tree: RailTree, dip: _Dip, *, given_f: float, diode_v: float) -> HoldUp:
    """Size the capacitor that carries a rail through a dip, or say that none can."""
    if dip.collapsed:
        return HoldUp(
            feasible=False,
            capacitor_f=None,
            reason="the supply collapses for good in the worst start: no capacitor can do this; "
            "make the ramp longer, take a stiffer pack, or feed this rail from its own cell",
        )
    regulator = rail.regulator
    input_v = max(regulator.needed_input_v, min(dip.before_v, regulator.allowed_input_v))
    taken = regulator.draw(output_a=_asked_a(rail, tree, is_peak=True), input_v=input_v)
    watts = taken.power_w + taken.current_a * dip.before_v
    return hold_up(
        supply_v=dip.before_v,
        lowest_v=regulator.needed_input_v,
        dip_s=dip.length_s,
        power_w=max(watts, 1e-9),
        diode_v=diode_v,
        largest_f=max(given_f, LARGEST_CAPACITOR_F),
    )


def _longest_dip(starts: list[TransientResult], *, below_v: float, before_v: float) -> _Dip:
    lengths = [start.time_outside_s(trace="bus_v", limit=below_v, below=True) for start in starts]
    return _Dip(
        length_s=max(lengths, default=0.0),
        before_v=before_v,
        collapsed=any(start.collapsed_at_s is not None for start in starts),
    )
