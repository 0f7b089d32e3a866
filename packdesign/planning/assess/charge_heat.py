"""How hot the cells get on the hottest day of charging: the air of that day and their own heat."""

from __future__ import annotations

from dataclasses import replace

from packdesign.engineering.charging.charge_heat import hottest_cell_of_charge_degc
from packdesign.engineering.discharge.run import Conditions
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.settings import charge_settings
from packdesign.planning.needs.charger import (
    EMPTY_SOC,
    AtCharge,
    charge_conditions,
    charger_facts,
    hottest_on_charge,
)
from packdesign.planning.verdicts.judge import spoken

__all__ = ["ended_by_sensor", "hottest_cell_on_charge"]


def ended_by_sensor(brief: Brief, design: PackDesign) -> bool:
    """Tell whether only the heat of the charge can make the cells too hot, and a sensor ends it.

    Parameters
    ----------
    brief : Brief
        The brief; its charger reads a sensor on a cell, or does not.
    design : PackDesign
        The pack.
    """
    most_degc = design.cell.charge_max_degc
    begins_degc = hottest_on_charge(brief, most_degc=most_degc).degc
    if brief.charger is None or most_degc is None or begins_degc is None:
        return False
    return bool(brief.charger.temperature_sensor) and begins_degc <= most_degc


def hottest_cell_on_charge(brief: Brief, design: PackDesign) -> AtCharge:
    """Give how hot the cells get while they are charged, their own heat included.

    Parameters
    ----------
    brief : Brief
        The brief; what it gives is taken for cells and air when charging begins.
    design : PackDesign
        The pack, in its place.

    Returns
    -------
    AtCharge
        Not known where the brief does not tell how hot it is; without the heat of the charge where
        the figures of the charger contradict each other, which the charge plan refuses.
    """
    begins = hottest_on_charge(brief, most_degc=design.cell.charge_max_degc)
    if begins.degc is None:
        return begins
    ordinary = charge_conditions(brief, start_soc=EMPTY_SOC)
    try:
        settings, _ = charge_settings(
            design.cell, design.model, charger_facts(brief), start_degc=ordinary.start_degc
        )
    except OutOfRangeError:
        return begins
    hottest_degc = hottest_cell_of_charge_degc(
        design.model,
        settings,
        Conditions(ambient_degc=begins.degc, start_degc=begins.degc, start_soc=EMPTY_SOC),
    )
    own_k = hottest_degc - begins.degc
    words = (
        f"Begun at {spoken(begins.degc, 'degC')}, the charge warms them by "
        f"{spoken(own_k, 'K', digits=2)} where the pack sits in use."
    )
    return replace(
        begins,
        degc=hottest_degc,
        assumed=" ".join(each for each in (words, begins.assumed) if each),
    )
