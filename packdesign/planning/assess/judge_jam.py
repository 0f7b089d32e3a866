"""Verdicts on a tool that jams: the torque that the hand then feels."""

from __future__ import annotations

from collections.abc import Iterator

from packdesign.engineering.demand.circuit import Machine
from packdesign.engineering.demand.held import held_shafts
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OverloadError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading, fed_circuit_at
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.verdicts.judge import Check, at_most, slug, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_jam"]


def judge_jam(brief: Brief, design: PackDesign, loading: Loading) -> Iterator[Verdict]:
    """Judge each motor's full torque on the hand, whatever the ramp.

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
        "jam_torque_" with the name of each motor whose torque on the hand is limited, in newton
        metres.
    """
    if loading.mission is None or not brief.all_motors:
        return
    circuit = fed_circuit_at(
        brief, design, loading.window, soc=1.0, temperature_degc=start_degc(brief)
    )
    driven, typical = driven_of(brief, hungriest=True), driven_of(brief)
    for section in brief.all_motors:
        limit_nm = section.drive.reaction_torque_limit_nm if section.drive is not None else None
        if limit_nm is None:
            continue
        each = driven[section.name]
        try:
            found = held_shafts(circuit=circuit, driven=[(each.machine, each.drive)])
        except OverloadError:
            continue  # the stall verdict says that the pack collapses
        yield _jam_torque(
            section, typical[section.name].machine, motor_a=found.motor_a[0], limit_nm=limit_nm
        )


def _jam_torque(
    section: MotorSection, machine: Machine, *, motor_a: float, limit_nm: float
) -> Verdict:
    torque_nm = machine.count * machine.motor.held_torque_nm(current_a=motor_a)
    allowed_a = machine.motor.current_holding_a(torque_nm=limit_nm / machine.count)
    return at_most(
        Check(
            id=f"jam_torque_{slug(section.name)}",
            what=f"the torque of {section.name} on the hand when the tool jams",
            value=torque_nm,
            against="the limit set for it",
            limit=limit_nm,
            unit="N m",
            fix=f"Set the driver's current limit to {spoken(allowed_a, 'A')} or less, add a side "
            "handle or a clutch; no ramp helps here.",
            find_out="Say how much torque the hand shall feel.",
            basis=Basis.PUBLISHED,
            source="motor constants and gear at the current of a held shaft",
            may_stop=False,
        )
    )
