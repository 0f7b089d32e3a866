"""Verdict on how a simulated charge ends: full, stopped by heat or clock, or long before full."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.engineering.charging.charge_run import ChargeEnd, ChargeRun
from packdesign.foundation.basis import Basis
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.verdicts.charge import WORTH_CHARGING
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["charge_ending"]

_HALF_A_CHARGE: Final = 0.5
"""Share of a full charge below which nothing that is judged of a full pack holds: own choice. [-]
"""


def charge_ending(plan: ChargePlan) -> Iterator[Verdict]:
    """Judge how a charge ends, where it was simulated.

    Parameters
    ----------
    plan : ChargePlan
        The plan.

    Yields
    ------
    Verdict
        "charge_ends", only where the charge does not end full: stopped by heat or by the clock, or
        by an end current that is reached long before the cells are full.
    """
    if plan.charge is None:
        return
    run = plan.charge.run
    if run.ends_by is ChargeEnd.FULL:
        yield from _ends_early(plan, run)
        return
    is_hot = run.ends_by is not ChargeEnd.TIME
    yield Verdict(
        id="charge_ends",
        status=Status.STOP if is_hot else Status.CAUTION,
        value=run.charged_ah,
        unit="Ah",
        reason=f"The charge does not end full: {run.ends_by} after {spoken(run.charged_ah, 'Ah')}.",
        fix="Charge in cooler air or with a smaller current."
        if is_hot
        else "Charge with a larger current, or give the charger's clock more time.",
        basis=Basis.PUBLISHED,
        source="CC-CV charge simulated with PyBaMM, in the air that the plan charges in",
    )


def _ends_early(plan: ChargePlan, run: ChargeRun) -> Iterator[Verdict]:
    """Too much resistance: end voltage and end current are reached with little charge in."""
    least_soc = WORTH_CHARGING * plan.rested_soc
    if run.end_soc >= least_soc:
        return
    is_far_off = run.end_soc < _HALF_A_CHARGE * plan.rested_soc
    yield Verdict(
        id="charge_ends",
        status=Status.STOP if is_far_off else Status.CAUTION,
        value=run.end_soc,
        limit=least_soc,
        margin=(run.end_soc - least_soc) / least_soc,
        reason=f"The charge ends at {100 * run.end_soc:.0f} % of a full one, after "
        f"{spoken(run.charged_ah, 'Ah')}: so much voltage is lost in the resistance of cells and "
        f"path that the current has fallen to {spoken(plan.settings.end_a, 'A')}, where the "
        "charger ends, before they are full. The run time shown begins with a full pack.",
        fix="End the charge at a smaller current; where the resistance was measured, measure it "
        "again, and replace the cells if it is so high.",
        basis=Basis.PUBLISHED,
        source="CC-CV charge simulated with PyBaMM; the limits are an own choice",
    )
