"""Verdicts on the charge: current, end voltage and temperature against the cell's own limits."""

from __future__ import annotations

from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.engineering.electrical.fuse import STEADY_LOAD_FRACTION, STEADY_LOAD_SOURCE
from packdesign.foundation.basis import Basis
from packdesign.planning.charge_plan.cold_words import cold_charge_words, cold_limit_origin
from packdesign.planning.verdicts.judge import Check, Figure, at_least, at_most
from packdesign.planning.verdicts.verdict import Verdict

__all__ = [
    "WORTH_CHARGING",
    "charge_current",
    "charge_port_fuse",
    "charge_share",
    "charge_temperature",
    "charge_voltage",
]

_READING_V: Final = 0.001
WORTH_CHARGING: Final = 0.85
"""Least share of a full charge at which nothing is said, own choice: 0.1 V less than full, a usual
setting for long life, leaves about nine tenths. [-]"""


def charge_current(*, cell: Cell, per_cell_a: Figure) -> Verdict:
    """Judge the charge current of one cell.

    Where the sheet prints no maximum, its standard charge current is the limit.

    Parameters
    ----------
    cell : Cell
        The cell with its ratings.
    per_cell_a : Band or float or None
        Charge current of one cell. [A]

    Returns
    -------
    Verdict
        "charge_current", in amperes.
    """
    field = "max_charge_a" if cell.max_charge_a is not None else "standard_charge_a"
    is_maximum = field == "max_charge_a"
    return at_most(
        Check(
            id="charge_current",
            what="the charge current of a cell",
            value=per_cell_a,
            against="its highest charge current" if is_maximum else "its standard charge current",
            limit=getattr(cell, field),
            unit="A",
            fix="Turn the charger down.",
            find_out="Find the charge current on the cell's sheet.",
            basis=cell.basis_of(field),
            source=cell.source,
        )
    )


def charge_port_fuse(*, charge_a: Figure, fuse_a: float | None) -> Verdict:
    """Judge the fuse of the charge port against the charge current.

    Parameters
    ----------
    charge_a : Band or float or None
        Current of the charger into the pack. [A]
    fuse_a : float or None
        Rating of that fuse. [A]

    Returns
    -------
    Verdict
        "charge_port_fuse", in amperes, against three quarters of the rating.
    """
    return at_most(
        Check(
            id="charge_port_fuse",
            what="the charge current through the fuse of the charge port",
            value=charge_a,
            against="three quarters of its rating",
            limit=None if fuse_a is None else STEADY_LOAD_FRACTION * fuse_a,
            unit="A",
            fix="Use the next larger fuse in the charge port, or charge more slowly.",
            find_out="Say which fuse sits in the charge port.",
            basis=Basis.ASSUMED,
            source=STEADY_LOAD_SOURCE,
            may_stop=False,
        )
    )


def charge_voltage(*, cell: Cell, per_cell_v: Figure) -> Verdict:
    """Judge the end voltage of the charge, per cell.

    Parameters
    ----------
    cell : Cell
        The cell with its charge voltage.
    per_cell_v : Band or float or None
        End voltage of the charger over the number of cells in series. [V]

    Returns
    -------
    Verdict
        "charge_voltage", in volts; a millivolt over is taken as reading error.
    """
    return at_most(
        Check(
            id="charge_voltage",
            what="the end voltage per cell",
            value=per_cell_v,
            against="the cell's charge voltage",
            limit=cell.full_v,
            tolerance=_READING_V,
            unit="V",
            fix="Set or replace the charger.",
            find_out="Find the charger's end voltage and divide it by the cells in series.",
            basis=cell.basis_of("full_v"),
            source=cell.source,
        )
    )


def charge_share(*, reached_fraction: Figure) -> Verdict:
    """Judge how full the end voltage of the charger leaves the cells.

    Parameters
    ----------
    reached_fraction : Band or float or None
        State of charge whose rested voltage is the charger's end voltage. [-]

    Returns
    -------
    Verdict
        "charge_share", as a share of a full charge; never a stop, for it hurts nobody.
    """
    return at_least(
        Check(
            id="charge_share",
            what="the share of a full charge at which the charger ends",
            value=reached_fraction,
            against="what is worth a charge",
            limit=WORTH_CHARGING,
            unit="",
            fix="Set the charger to the cell's full voltage, or use one made for this chemistry "
            "and count of cells; the run time shown begins with a full pack.",
            find_out="Find the charger's end voltage and divide it by the cells in series.",
            basis=Basis.PUBLISHED,
            source="rested voltage of the chemistry; the limit is an own choice",
            may_stop=False,
        )
    )


def charge_temperature(
    *,
    cell: Cell,
    coldest_degc: Figure,
    hottest_degc: Figure,
    cold_note: str = "",
    hot_note: str = "",
    hot_may_stop: bool = True,
) -> tuple[Verdict, Verdict]:
    """Judge the temperatures at which the cells are charged.

    Parameters
    ----------
    cell : Cell
        The cell with its charge temperature range.
    coldest_degc : Band or float or None
        Coldest that a cell is when it is charged. [degC]
    hottest_degc : Band or float or None
        Hottest that a cell gets while it is charged. [degC]
    cold_note, hot_note : str
        What was assumed for them, as sentences; empty where they are known.
    hot_may_stop : bool
        False where the charge begins cool enough and a sensor on a cell ends it: a charge cut short
        hurts nobody.

    Returns
    -------
    tuple of Verdict
        "charge_cold" and "charge_hot", in degrees Celsius.
    """
    sheet = "Find the cell's charge temperature range on its sheet."
    basis, source = cold_limit_origin(cell)
    cold = Check(
        id="charge_cold",
        what="the coldest cell on charge",
        value=coldest_degc,
        against="its lowest charge temperature",
        limit=None if cell.charge_min_degc is None else coldest_charge_degc(cell),
        unit="degC",
        note=" ".join(each for each in (cold_note, cold_charge_words(cell)) if each),
        fix="Warm the cells through before charging, and let a sensor hold the charger off.",
        find_out=sheet
        if cell.charge_min_degc is None
        else "Say how cold the cells may be when they are charged: charger.temperature_min.",
        basis=basis,
        source=source,
    )
    hot = Check(
        id="charge_hot",
        what="the hottest cell on charge",
        value=hottest_degc,
        against="its highest charge temperature",
        limit=cell.charge_max_degc,
        unit="degC",
        note=hot_note,
        may_stop=hot_may_stop,
        fix="Charge more slowly, in a cooler place, or with the pack out of its cavity.",
        find_out=sheet
        if cell.charge_max_degc is None
        else "Say how hot the cells may be when they are charged: charger.temperature_max.",
        basis=cell.basis_of("charge_max_degc"),
        source=cell.source,
    )
    return at_least(cold), at_most(hot)
