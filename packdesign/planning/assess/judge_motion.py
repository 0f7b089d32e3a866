"""Verdicts on the motors: what the hand feels, what braking lifts, what the winding carries."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.engineering.demand.actions import DeedResult
from packdesign.engineering.demand.drive import ramp_for_reaction_s
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.motor_case import COPPER_PER_K, SHEET_DEGC
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.verdicts.judge import Check, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_motion"]

_TRANSIENT: Final = "coupled transient of motor, load, driver and pack"
_PERCENT: Final = 100.0


def judge_motion(brief: Brief, loading: Loading) -> Iterator[Verdict]:
    """Judge each motor in its own mission.

    Parameters
    ----------
    brief : Brief
        The brief.
    loading : Loading
        What is asked of the pack.

    Yields
    ------
    Verdict
        "motor_known_", "reaction_torque_", "motor_current_", "motor_peak_" and "motor_winding_",
        each with the name of the motor.
    """
    if loading.mission is None:
        return
    driven = driven_of(brief)
    deeds = loading.mission.deeds
    for note in loading.motors:
        yield _known(note.name, note.basis, note.notes, note.narrowing_reading)
    for section in brief.all_motors:
        mine = [(action, result) for action, name, result in deeds if name == section.name]
        each = driven[section.name]
        yield from _reaction(section, each, mine)
        yield from _winding(brief, section, each, mine)


def _known(name: str, basis: Basis, notes: tuple[str, ...], reading: str) -> Verdict:
    """How well a motor is known, and the one reading that would narrow it most."""
    is_known = basis is not Basis.ASSUMED and not notes
    if basis is Basis.ASSUMED:
        reason = f"Part of what is known of {name} is assumed: its currents may be far off."
    else:
        origin = {Basis.MEASURED: "a reading", Basis.DATASHEET: "its sheet"}
        reason = f"What is known of {name} comes from {origin.get(basis, 'published figures')}."
    return Verdict(
        id=f"motor_known_{slug(name)}",
        status=Status.OK if is_known else Status.CAUTION,
        reason=" ".join([reason, *(f"{note.rstrip('.')}." for note in notes)]),
        fix="" if is_known else reading,
        basis=basis,
        source="what the brief says of the motor",
    )


def _reaction(
    section: MotorSection, driven: Driven, deeds: list[tuple[str, DeedResult]]
) -> Iterator[Verdict]:
    """Torque on the hand against what the builder will have, with the ramp that keeps it."""
    limit_nm = section.drive.reaction_torque_limit_nm if section.drive is not None else None
    if limit_nm is None:
        return
    peaks = [
        (result.transient.peak_hand_nm, action)
        for action, result in deeds
        if result.transient is not None
    ]
    if not peaks:
        return
    peak_nm, action = max(peaks)
    verdict = at_most(
        Check(
            id=f"reaction_torque_{slug(section.name)}",
            what=f"the torque of {section.name} on the hand ('{action}')",
            value=peak_nm,
            against="the limit set for it",
            limit=limit_nm,
            unit="N m",
            fix=_gentler_ramp(driven, deeds, limit_nm=limit_nm),
            find_out="Say how much torque the hand shall feel.",
            basis=Basis.PUBLISHED,
            source=f"Newton's third law; {_TRANSIENT}",
        )
    )
    yield verdict


def _gentler_ramp(driven: Driven, deeds: list[tuple[str, DeedResult]], *, limit_nm: float) -> str:
    """Say which ramp keeps the hand under its limit, or why none does."""
    machine = driven.machine
    speeds = [abs(result.steady.output_speed_rad_per_s) for _, result in deeds if result.steady]
    speed = max(speeds, default=0.0)
    load_nm = machine.load.torque_nm(speed_rad_per_s=speed)
    try:
        ramp_s = ramp_for_reaction_s(
            output_inertia_kg_m2=machine.count * machine.output_inertia_kg_m2,
            output_speed_rad_per_s=speed,
            load_torque_nm=machine.count * load_nm,
            limit_nm=limit_nm,
        )
    except OutOfRangeError as error:
        return f"{str(error)[:1].upper()}{str(error)[1:]}."
    return (
        f"Ramp up over {spoken(ramp_s, 's')} or more (now {spoken(driven.drive.ramp_s, 's')}), "
        "lower the current limit, or add a side handle."
    )


def _winding(
    brief: Brief, section: MotorSection, driven: Driven, deeds: list[tuple[str, DeedResult]]
) -> Iterator[Verdict]:
    """Steady and peak current of one motor against its own figures, and the winding's heat."""
    steady_a = max(
        [
            abs(result.steady.motor_a)
            for _, result in deeds
            if result.steady is not None and not result.steady.stalled
        ]
        + _told_a(brief, section.name),
        default=None,
    )
    rated_a = _rated_a(section, driven)
    check = Check(
        id=f"motor_current_{slug(section.name)}",
        what=f"the steady current in {section.name}",
        value=steady_a,
        against=f"its rated current{'' if section.rated_current_a else ', from its rated torque'}",
        limit=rated_a,
        unit="A",
        fix=_rest_words(_rated_share(rated_a, steady_a), "gear down, or choose a stronger motor"),
        find_out="Find the rated current on the motor's sheet.",
        basis=Basis.PUBLISHED,
        source="steady point of motor, load, driver and pack; the rating is stated in the brief",
        may_stop=False,
    )
    if rated_a is not None and steady_a is not None:
        yield at_most(check)
    peaks = [result.transient.motor.peak_a for _, result in deeds if result.transient is not None]
    if section.max_current_a is not None and peaks:
        peak_check = replace(
            check,
            id=f"motor_peak_{slug(section.name)}",
            what=f"the peak current in {section.name}",
            value=max(peaks),
            against="its short-time limit",
            limit=section.max_current_a,
            fix=f"Set the driver's current limit to {section.max_current_a:g} A or less, or ramp "
            "more slowly.",
        )
        yield at_most(peak_check)
    if steady_a is not None:
        yield from _heat(brief, section, driven, steady_a=steady_a)


def _rated_a(section: MotorSection, driven: Driven) -> float | None:
    """Continuous current of one motor: as printed, else what its rated torque takes. [A]"""
    if section.rated_current_a is not None or section.rated_torque_nm is None:
        return section.rated_current_a
    return driven.machine.motor.current_holding_a(torque_nm=section.rated_torque_nm)


def _rated_share(rated_a: float | None, steady_a: float | None) -> float | None:
    """Share of the time in which the heat is that of the rated current for good. [-]"""
    if not steady_a or rated_a is None:
        return None
    return (rated_a / steady_a) ** 2


def _rest_words(share: float | None, otherwise: str) -> str:
    """Say for how much of the time a motor may work so; the winding evens out over minutes."""
    if share is None or share >= 1:
        return f"Ease the work, rest between actions, {otherwise}."
    percent = math.floor(_PERCENT * share)
    if percent < 1:
        return f"Ease the work, {otherwise}."
    return (
        f"Ease the work, let it run so for {percent} % of the time at most, with a rest every "
        f"minute or so, {otherwise}."
    )


def _told_a(brief: Brief, name: str) -> list[float]:
    """Motor currents that the builder measured and wrote into the mission."""
    mission = brief.mission
    if mission is None:
        return []
    told = [(each.motor, each.current_a) for each in mission.actions]
    told += [(each.motor, each.current_a) for each in mission.modes]
    return [amps for motor, amps in told if amps is not None and motor in (None, name)]


def _heat(
    brief: Brief, section: MotorSection, driven: Driven, *, steady_a: float
) -> Iterator[Verdict]:
    """Settled temperature of the winding, if the hardest steady work went on for good."""
    inside, outside = section.winding_to_housing_k_per_w, section.housing_to_air_k_per_w
    limit_degc = section.max_winding_degc
    if inside is None or outside is None or limit_degc is None:
        return
    air_degc = ambient_degc(brief)
    heat_k = (inside + outside) * steady_a**2 * driven.machine.motor.resistance_ohm
    room = 1 - COPPER_PER_K * heat_k
    hot_k = heat_k * (1 + COPPER_PER_K * (limit_degc - SHEET_DEGC))
    share = (limit_degc - air_degc - hottest_day_k(brief)) / hot_k if hot_k > 0 else None
    found_degc = None
    if room > 0:
        found_degc = air_degc + heat_k * (1 + COPPER_PER_K * (air_degc - SHEET_DEGC)) / room
    if found_degc is None:
        yield Verdict(
            id=f"motor_winding_{slug(section.name)}",
            status=Status.CAUTION,
            limit=limit_degc,
            unit="degC",
            reason=f"The winding of {section.name} finds no balance at {spoken(steady_a, 'A')}: "
            "held for long, it burns.",
            fix=_rest_words(share, "or choose a stronger motor"),
            basis=Basis.PUBLISHED,
            source="copper loss through the thermal resistances stated in the brief",
        )
        return
    yield at_most(
        Check(
            id=f"motor_winding_{slug(section.name)}",
            what=f"the winding of {section.name}, held at its hardest steady work for good,",
            value=Band(found_degc, found_degc, found_degc + hottest_day_k(brief)),
            against="its limit",
            limit=limit_degc,
            unit="degC",
            fix=_rest_words(share, "or choose a stronger motor"),
            find_out="Find the limit of the winding on the motor's sheet.",
            basis=Basis.PUBLISHED,
            source="copper loss through the thermal resistances stated in the brief",
            may_stop=False,
        )
    )
