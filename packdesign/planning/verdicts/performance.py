"""Verdicts on what the builder wants: rail headroom at the worst sag, and run time."""

from __future__ import annotations

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least, slug
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["rail_headroom", "run_time"]


def rail_headroom(
    *,
    rail: str,
    worst_input_v: Figure,
    output_v: float | None,
    dropout_v: float | None,
    minimum_v: float | None = None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether a regulator still has room at the deepest sag.

    Parameters
    ----------
    rail : str
        Name of the rail.
    worst_input_v : Band or float or None
        Lowest voltage at the regulator's input. [V]
    output_v : float or None
        Voltage of the rail. [V]
    dropout_v : float or None
        Least difference that the regulator needs at this current. [V]
    minimum_v : float or None
        Least input printed for it, where it is printed. [V]
    basis : Basis
        Weakest basis of all.
    source : str
        Where the dropout comes from.

    Returns
    -------
    Verdict
        "rail_headroom_" and the rail, in volts at the input.
    """
    needed_v = None if output_v is None or dropout_v is None else output_v + dropout_v
    if minimum_v is not None:
        needed_v = max(needed_v or 0.0, minimum_v)
    return at_least(
        Check(
            id=f"rail_headroom_{slug(rail)}",
            what=f"the lowest input of rail {rail}",
            value=worst_input_v,
            against="what its regulator needs",
            limit=needed_v,
            unit="V",
            fix="Soften the start, lower the pack's resistance, add a capacitor behind a diode, or "
            "use a regulator with less dropout or one that can step up.",
            find_out="Find the dropout of the regulator at this current on its datasheet.",
            basis=basis,
            source=source,
        )
    )


def run_time(
    *,
    runtime_s: Figure,
    wished_s: float | None,
    note: str = "",
    basis: Basis = Basis.ASSUMED,
    source: str = "",
) -> Verdict:
    """Whether the pack runs as long as was wished.

    Parameters
    ----------
    runtime_s : Band or float or None
        Time until the first limit. [s]
    wished_s : float or None
        Time wished for. [s]
    note : str
        Where the wish comes from, if that must be said.
    basis : Basis
        Basis of the run time.
    source : str
        Where the run time comes from.

    Returns
    -------
    Verdict
        "run_time", in seconds.
    """
    return at_least(
        Check(
            id="run_time",
            what="the run time",
            value=runtime_s,
            against="the time wished for",
            limit=wished_s,
            unit="s",
            note=note,
            fix="Add cells in parallel, choose cells of more capacity, or ask for less time.",
            find_out="Say how long the device has to run.",
            basis=basis,
            source=source,
        )
    )
