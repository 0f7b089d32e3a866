"""What goes into a charge and what comes out of it: settings and the run over time."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from packdesign.engineering.charging.balancing import Bleed
from packdesign.engineering.charging.supply import CHARGER_EFFICIENCY_FRACTION
from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["BandedCharge", "ChargeEnd", "ChargeRun", "ChargeSettings", "makers_clock"]


_TAIL_CRATES: Final = (0.5, 1.0)
_TAIL_HOURS: Final = (1.0, 1.5)
# Samsung ICR18650-26C v1.0: 3 h at 0.5C, 2.5 h at 1C, which is 1.0 and 1.5 h beyond capacity over
# current; its older ICR18650-20 has 2.25 h at 1C


class ChargeEnd(StrEnum):
    """What ended a charge."""

    FULL = "end current reached"
    TEMPERATURE = "cell temperature limit"
    TIME = "time limit"
    TOO_WARM_TO_START = "cells too warm to start"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeSettings:
    """What a charger is set to, at pack level. Currents are magnitudes."""

    charge_a: float
    """Constant current. [A]"""
    end_v_per_cell: float
    """Charge voltage per cell. [V]"""
    end_a: float
    """Current at which the charge is over. [A]"""
    pre_charge_a: float
    """Current below the threshold. [A]"""
    pre_charge_below_v: float
    """Rested voltage per cell below which a charge begins with pre-charge. [V]"""
    limit_degc: float
    """Cell temperature at which charging stops. [degC]"""
    time_limit_s: float = 24 * 3600.0
    """Safety timer. [s]"""
    bleed: Bleed | None = None
    """The balancer; None: nothing balances."""
    gap_ah: float = 0.0
    """Charge by which the lowest group is behind the highest. [A h]"""
    efficiency_fraction: float = CHARGER_EFFICIENCY_FRACTION
    """Power out over power in of the charger. [-]"""

    def __post_init__(self) -> None:
        positive = {
            "charge_a": self.charge_a,
            "end_v_per_cell": self.end_v_per_cell,
            "end_a": self.end_a,
            "pre_charge_a": self.pre_charge_a,
            "time_limit_s": self.time_limit_s,
        }
        for what, value in positive.items():
            if not value > 0:
                msg = f"{what} is {value}; it must be above 0"
                raise OutOfRangeError(msg)
        if self.end_a >= self.charge_a:
            msg = f"end_a is {self.end_a} A; it must be below charge_a, {self.charge_a} A"
            raise OutOfRangeError(msg)
        if not 0 < self.efficiency_fraction <= 1 or self.gap_ah < 0:
            msg = (
                "the efficiency must be above 0 up to 1 and the gap 0 Ah or more; got "
                f"{self.efficiency_fraction} and {self.gap_ah}"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeRun:
    """A charge over time, at pack level. Arrays have shape (n,); charging current is negative."""

    time_s: FloatArray
    current_a: FloatArray
    voltage_v: FloatArray
    soc: FloatArray
    cell_degc: FloatArray
    surface_degc: FloatArray
    ends_by: ChargeEnd
    pre_charge_time_s: float
    cc_time_s: float
    """Constant current, pre-charge left out. [s]"""
    cv_time_s: float
    balance_time_s: float | None
    """Bleeding that goes on after the end of charge; None: a gap that nothing closes. [s]"""
    charged_ah: float
    charged_wh: float
    """Energy that entered at the terminals. [W h]"""
    supply_w: float
    """Highest power drawn from the supply. [W]"""

    @property
    def total_time_s(self) -> float:
        """Charge without balancing. [s]"""
        return float(self.time_s[-1])

    def time_above_s(self, *, terminal_v: float) -> float:
        """Time in which the terminals stand at or above a voltage. [s]

        Parameters
        ----------
        terminal_v : float
            Voltage of the whole pack. [V]
        """
        if len(self.time_s) < 2:
            return 0.0
        steps_s = np.diff(self.time_s)
        middle_v = (self.voltage_v[1:] + self.voltage_v[:-1]) / 2
        return float(np.sum(steps_s[middle_v >= terminal_v]))

    @property
    def peak_cell_degc(self) -> float:
        """Highest cell temperature. [degC]"""
        return float(self.cell_degc.max())

    @property
    def end_soc(self) -> float:
        """State of charge at the end. [-]"""
        return float(self.soc[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class BandedCharge:
    """A charge with the range its times may lie in."""

    run: ChargeRun
    """The middle."""
    time_s: Band
    """Charge without balancing. [s]"""
    cc_time_s: Band
    """Constant current. [s]"""
    peak_cell_degc: Band
    """Highest cell temperature. [degC]"""


def makers_clock(*, capacity_ah: float, charge_a: float, start_soc: float) -> float:
    """Time after which makers of like cells end a charge by the clock, whatever flows. [s]

    Parameters
    ----------
    capacity_ah : float
        Capacity of the pack. [A h]
    charge_a : float
        Constant current. [A]
    start_soc : float
        State of charge at the start. [-]

    Raises
    ------
    OutOfRangeError
        If capacity or current is not above 0.

    Notes
    -----
    Missing charge over current, and the time beyond it that two sheets give: 1.0 h at 0.5C and
    below, 1.5 h at 1C and above, a straight line between. A charge that is still going on then has
    something wrong with it: stop it, and find out what.

    Examples
    --------
    Samsung ICR18650-26C, 2600 mAh at 0.5C, 3 hours:

    >>> makers_clock(capacity_ah=2.6, charge_a=1.3, start_soc=0.0) / 3600
    3.0
    """
    if capacity_ah <= 0 or charge_a <= 0:
        msg = f"capacity and current must be above 0; got {capacity_ah} Ah and {charge_a} A"
        raise OutOfRangeError(msg)
    tail_h = float(np.interp(charge_a / capacity_ah, _TAIL_CRATES, _TAIL_HOURS))
    return 3600.0 * ((1.0 - start_soc) * capacity_ah / charge_a + tail_h)
