"""The parts of a cell's resistance: their level at half charge, and how each rises toward empty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packdesign.data.cells import Family
from packdesign.data.chemistries import Chemistry, load_chemistry
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.concentration import slow_division
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.resistance_split import (
    resistance_split,
    small_current_ohm,
    transfer_rise,
)
from packdesign.engineering.discharge.ten_second_resistance import TenSecondResistance

__all__ = ["ResistanceParts", "ResistanceRises", "resistance_parts", "resistance_rises"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ResistanceParts:
    """The parts of the resistance at half charge and 25 degC."""

    ohmic_ohm: float
    transfer_ohm: float
    """Charge transfer at small current. [ohm]"""
    fast_ohm: float
    slow_ohm: float
    """Of the electrolyte. [ohm]"""
    lag_per_a: float
    """Charge by which the surface of the particles runs ahead, a share of the whole. [1/A]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResistanceRises:
    """What each part adds to its level, on ``SOC_GRID``."""

    transfer: FloatArray
    rc: FloatArray
    """Both RC elements. [-]"""


def resistance_parts(ten_s: TenSecondResistance, *, capacity_ah: float) -> ResistanceParts:
    """Divide the 10 s resistance of a cell into its parts.

    Parameters
    ----------
    ten_s : TenSecondResistance
        What the sheet or cells like it say.
    capacity_ah : float
        Capacity of the cell; its 1C is the current of the reading. [A h]
    """
    split, division = resistance_split(), slow_division()
    instant_ohm = split.instant * ten_s.ohm
    ohmic_ohm = _ohmic_ohm(ten_s.ac_ohm, ten_s_ohm=ten_s.ohm, instant_ohm=instant_ohm)
    transfer_ohm = small_current_ohm(
        effective_ohm=np.array([instant_ohm - ohmic_ohm]),
        current_a=capacity_ah,
        degc=np.array([25.0]),
    )
    return ResistanceParts(
        ohmic_ohm=ohmic_ohm,
        transfer_ohm=float(transfer_ohm[0]),
        fast_ohm=split.fast * ten_s.ohm,
        slow_ohm=division.level * split.slow * ten_s.ohm,
        lag_per_a=division.lag_per_v * split.slow * ten_s.ohm,
    )


def resistance_rises(
    chemistry: Chemistry, parts: ResistanceParts, *, capacity_ah: float
) -> ResistanceRises:
    """Give what each part of the resistance of a cell adds to its level over charge.

    Parameters
    ----------
    chemistry : Chemistry
        Its table says how the 10 s resistance goes with charge.
    parts : ResistanceParts
        The levels.
    capacity_ah : float
        Capacity of the cell. [A h]
    """
    table = chemistry.resistance_soc
    soc_factor = np.asarray(np.interp(SOC_GRID, table.at, table.mid))
    return ResistanceRises(
        transfer=transfer_rise(
            soc_factor,
            ohmic_ohm=parts.ohmic_ohm,
            transfer_ohm=parts.transfer_ohm,
            current_a=capacity_ah,
        ),
        rc=soc_factor - 1.0,
    )


def _ohmic_ohm(ac_ohm: float | None, *, ten_s_ohm: float, instant_ohm: float) -> float:
    """Ohmic part: the 1 kHz impedance where printed, else its usual share of the 10 s figure."""
    share = 1.0 / load_chemistry(Family.NCA).ac_to_dc_ratio.mid
    wanted = share * ten_s_ohm if ac_ohm is None else ac_ohm
    return min(wanted, 0.95 * instant_ohm)
