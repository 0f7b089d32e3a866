"""Verdict on a motor that is hot from work: whether it still breaks its load away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.load_torque import HELD_SHAFT
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.motor import Motor
from packdesign.engineering.demand.motor_case import SHEET_DEGC
from packdesign.engineering.demand.steady import steady_point
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, fed_circuit_at
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.motors import driven_of, known_motors
from packdesign.planning.verdicts.judge import Check, at_least, slug, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_hot_motor"]


def judge_hot_motor(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[Verdict]:
    """Judge the torque that each hot motor still has at the shaft against what holds it.

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
    Verdict
        "hot_torque_" with the name of the motor, in newton metres; only for a motor whose hot
        winding and whose load are stated.
    """
    worst = loading.worst
    asked = [each for each in brief.all_motors if each.winding_degc is not None and _needed(each)]
    if worst is None or not asked:
        return
    circuit = fed_circuit_at(
        brief, design, loading.window, soc=worst.soc, temperature_degc=worst.temperature_degc
    )
    motors, driven = known_motors(brief), driven_of(brief)
    for section in asked:
        yield _judged(section, motors[section.name], driven[section.name], circuit)


def _needed(section: MotorSection) -> float:
    """Torque behind the gear that holds one shaft back from rest. [N m]"""
    load = section.load
    if load is None:
        return 0.0
    running_nm = (load.torque_nm or 0.0) if load.kind == "constant" else 0.0
    return max(running_nm, load.breakaway_torque_nm or 0.0)


def _judged(section: MotorSection, motor: Motor, driven: Driven, circuit: Circuit) -> Verdict:
    hot_degc = section.winding_degc or SHEET_DEGC
    rise_k = hot_degc - SHEET_DEGC
    try:
        hot = motor.at_temperature(winding_rise_k=rise_k, magnet_rise_k=rise_k).typical()
        machine = replace(driven.machine, motor=hot, load=HELD_SHAFT)
        point = steady_point(circuit=circuit, machine=machine, drive=driven.drive)
    except OutOfRangeError:
        torque_nm = None
    else:
        torque_nm = hot.held_torque_nm(current_a=point.motor_a)
    needed_nm = _needed(section)
    return at_least(
        Check(
            id=f"hot_torque_{slug(section.name)}",
            what=f"the torque of {section.name}, at {spoken(hot_degc, 'degC')} and on the cold, "
            "near-empty pack,",
            value=torque_nm,
            against="what holds its shaft back",
            limit=needed_nm,
            unit="N m",
            fix="Gear down, ease the load, raise duty or current limit, or let it cool: hot, it "
            "may not start again.",
            find_out="Find a pack that carries the held shaft; this one collapses under it.",
            basis=Basis.PUBLISHED,
            source="winding and magnet at the temperature stated, the magnet as warm as the "
            "winding; held shaft, driver's limit counted",
            may_stop=False,
        )
    )
