"""What the device asks of one pack: on an ordinary day, and at its worst moment."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.mission import MissionDemand, MissionSummary
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.demand.rail_tree import SupplyWindow
from packdesign.foundation.basis import TWO_SIDED_90, Basis
from packdesign.foundation.errors import OverloadError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.worst_charge import WorstCharge, worst_charge
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import coldest_degc, start_degc
from packdesign.planning.needs.mission import circuit_of, log_demand_of, mission_of
from packdesign.planning.needs.motors import known_motors
from packdesign.planning.needs.rails import rail_tree_of

__all__ = [
    "Loading",
    "MotorNote",
    "WorstMoment",
    "circuit_at",
    "fed_circuit_at",
    "loading_of",
    "within_window_v",
]

_INSIDE_V: Final = 0.01
"""Distance kept from the ends of a regulator's window, so that its draw has a value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstMoment:
    """The coldest, near-empty start, with an ordinary and with an unlucky cell and motor."""

    charge: WorstCharge
    """How empty the pack is, and why."""
    soc: float
    temperature_degc: float
    resistance_factor: float
    """Cell resistance of the unlucky cell relative to the likely one. [-]"""
    lifted_v: float
    """How far the pack was raised, so that regulators below their least input have a draw. [V]"""
    likely: MissionSummary
    unlucky: MissionSummary


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorNote:
    """How well a motor is known, for screens to say."""

    name: str
    basis: Basis
    """Weakest basis among its constants."""
    notes: tuple[str, ...]
    """What does not fit together in the figures given."""
    narrowing_reading: str
    """The one multimeter reading that would narrow its currents most, and how to take it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """What the device asks of one pack."""

    demand: Demand
    window: SupplyWindow
    """Battery voltages at which every regulator and load works."""
    mission: MissionDemand | None
    """None where a log stands for the demand."""
    worst: WorstMoment | None
    """None where there is no motor and no rail to sag, or a log."""
    lifted_v: float = 0.0
    """How far the ordinary pack was raised, so that its regulators have a draw. [V]"""
    motors: tuple[MotorNote, ...] = ()
    """How well each motor of the mission is known, in the order of the brief."""
    beyond: tuple[str, ...] = ()
    """Where more is asked than the pack can give at any voltage: the demand is then that on a pack
    without resistance, and no worst moment is known."""


def loading_of(brief: Brief, design: PackDesign, *, with_worst: bool = True) -> Loading:
    """Work out what the device asks of this pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    with_worst : bool
        Whether the worst moment is wanted too; it takes twice as long as the rest.

    Raises
    ------
    BriefError
        If nothing draws anything.
    LogError
        If the log cannot be used.
    """
    window = rail_tree_of(brief).window()
    if brief.log_given:
        return Loading(demand=log_demand_of(brief), window=window, mission=None, worst=None)
    beyond: list[str] = []
    begin_degc = start_degc(brief)
    try:
        ordinary = _mission(brief, design, window, soc=0.5, temperature_degc=begin_degc)
    except OverloadError as error:
        beyond.append(_sentence(error))
        ordinary = _mission(brief, design, window, soc=0.5, temperature_degc=begin_degc, stiff=True)
    worst = None
    if with_worst and not beyond:
        try:
            worst = _worst(brief, design, window)
        except OverloadError as error:
            beyond.append(f"Cold and near empty: {error}")
    return Loading(
        demand=ordinary.demand,
        window=window,
        mission=ordinary,
        worst=worst,
        lifted_v=_lifted_v(design, window, soc=0.5, temperature_degc=begin_degc),
        motors=_motor_notes(brief),
        beyond=tuple(beyond),
    )


def _sentence(error: Exception) -> str:
    text = str(error)
    return text[:1].upper() + text[1:]


def _motor_notes(brief: Brief) -> tuple[MotorNote, ...]:
    return tuple(
        MotorNote(
            name=name,
            basis=motor.basis,
            notes=motor.notes,
            narrowing_reading=motor.narrowing_reading,
        )
        for name, motor in known_motors(brief).items()
    )


def _worst(brief: Brief, design: PackDesign, window: SupplyWindow) -> WorstMoment:
    cold_degc = coldest_degc(brief)
    worse = 1.0 + TWO_SIDED_90 * design.model.cell.spread.resistance_fraction_at(cold_degc)
    charge = worst_charge(brief, design.model.cell)
    soc = design.model.cell.soc_within_reach(charge.share, temperature_degc=cold_degc)
    likely = _mission(brief, design, window, soc=soc, temperature_degc=cold_degc)
    unlucky = _mission(
        brief,
        design,
        window,
        soc=soc,
        temperature_degc=cold_degc,
        resistance_factor=worse,
    )
    return WorstMoment(
        charge=charge,
        soc=soc,
        temperature_degc=cold_degc,
        resistance_factor=worse,
        lifted_v=_lifted_v(design, window, soc=soc, temperature_degc=cold_degc),
        likely=likely.summary,
        unlucky=unlucky.summary,
    )


def circuit_at(
    brief: Brief,
    design: PackDesign,
    *,
    soc: float,
    temperature_degc: float,
    resistance_factor: float = 1.0,
) -> Circuit:
    """Give the pack with the capacitor at its driver at one moment, rails left out.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    soc : float
        State of charge, 0 to 1. [-]
    temperature_degc : float
        Cell temperature. [degC]
    resistance_factor : float
        Cell resistance relative to the model's. [-]
    """
    source = design.source(
        soc=soc,
        temperature_degc=temperature_degc,
        current_a=design.capacity_ah,
        resistance_factor=resistance_factor,
    )
    return circuit_of(brief, source, parallel=design.parallel)


def fed_circuit_at(
    brief: Brief,
    design: PackDesign,
    window: SupplyWindow,
    *,
    soc: float,
    temperature_degc: float,
    resistance_factor: float = 1.0,
) -> Circuit:
    """Give the pack at one moment with its rails at their most, as they draw where they work.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    window : SupplyWindow
        Battery voltages at which every rail works; the draw is that at the nearest of them.
    soc : float
        State of charge, 0 to 1. [-]
    temperature_degc : float
        Cell temperature. [degC]
    resistance_factor : float
        Cell resistance relative to the model's. [-]
    """
    circuit = circuit_at(
        brief,
        design,
        soc=soc,
        temperature_degc=temperature_degc,
        resistance_factor=resistance_factor,
    )
    inside_v = within_window_v(circuit.source.open_circuit_v, window)
    draw = rail_tree_of(brief).draw(battery_v=inside_v, peak=True)
    return replace(circuit, rails_w=draw.power_w, rails_a=draw.current_a)


def within_window_v(voltage_v: float, window: SupplyWindow) -> float:
    """Bring a voltage into the window of the rails, where their draw has a value. [V]

    Parameters
    ----------
    voltage_v : float
        Voltage of the pack. [V]
    window : SupplyWindow
        Battery voltages at which every rail works.
    """
    lowest_v, highest_v = window.lowest_v + _INSIDE_V, window.highest_v - _INSIDE_V
    return max(min(voltage_v, highest_v), lowest_v)


def _mission(
    brief: Brief,
    design: PackDesign,
    window: SupplyWindow,
    *,
    soc: float,
    temperature_degc: float,
    resistance_factor: float = 1.0,
    stiff: bool = False,
) -> MissionDemand:
    circuit = circuit_at(
        brief,
        design,
        soc=soc,
        temperature_degc=temperature_degc,
        resistance_factor=resistance_factor,
    )
    inside_v = within_window_v(circuit.source.open_circuit_v, window)
    source = replace(circuit.source, open_circuit_v=inside_v)
    if stiff:
        source = replace(source, instant_ohm=0.0, rc_ohm=(), rc_time_s=())
        circuit = replace(circuit, capacitor_f=0.0)
    circuit = replace(circuit, source=source)
    return mission_of(brief, circuit, hungriest=resistance_factor > 1.0)


def _lifted_v(
    design: PackDesign, window: SupplyWindow, *, soc: float, temperature_degc: float
) -> float:
    open_v = design.series * design.model.cell.ocv_at(soc, temperature_degc=temperature_degc)
    return within_window_v(open_v, window) - open_v
