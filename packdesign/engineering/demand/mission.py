"""A mission, action by action or by shares of time, as a demand on the pack with its summary."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from packdesign.engineering.demand.actions import Action, Deed, DeedResult, Standing, act
from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.polarisation import sagging
from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.demand.rail_tree import RailTree
from packdesign.engineering.demand.rails import Draw
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "Driven",
    "MissionDemand",
    "MissionSummary",
    "Mode",
    "actions_from_modes",
    "demand_of_mission",
]

_SHARE_SLACK = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Driven:
    """A machine with its driver."""

    machine: Machine
    drive: Drive
    lowest_v: float = 0.0
    """Least supply voltage the driver works at. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """A share of the time spent in one way of working."""

    action: Action
    """What is done; its duration does not count."""
    share_fraction: float
    """Share of the time. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class MissionSummary:
    """What one use of the device asks of the pack, at one battery voltage."""

    voltage_v: float
    """Battery voltage that powers were turned into currents at. [V]"""
    period_s: float
    """Length of one use, rest included. [s]"""
    mean_a: float
    """Mean current of the pack. [A]"""
    rms_a: float
    """Root-mean-square current of the pack. [A]"""
    piece_peak_a: float
    """Largest current of any piece of the demand. [A]"""
    transient_peak_a: float
    """Largest current of the pack at any instant of any transient, rails at their worst. [A]"""
    motor_peak_a: float
    """Largest current in any one motor. [A]"""
    lowest_bus_v: float | None
    """Lowest voltage at the driver in any transient or at the end of any piece, the pack as far
    sagged as it then is after many uses; None without motors. [V]"""
    highest_bus_v: float | None
    """Highest, from braking. [V]"""
    lowest_bus_action: str
    """The action it happens in."""
    peak_hand_nm: float
    """Largest torque on the hand. [N m]"""
    energy_per_use_wh: float
    """Energy out of the pack's terminals for one use. [Wh]"""
    charge_per_use_ah: float
    """Charge for one use. [Ah]"""
    problems: tuple[str, ...]
    """What goes wrong in which action; empty if nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MissionDemand:
    """The demand, its summary, and every action behind it."""

    demand: Demand
    summary: MissionSummary
    deeds: tuple[tuple[str, str, DeedResult], ...]
    """Action, machine and result, in order; the same action from the same standing stands once."""


def actions_from_modes(modes: Sequence[Mode], *, period_s: float = 600.0) -> tuple[Action, ...]:
    """Turn shares of time into actions one after the other; what is left over is rest.

    Parameters
    ----------
    modes : sequence of Mode
        Ways of working and their shares, together at most 1.
    period_s : float
        Length of one round through all of them. [s]

    Returns
    -------
    tuple of Action
        One action for each mode, and a rest if the shares do not fill the time.

    Raises
    ------
    OutOfRangeError
        If a share is not above 0 or they add up to more than 1.

    Examples
    --------
    >>> drive = Mode(action=Action(deed=Deed.HOLD, duration_s=1.0), share_fraction=0.25)
    >>> [(each.name, each.duration_s) for each in actions_from_modes([drive], period_s=100.0)]
    [('hold', 25.0), ('rest', 75.0)]
    """
    total = sum(mode.share_fraction for mode in modes)
    if not modes or min(mode.share_fraction for mode in modes) <= 0 or total > 1 + _SHARE_SLACK:
        msg = (
            f"the shares {[mode.share_fraction for mode in modes]} must each be above 0 and add "
            "up to 1 at most"
        )
        raise OutOfRangeError(msg)
    actions = [
        replace(mode.action, duration_s=mode.share_fraction * period_s, repeats=1) for mode in modes
    ]
    if total < 1 - _SHARE_SLACK:
        actions.append(Action(deed=Deed.REST, duration_s=(1 - total) * period_s))
    return tuple(actions)


_Situation = tuple[Action, tuple[Standing, ...]]


@dataclass(slots=True)
class _Tally:
    """What is gathered while the actions go by."""

    lengths: list[FloatArray] = field(default_factory=list)
    currents: list[FloatArray] = field(default_factory=list)
    powers: list[FloatArray] = field(default_factory=list)
    labels: list[str] = field(default_factory=list)
    deeds: list[tuple[str, str, DeedResult]] = field(default_factory=list)
    known: dict[_Situation, tuple[list[DeedResult], dict[str, Standing]]] = field(
        default_factory=dict
    )
    """What was solved already: the same action from the same standing is solved once."""
    peak_a: float = 0.0
    low_v: dict[str, float] = field(default_factory=dict)
    """Lowest voltage at the driver in any transient of an action, from a pack at rest. [V]"""
    high: float = 0.0

    def add(self, lengths: FloatArray, motors_a: FloatArray, rails: Draw, label: str) -> None:
        self.lengths.append(lengths)
        self.currents.append(motors_a + rails.current_a)
        self.powers.append(np.full(len(lengths), rails.power_w))
        self.labels += [label] * len(lengths)


def demand_of_mission(
    actions: Sequence[Action],
    *,
    circuit: Circuit,
    driven: Mapping[str, Driven],
    rails: RailTree | None = None,
    rest_between_uses_s: float = 0.0,
) -> MissionDemand:
    """Turn actions into the demand on the pack, and sum it up.

    Parameters
    ----------
    actions : sequence of Action
        One use of the device.
    circuit : Circuit
        The pack as it is for this purpose (half charged and warm for the energy, near empty and
        cold for the peaks) with its wires; its own ``rails_w`` and ``rails_a`` are replaced by
        those of ``rails`` at each action.
    driven : mapping of str to Driven
        Machines by name; empty for a device without motors.
    rails : RailTree or None
        Rails and loads, always on but for ``loads_off`` of an action.
    rest_between_uses_s : float
        Rest after each use. [s]

    Returns
    -------
    MissionDemand
        Demand that repeats use after use, summary, and the transients behind it.

    Raises
    ------
    OutOfRangeError
        If there is no action, or a regulator cannot work from this pack's voltage.
    UnknownNameError
        If an action names a machine that does not exist.

    Notes
    -----
    Motors are currents (duty times motor current), converters are powers. A change of duty is
    solved with all its sag; machines that change at once are solved each by itself, so their sags
    do not add.

    Examples
    --------
    >>> from packdesign.engineering.electrical.source import PackSource
    >>> from packdesign.engineering.demand.motor_case import MotorCase
    >>> motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.5)
    >>> wheel = Driven(machine=Machine(motor=motor, inertia_kg_m2=1e-5), drive=Drive(ramp_s=0.5))
    >>> found = demand_of_mission(
    ...     [Action(deed=Deed.START, duration_s=3600.0)],
    ...     circuit=Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=0.1)),
    ...     driven={"wheel": wheel})
    >>> round(found.summary.charge_per_use_ah, 3)
    0.5
    """
    if not actions:
        msg = "a mission needs at least one action or mode"
        raise OutOfRangeError(msg)
    tree, tally = rails or RailTree(), _Tally()
    standing = dict.fromkeys(driven, Standing())
    pause = [Action(deed=Deed.REST, duration_s=rest_between_uses_s)] if rest_between_uses_s else []
    for action in (*actions, *pause):
        if action.machine is not None and action.machine not in driven:
            raise UnknownNameError(kind="machine", name=action.machine, known=driven)
        _carry_out(action, circuit, driven, tree, standing, tally)
    return _summed_up(circuit, driven, tree, tally)


def _carry_out(
    action: Action,
    circuit: Circuit,
    driven: Mapping[str, Driven],
    tree: RailTree,
    standing: dict[str, Standing],
    tally: _Tally,
) -> None:
    open_v = circuit.source.open_circuit_v
    rails = tree.draw(battery_v=open_v, off=action.loads_off)
    worst = tree.draw(battery_v=open_v, off=action.loads_off, peak=True)
    fed = replace(circuit, rails_w=rails.power_w, rails_a=rails.current_a)
    once = replace(action, repeats=1)
    for _ in range(action.repeats):
        key = (once, tuple(standing.values()))
        if key not in tally.known:
            tally.known[key] = _once(once, fed, driven, standing)
            for name, result in zip(driven, tally.known[key][0], strict=True):
                tally.deeds.append((action.name, name, result))
            _watch(action, tally.known[key][0], (rails, worst), open_v, tally)
        results, after = tally.known[key]
        standing.update(after)
        lengths, currents = _together(action, results)
        tally.add(lengths, currents, rails, action.name)


def _once(
    action: Action, fed: Circuit, driven: Mapping[str, Driven], standing: Mapping[str, Standing]
) -> tuple[list[DeedResult], dict[str, Standing]]:
    results, after = [], {}
    for name, each in driven.items():
        mine = action.machine in (None, name)
        own = (
            action if mine else replace(action, deed=Deed.REST, duty=None, load=None, motor_a=None)
        )
        found = act(own, circuit=fed, machine=each.machine, drive=each.drive, before=standing[name])
        results.append(found)
        after[name] = found.after
    return results, after


def _together(action: Action, results: Sequence[DeedResult]) -> tuple[FloatArray, FloatArray]:
    """Add the currents of several machines over the pieces of all of them."""
    if not results:
        return np.array([action.duration_s]), np.array([0.0])
    if len(results) == 1:
        return results[0].duration_s, results[0].current_a
    ends = [np.cumsum(result.duration_s) for result in results]
    edges = np.unique(np.concatenate([[0.0], *ends]).round(12))
    edges = edges[np.concatenate([[True], np.diff(edges) > 1e-9])]
    middle = (edges[:-1] + edges[1:]) / 2
    total = np.zeros(len(middle))
    for end, result in zip(ends, results, strict=True):
        position = np.minimum(np.searchsorted(end, middle), len(end) - 1)
        total += np.where(middle <= end[-1], result.current_a[position], 0.0)
    return np.diff(edges), total


def _watch(
    action: Action,
    results: Sequence[DeedResult],
    draws: tuple[Draw, Draw],
    open_v: float,
    tally: _Tally,
) -> None:
    """Keep the peaks that the pieces average away; the rails at their worst come on top."""
    mean_a, worst_a = (draw.at_a(voltage_v=open_v) for draw in draws)
    peaks = 0.0
    for result in results:
        if result.transient is not None:
            trace = result.transient
            peaks += float(np.max(trace.pack_a)) - mean_a
            known_v = tally.low_v.get(action.name, np.inf)
            tally.low_v[action.name] = min(known_v, trace.lowest_bus_v)
            tally.high = max(tally.high, trace.highest_bus_v)
        elif result.steady is not None:
            peaks += result.steady.motors_battery_a
    tally.peak_a = max(tally.peak_a, peaks + worst_a)


def _summed_up(
    circuit: Circuit, driven: Mapping[str, Driven], tree: RailTree, tally: _Tally
) -> MissionDemand:
    window = tree.window()
    lowest = max(
        [(window.lowest_v, window.lowest_device)]
        + [(each.lowest_v, f"driver of {name}") for name, each in driven.items() if each.lowest_v]
    )
    demand = Demand(
        duration_s=np.concatenate(tally.lengths),
        current_a=np.concatenate(tally.currents),
        power_w=np.concatenate(tally.powers),
        label=tuple(tally.labels),
        minimum_v=lowest[0],
        minimum_v_device=lowest[1],
        repeats=True,
    )
    low = _lowest_bus(circuit, demand, tally) if driven else None
    return MissionDemand(
        demand=demand, summary=_summary(circuit, demand, tally, low), deeds=tuple(tally.deeds)
    )


def _lowest_bus(circuit: Circuit, demand: Demand, tally: _Tally) -> tuple[float, str]:
    """Lowest voltage at the driver, and the action it happens in."""
    sags = sagging(circuit, demand)
    ends = int(np.argmin(sags.bus_v))
    found = [(float(sags.bus_v[ends]), demand.label[ends])]
    labels = np.array(demand.label)
    for action, low_v in tally.low_v.items():
        found.append((low_v - float(np.max(sags.before_v[labels == action])), action))
    return min(found)


def _summary(
    circuit: Circuit, demand: Demand, tally: _Tally, low: tuple[float, str] | None
) -> MissionSummary:
    results = [result for _, _, result in tally.deeds]
    transients = [result.transient for result in results if result.transient is not None]
    points = [result.steady for result in results if result.steady is not None]
    motor_peaks = [trace.motor.peak_a for trace in transients]
    motor_peaks += [abs(point.motor_a) for point in points]
    voltage_v = circuit.source.open_circuit_v
    currents = demand.current_at_a(voltage_v=voltage_v)
    terminal_v = voltage_v - circuit.source.settled_ohm * currents
    charge_as = float(np.sum(demand.duration_s * currents))
    energy_j = float(np.sum(demand.duration_s * currents * terminal_v))
    return MissionSummary(
        voltage_v=voltage_v,
        period_s=demand.period_s,
        mean_a=demand.mean_current_a(voltage_v=voltage_v),
        rms_a=demand.rms_current_a(voltage_v=voltage_v),
        piece_peak_a=demand.peak_current_a(voltage_v=voltage_v),
        transient_peak_a=max(tally.peak_a, demand.peak_current_a(voltage_v=voltage_v)),
        motor_peak_a=max(motor_peaks, default=0.0),
        lowest_bus_v=None if low is None else low[0],
        highest_bus_v=None if low is None else max(tally.high, voltage_v),
        lowest_bus_action="" if low is None else low[1],
        peak_hand_nm=max((trace.peak_hand_nm for trace in transients), default=0.0),
        energy_per_use_wh=energy_j / SECONDS_PER_HOUR,
        charge_per_use_ah=charge_as / SECONDS_PER_HOUR,
        problems=tuple(dict.fromkeys(each.problem for each in results if each.problem)),
    )
