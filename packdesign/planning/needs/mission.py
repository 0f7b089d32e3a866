"""The mission of a brief, or its log, as the demand that a given pack must meet."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.engineering.demand.actions import Action, Deed
from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.mission import (
    Driven,
    MissionDemand,
    Mode,
    actions_from_modes,
    demand_of_mission,
)
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.demand.rail_tree import RailTree
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.mission_sections import Action as ActionSection
from packdesign.planning.brief.mission_sections import Mode as ModeSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.motors import driven_of, torque_of
from packdesign.planning.needs.rails import rail_tree_of

__all__ = ["circuit_of", "has_demand", "log_demand_of", "mission_of"]

_ROUND_S: Final = 60.0
"""Length of one round through the modes of a mission told by shares of time."""


def has_demand(brief: Brief) -> bool:
    """Tell whether the brief says anything of what the device draws.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    return bool(brief.log_given or brief.all_motors or brief.all_loads)


def circuit_of(brief: Brief, source: PackSource, *, parallel: int) -> Circuit:
    """Give the pack with the capacitor at its driver.

    Parameters
    ----------
    brief : Brief
        The brief.
    source : PackSource
        The pack at its terminals, leads included.
    parallel : int
        Cells in parallel. [-]
    """
    drives = [motor.drive for motor in brief.all_motors if motor.drive is not None]
    capacitor_f = sum(drive.bus_capacitor_f or 0.0 for drive in drives)
    return Circuit(
        source=source,
        parallel_count=parallel,
        capacitor_f=capacitor_f if source.instant_ohm > 0 else 0.0,
    )


def mission_of(brief: Brief, circuit: Circuit, *, hungriest: bool = False) -> MissionDemand:
    """Turn motors, rails, loads and mission into the demand on a pack.

    Parameters
    ----------
    brief : Brief
        The brief, without a log.
    circuit : Circuit
        The pack in the state that is asked about.
    hungriest : bool
        Take motors at the end of their bands that draws the most.

    Raises
    ------
    BriefError
        If nothing draws anything.
    OutOfRangeError
        If a regulator cannot work from this pack's voltage.
    """
    if not brief.all_motors and not brief.all_loads:
        msg = (
            "nothing in the brief draws current; give a [motor] with a [mission], [[loads]] with "
            "watts or amps, or a [load] log"
        )
        raise BriefError(msg)
    driven = driven_of(brief, hungriest=hungriest)
    rest_s = brief.mission.rest_between_uses_s if brief.mission is not None else None
    return demand_of_mission(
        _actions(brief, driven),
        circuit=circuit,
        driven=driven,
        rails=rail_tree_of(brief),
        rest_between_uses_s=rest_s or 0.0,
    )


def log_demand_of(brief: Brief, rails: RailTree | None = None) -> Demand:
    """Read the log of a brief as a demand.

    Parameters
    ----------
    brief : Brief
        A brief with a log.
    rails : RailTree or None
        Rails whose least input counts as the lowest voltage of the demand.

    Raises
    ------
    LogError
        If the log cannot be used.
    """
    from packdesign.planning.needs.logs import read_log_of

    demand = read_log_of(brief).demand
    window = (rails or rail_tree_of(brief)).window()
    return replace(demand, minimum_v=window.lowest_v, minimum_v_device=window.lowest_device)


def _actions(brief: Brief, driven: dict[str, Driven]) -> tuple[Action, ...]:
    mission = brief.mission
    if mission is not None and mission.actions:
        return tuple(_action(brief, section) for section in mission.actions)
    if mission is not None and any(mode.share_fraction for mode in mission.modes):
        modes = [
            Mode(action=_mode(brief, section), share_fraction=section.share_fraction or 0.0)
            for section in mission.modes
            if section.share_fraction
        ]
        return actions_from_modes(modes, period_s=_ROUND_S)
    deed = Deed.HOLD if driven else Deed.REST
    return (Action(deed=deed, duration_s=_ROUND_S, label="on"),)


def _action(brief: Brief, section: ActionSection) -> Action:
    return Action(
        deed=Deed(section.do),
        duration_s=section.duration_s or 0.0,
        machine=section.motor,
        duty=section.duty_fraction,
        load=_load(brief, section.motor, section.torque_nm),
        motor_a=section.current_a,
        repeats=section.repeats,
        loads_off=section.loads_off,
    )


def _mode(brief: Brief, section: ModeSection) -> Action:
    still = section.duty_fraction == 0 and section.current_a is None
    return Action(
        deed=Deed.REST if still else Deed.HOLD,
        duration_s=1.0,
        machine=section.motor,
        duty=None if still else section.duty_fraction,
        load=None if still else _load(brief, section.motor, section.torque_nm),
        motor_a=section.current_a,
        loads_off=section.loads_off,
        label=section.name,
    )


def _load(brief: Brief, motor: str | None, torque_nm: float | None) -> LoadTorque | None:
    if torque_nm is None:
        return None
    sections = [each for each in brief.all_motors if motor in (None, each.name)]
    return torque_of(sections[0].load if sections else None, torque_nm=torque_nm)
