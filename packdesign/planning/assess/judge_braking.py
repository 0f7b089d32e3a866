"""Verdicts on braking that feeds the pack: how far it lifts the supply, what the cells get."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.regeneration import (
    brake_limit_that_holds_a,
    clamp_that_holds,
    rail_rise,
)
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, circuit_at
from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.cold_words import cold_charge_words, cold_limit_origin
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.verdicts.judge import Check, at_least, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_braking"]

_HALF: Final = 0.5
_SOURCE: Final = "transient of a stop from full speed: motor, load, driver, capacitor and pack"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stop:
    """One motor that brakes into the pack, and what the supply may rise to."""

    section: MotorSection
    driven: Driven
    circuit: Circuit
    limit_v: float | None
    limit_device: str

    @property
    def name(self) -> str:
        return slug(self.section.name)


def judge_braking(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[Verdict]:
    """Judge each motor whose driver gives back what it brakes.

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
        "regen_connected_", "regen_full_", "regen_board_open_", "regen_charge_current_" with the
        name of the motor, and "regen_cold". None where nothing regenerates.
    """
    giving = [
        section
        for section in brief.all_motors
        if section.drive is not None and section.drive.regenerates
    ]
    if not giving or loading.mission is None:
        return
    driven = driven_of(brief)
    circuit = circuit_at(brief, design, soc=_HALF, temperature_degc=start_degc(brief))
    for section in giving:
        limit_v, device = _ceiling(brief, section, loading)
        yield from _judge_stop(
            _Stop(
                section=section,
                driven=driven[section.name],
                circuit=circuit,
                limit_v=limit_v,
                limit_device=device,
            ),
            design,
        )
    yield from _cold(brief, design)


def _ceiling(brief: Brief, section: MotorSection, loading: Loading) -> tuple[float | None, str]:
    """Highest voltage that everything on the supply bears, and what sets it."""
    known = []
    if section.drive is not None and section.drive.max_v is not None:
        known.append((section.drive.max_v, f"the driver of {section.name}"))
    if loading.window.highest_v < float("inf"):
        known.append((loading.window.highest_v, loading.window.highest_device))
    for load in brief.all_loads:
        most_v = getattr(load, "max_v", None)
        if load.rail == DIRECT and most_v is not None:
            known.append((most_v, load.name))
    return min(known, default=(None, ""))


def _judge_stop(stop: _Stop, design: PackDesign) -> Iterator[Verdict]:
    machine, drive = stop.driven.machine, stop.driven.drive
    try:
        rise = rail_rise(circuit=stop.circuit, machine=machine, drive=drive)
    except OutOfRangeError as error:
        yield Verdict(
            id=f"regen_connected_{stop.name}",
            status=Status.UNKNOWN,
            reason=f"How far braking lifts the supply could not be found: {error}.",
            fix="Brake without giving back, or ease the load.",
            basis=Basis.PUBLISHED,
            source=_SOURCE,
        )
        return
    clamp_v = stop.section.drive.clamp_v if stop.section.drive is not None else None
    fix = ""
    limit_v = stop.limit_v
    worst_v = max(volts for volts in (rise.connected_v, rise.full_v, rise.open_v) if volts)
    if limit_v is not None and worst_v > limit_v:
        fix = _remedy(stop, limit_v=limit_v)
    check = Check(
        id=f"regen_connected_{stop.name}",
        what=f"the supply while {stop.section.name} brakes into the pack",
        value=rise.connected_v,
        against=f"what {stop.limit_device or 'the driver'} bears",
        limit=limit_v,
        unit="V",
        fix=fix,
        find_out="Find the highest supply voltage of the driver and of what shares its supply.",
        basis=Basis.PUBLISHED,
        source=_SOURCE,
    )
    yield at_most(check)
    if limit_v is None:
        if rise.open_v is None:
            yield _board_open(stop, check, open_v=None, clamp_v=clamp_v)
        return
    yield at_most(
        replace(
            check,
            id=f"regen_full_{stop.name}",
            what=f"the supply while {stop.section.name} brakes into a full pack",
            value=rise.full_v,
        )
    )
    yield _board_open(stop, check, open_v=rise.open_v, clamp_v=clamp_v)
    yield at_most(
        replace(
            check,
            id=f"regen_charge_current_{stop.name}",
            what=f"the current that {stop.section.name} pushes into a cell",
            value=rise.into_pack_a / design.parallel,
            against="its highest charge current",
            limit=design.cell.max_charge_a or design.cell.standard_charge_a,
            unit="A",
            fix="Set a brake limit, or ramp down more slowly.",
            find_out="Find the highest charge current on the cell's sheet.",
        )
    )


def _board_open(
    stop: _Stop, check: Check, *, open_v: float | None, clamp_v: float | None
) -> Verdict:
    """Judge the moment in which the protection board has cut off and takes nothing back."""
    name = f"regen_board_open_{stop.name}"
    if open_v is None:
        drive = stop.section.drive
        is_told = drive is not None and drive.bus_capacitor_f is not None
        there = "there is no capacitor" if is_told else "no capacitor is known of"
        return Verdict(
            id=name,
            status=Status.STOP if is_told else Status.UNKNOWN,
            limit=check.limit,
            unit="V",
            reason="Once the protection board has cut off, nothing takes up what braking gives: "
            f"{there} at the driver, and without one the voltage rises until something breaks.",
            fix="Put a capacitor at the driver with a clamp, or brake without giving back.",
            basis=Basis.PUBLISHED,
            source=_SOURCE,
        )
    held = replace(
        check,
        id=name,
        what=f"the supply while {stop.section.name} brakes with the protection board open",
        value=open_v,
    )
    if clamp_v is None or clamp_v >= open_v:
        return at_most(held)
    return at_most(
        replace(
            held,
            value=clamp_v,
            doubt="That counts on its clamp, whose resistor must take the whole braking energy.",
            find_out=check.fix or "Check the resistor of the clamp with the motor at full speed.",
        )
    )


def _remedy(stop: _Stop, *, limit_v: float) -> str:
    """Say which clamp or which brake limit just holds the supply."""
    machine, drive = stop.driven.machine, stop.driven.drive
    ways = []
    try:
        clamp = clamp_that_holds(
            circuit=stop.circuit, machine=machine, drive=drive, limit_v=limit_v
        )
        if clamp is not None:
            ways.append(
                f"a clamp of {spoken(clamp.resistance_ohm, 'ohm')} or less from "
                f"{spoken(clamp.above_v, 'V')} up"
            )
    except OutOfRangeError:
        pass
    try:
        brake_a = brake_limit_that_holds_a(
            circuit=stop.circuit, machine=machine, drive=drive, limit_v=limit_v
        )
        if brake_a is not None:
            ways.append(f"a brake limit of {spoken(brake_a, 'A')} in the motor")
    except OutOfRangeError:
        pass
    if not ways:
        return "Let the motor coast, or short it through the driver instead of giving back."
    return f"Fit {' or '.join(ways)}; or let the motor coast."


def _cold(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Braking charges: it must not happen colder than the cells may be charged."""
    around = brief.surroundings
    coldest = around.ambient_min_degc if around is not None else None
    if coldest is None:
        return
    cell = design.cell
    basis, source = cold_limit_origin(cell)
    yield at_least(
        Check(
            id="regen_cold",
            what="the coldest cell that braking charges",
            value=coldest,
            against="its lowest charge temperature",
            limit=None if cell.charge_min_degc is None else coldest_charge_degc(cell),
            unit="degC",
            note=cold_charge_words(cell),
            fix="Let the driver brake without giving back while the cells are cold.",
            find_out="Find the cell's charge temperature range on its sheet.",
            basis=basis,
            source=source,
        )
    )
