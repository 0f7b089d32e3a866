"""Verdicts on the chopping of the motor's current: whether it breaks off between pulses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.engineering.demand.actions import DeedResult
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.pwm import ripple_peak_to_peak_a
from packdesign.foundation.basis import Basis
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.verdicts.judge import Check, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_pwm"]

_WORST_DUTY: Final = 0.5
"""Every ramp passes it, and the swing is largest there. [-]"""
_BREAKS_OFF: Final = 2.0
"""Swing over mean current at which the current just touches nothing. [-]"""
_SOURCE: Final = "V D (1 - D) / (f L) at half duty on the full pack"


def judge_pwm(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[Verdict]:
    """Judge the swing of each motor's current at the chopping frequency of its driver.

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
        "pwm_ripple_" with the name of the motor, in amperes; none where no frequency is stated.
    """
    if loading.mission is None:
        return
    driven = driven_of(brief)
    for section in brief.all_motors:
        if section.drive is None or section.drive.pwm_frequency_hz is None:
            continue
        deeds = [result for _, name, result in loading.mission.deeds if name == section.name]
        yield _ripple(
            section, driven[section.name], deeds, full_v=design.full_v,
            frequency_hz=section.drive.pwm_frequency_hz,
        )  # fmt: skip


def _ripple(
    section: MotorSection,
    driven: Driven,
    deeds: list[DeedResult],
    *,
    full_v: float,
    frequency_hz: float,
) -> Verdict:
    """Hold the swing against twice the least current at which the motor works."""
    running_a = [
        abs(result.steady.motor_a)
        for result in deeds
        if result.steady is not None and not result.steady.stalled and result.steady.motor_a
    ]
    inductance_h = driven.machine.motor.inductance_h
    swing_a = None
    if inductance_h:
        swing_a = ripple_peak_to_peak_a(
            duty=_WORST_DUTY,
            supply_v=full_v,
            frequency_hz=frequency_hz,
            inductance_h=inductance_h,
            fast_decay=section.drive is not None and section.drive.decay in ("fast", "mixed"),
        )
    limit_a = _BREAKS_OFF * min(running_a) if running_a else None
    fix = "Chop faster, or put a choke in series with the motor."
    if swing_a and limit_a:
        needed_hz = frequency_hz * swing_a / limit_a
        fix = (
            f"Chop at {spoken(needed_hz / 1000, 'kHz')} or more, or put a choke in series with the "
            "motor: a current that breaks off heats more, and the speed no longer follows the duty."
        )
    at = spoken(frequency_hz / 1000, "kHz")
    found = at_most(
        Check(
            id=f"pwm_ripple_{slug(section.name)}",
            what=f"the swing of the current in {section.name} at {at}",
            value=swing_a,
            against="twice the least current it runs with, where it breaks off between pulses",
            limit=limit_a,
            unit="A",
            fix=fix,
            find_out="Measure the inductance between the motor's terminals."
            if swing_a is None
            else "Let the motor run in the mission.",
            basis=Basis.PUBLISHED,
            source=_SOURCE,
            may_stop=False,
        )
    )
    if not running_a:
        return found
    most_a = section.count * max(running_a) * _WORST_DUTY
    words = f"The capacitor at the driver takes up to {spoken(most_a, 'A')} of ripple (rms)."
    return replace(found, reason=f"{found.reason} {words}")
