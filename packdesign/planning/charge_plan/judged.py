"""Verdicts on a charge plan: is that thing a charger, is its source large enough, port, running."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.data.supplies import UsbKind
from packdesign.engineering.charging.interlock import ChargePolicy
from packdesign.engineering.charging.supply import Severity
from packdesign.engineering.charging.usb_pd import PLAIN_CABLE_A, UsbPlan
from packdesign.foundation.basis import Basis, weakest
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.charge_plan.ending import charge_ending
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.charge_plan.supply_plan import SupplyPlan
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["charge_plan_verdicts"]

_TOLD: Final = "stated in the brief"
_STATUSES: Final = {
    Severity.STOP: Status.STOP,
    Severity.CAUTION: Status.CAUTION,
    Severity.NOTE: Status.OK,
}
_GRAVEST: Final = (Severity.STOP, Severity.CAUTION, Severity.NOTE)
_KIND_WORDS: Final = {
    UsbKind.FIXED: "a fixed level",
    UsbKind.PROGRAMMABLE: "a programmable level",
    UsbKind.ADJUSTABLE: "an adjustable level",
    UsbKind.PLAIN: "plain USB",
}


def charge_plan_verdicts(plan: ChargePlan) -> tuple[Verdict, ...]:
    """Judge what charges the pack, where the brief names it.

    Parameters
    ----------
    plan : ChargePlan
        The plan.

    Returns
    -------
    tuple of Verdict
        "charger_kind", "charge_supply", "charge_port_connector", "charge_while_running", each
        where something is known of it; "group_gap" where the groups were found far apart;
        "charge_ends" where a simulated charge does not end full.
    """
    supply = plan.supply
    return (
        *_kind(supply),
        *_source(plan),
        *_port(supply),
        *_running(supply),
        *_gap(plan),
        *charge_ending(plan),
    )


def _kind(supply: SupplyPlan) -> Iterator[Verdict]:
    match, thing = supply.match, supply.facts.thing
    if match is None or thing is None:
        return
    grave = sorted(match.findings, key=lambda each: _GRAVEST.index(each.severity))
    found = " ".join(each.text for each in grave)
    yield Verdict(
        id="charger_kind",
        status=_STATUSES[grave[0].severity] if grave else Status.OK,
        reason=found or f"The {thing.name or thing.kind.value} ends a charge by itself.",
        fix=""
        if match.usable and not grave
        else "Put a charger for this chemistry and number of cells between it and the pack."
        if not thing.is_charger
        else "Read the plate of the charger, or take one made for this pack and its source.",
        basis=Basis.PRACTICE,
        source="what such a thing does and leaves undone: common practice, no source",
    )


def _source(plan: ChargePlan) -> Iterator[Verdict]:
    supply = plan.supply
    usb, facts = supply.usb, supply.facts
    if facts.source_w is None and supply.charge_a > 0:
        if facts.usb is not None:
            yield _unknown_source(supply)
        return
    gives_w = (facts.source_w or 0.0) if usb is None else _usb_gives_w(usb, supply)
    status = Status.CAUTION if supply.is_short else Status.OK
    if supply.charge_a == 0:
        status, gives_w = Status.STOP, 0.0  # whatever its watts: none of them reach the pack
    yield Verdict(
        id="charge_supply",
        status=status,
        value=supply.wanted_w,
        limit=gives_w,
        unit="W",
        margin=(gives_w - supply.wanted_w) / gives_w if gives_w else None,
        reason=_source_words(plan, gives_w=gives_w),
        fix="" if status is Status.OK else _source_fix(supply),
        basis=weakest(Basis.MEASURED, *([usb.level.basis] if usb and usb.level else [])),
        source=_TOLD if usb is None or usb.level is None else usb.level.source,
    )


def _unknown_source(supply: SupplyPlan) -> Verdict:
    needs = f"The charge takes {spoken(supply.wanted_w, 'W')} from its source"
    if supply.least_usb_w is not None:
        needs = f"{needs}: a USB source of {supply.least_usb_w:g} W"
    elif supply.facts.usb is not None:
        needs = f"{needs}: no USB source of the table does that"
    return Verdict(
        id="charge_supply",
        status=Status.UNKNOWN,
        value=supply.wanted_w,
        unit="W",
        reason=f"{needs}. What the source gives is not known.",
        fix="Read the watts on the source, or its volts and amps.",
        basis=Basis.ASSUMED,
        source="voltage times current over efficiency",
    )


def _usb_gives_w(usb: UsbPlan, supply: SupplyPlan) -> float:
    if usb.level is None or supply.facts.source_w is None:
        return 0.0
    cable_a = supply.facts.cable_a or PLAIN_CABLE_A
    return min(supply.facts.source_w, min(usb.level.most_a, cable_a) * usb.bus_v)


def _source_words(plan: ChargePlan, *, gives_w: float) -> str:
    supply, usb = plan.supply, plan.supply.usb
    note = f" {supply.facts.source_note}" if supply.facts.source_note else ""
    if supply.charge_a == 0:
        return f"It cannot charge: {supply.limited_by}.{note}"
    takes = f"the charge takes {spoken(supply.wanted_w, 'W')} at {spoken(supply.wanted_a, 'A')}"
    if usb is not None and usb.level is not None:
        level = f"USB at {usb.bus_v:g} V, {_KIND_WORDS[usb.level.kind]}, gives"
        carried = f"{level} {spoken(gives_w, 'W')}; {takes}"
        drawn = f", {spoken(usb.input_a, 'A')} through the cable"
    else:
        carried, drawn = f"The source gives {spoken(gives_w, 'W')}; {takes}", ""
    if not supply.is_short:
        return f"{carried}{drawn}.{note}"
    slower = f"it charges at {spoken(supply.charge_a, 'A')}"
    if plan.charge is not None:
        hours = plan.charge.time_s.mid / SECONDS_PER_HOUR
        slower = f"{slower} in {spoken(hours, 'h')}"
    return f"The source is too small, by {supply.limited_by}: {slower}{drawn}. {carried}.{note}"


def _source_fix(supply: SupplyPlan) -> str:
    usb = supply.usb
    if usb is not None and usb.limited_by == "the cable":
        return "Use a cable marked for 5 A, or take the longer time."
    if usb is None and supply.charge_a == 0:
        return (
            "Use a supply above the voltage of the full pack, or a charger that steps the voltage "
            "up; say which in converter."
        )
    if usb is None:
        wanted = f"{spoken(supply.wanted_w, 'W')} or more"
    elif supply.least_usb_w is not None:
        wanted = f"{supply.least_usb_w:g} W"
    else:
        return "Use a charger that can step the voltage up, or a supply of a higher voltage."
    if usb is not None and usb.level is None:
        return f"Use a source of {wanted}, or a charger that can step the voltage up."
    return f"Use a source of {wanted}, or take the longer time."


def _port(supply: SupplyPlan) -> Iterator[Verdict]:
    facts, port = supply.facts, supply.port
    if not facts.port_connector:
        return
    fuse_a, rated_a = facts.port_fuse_a, facts.port_rated_a
    larger = fuse_a is not None and rated_a is not None and fuse_a > rated_a
    yield at_most(
        Check(
            id="charge_port_connector",
            what=f"the charge current through the {facts.port_connector} of the charge port",
            value=supply.charge_a or supply.wanted_a,
            against="its rating",
            limit=rated_a,
            unit="A",
            fix="Use a larger connector, or charge more slowly.",
            find_out=f"Use a fuse of {port.fuse_a:g} A: the one in the port does not protect it."
            if larger and port.fuse_a is not None
            else "Find the rating of its contacts.",
            basis=Basis.PUBLISHED,
            source="table of connectors, the lowest rating found",
            doubt=f"Its fuse of {fuse_a:g} A lets more through than that." if larger else "",
        )
    )


def _running(supply: SupplyPlan) -> Iterator[Verdict]:
    facts = supply.facts
    if facts.may_run_unchecked:
        status = Status.STOP
        reason = (
            "The load may run on the pack while it charges: the charger sees both currents as one "
            "and ends the charge too early or never."
        )
        fix = "Lock the load out while the charger is plugged in, or give it a power path."
    elif facts.policy is ChargePolicy.EXCLUSIVE:
        status, fix = Status.OK, ""
        reason = "The load is locked out while the charger is plugged in."
    elif facts.policy is ChargePolicy.POWER_PATH:
        status, fix = Status.OK, ""
        reason = "The charger feeds the load beside the pack; the end current is the pack's alone."
    elif facts.stays_in_device:
        status = Status.UNKNOWN
        reason = "Not known: whether the device can run while its built-in charger works."
        fix = "Say so in while_running; the table below shows how to lock it out."
    else:
        return
    yield Verdict(
        id="charge_while_running",
        status=status,
        reason=reason,
        fix=fix,
        basis=Basis.PRACTICE,
        source="common practice, no source",
    )


def _gap(plan: ChargePlan) -> Iterator[Verdict]:
    """Groups so far apart that balancing hides a fault: a leak, a weak joint, a worn cell."""
    balance = plan.balance
    if not balance.is_wide:
        return
    group, share = balance.furthest_behind, balance.gap_fraction * 100
    yield Verdict(
        id="group_gap",
        status=Status.STOP if balance.is_too_wide else Status.CAUTION,
        value=balance.gap_ah,
        unit="Ah",
        reason=f"Group {group} is {spoken(balance.gap_ah, 'Ah')} behind, {share:.0f} % of its "
        f"capacity ({balance.gap_origin}). "
        + (
            "That is no gap for a balancer: the other groups would be overcharged or it would "
            "run for days."
            if balance.is_too_wide
            else "Groups of one batch are about 2 % apart."
        ),
        fix=f"Charge group {group} by itself first, with a charger for one cell; if it falls "
        "behind again, or is old, replace it.",
        basis=Basis.MEASURED,
        source="measured by the builder; where the line is drawn: own choice",
    )
