"""How the resistance of a cell divides over time scales, and how it follows temperature.

One published set of readings carries this (Samsung 50G, Paudel et al. 2025): resistance against
pulse length gives the parts; resistance against temperature, with the electrolyte of a published
parameter set, gives their factors. Other cells are taken to divide alike; the spread of the model
says how far that may be off.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import constants, optimize

from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.arrhenius import arrhenius_factor
from packdesign.engineering.discharge.charge_transfer import thermal_voltage_v
from packdesign.engineering.discharge.nodes import READ_AT_DEGC, TEMPERATURE_GRID_DEGC

__all__ = [
    "LAG_TIME_S",
    "RC_TIME_S",
    "ResistanceSplit",
    "TemperatureFactors",
    "resistance_split",
    "small_current_ohm",
    "temperature_factors",
    "transfer_rise",
]

RC_TIME_S: Final = (10.0, 90.0)
"""Time constants of the two RC elements. [s]

The slower one is near that fitted to an LG MJ1 at half charge (97 s; 40 to 166 s over the range;
public HPPC fit, LG INR18650MJ1). The faster one stands between it and the instant part; own choice.
"""
LAG_TIME_S: Final = RC_TIME_S[1]
"""Time constant with which the surface of the particles runs ahead: the slow part was read as one,
so both its parts have the one time. [s]"""
_READ_CELL_AH: Final = 4.85
"""Rated capacity of the cell that was read, Samsung 50G sheet. [A h]"""
_READ_10_S_OHM: Final = {0.0: 0.0517, 30.0: 0.02676}
"""Its 10 s resistance at half charge: Paudel et al. 2025, Batteries 11(8) 313, Fig. 8. [ohm]"""
_READ_CRATE: Final = 1.0
_OTHER_INSTANT_OHM: Final = 0.031
_OTHER_SLOW_OHM: Final = 0.024
"""Instant and slow resistance of a second cell at half charge (LG MJ1, 370 s pulses at C/2, public
HPPC fit); the slow part has 97 s. [ohm]"""
_ELECTROLYTE_J_PER_MOL: Final = 17000.0
"""Activation energy of the electrolyte's conductivity used in published parameter sets (the Nyman
2008 conductivity with Arrhenius factor of PyBaMM's OKane2022 set). [J/mol]"""
_STEEPEST_TRANSFER_J_PER_MOL: Final = 60000.0
"""Charge transfer is taken to rise no faster than this in the cold; 50 to 60 kJ/mol are usual for
graphite and layered oxides, from memory. [J/mol]"""
_MOST_REDUCED: Final = 5.0
"""Drop over charge transfer, in units of 4RT/F, beyond which a reading is not followed: 0.5 V at 1C
is no cell that works. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResistanceSplit:
    """Parts of the 10 s resistance at half charge, as fractions of it. [-]"""

    instant: float
    fast: float
    """Whole of the faster RC element, of which 10 s show 63 %."""
    slow: float
    """Whole of the slower RC element, of which 10 s show a tenth."""

    def at(self, pulse_s: float) -> float:
        """Resistance after a pulse relative to that after 10 s, drift of charge left out. [-]

        Parameters
        ----------
        pulse_s : float
            Length of the pulse. [s]
        """
        grown = 1.0 - np.exp(-pulse_s / np.asarray(RC_TIME_S))
        return self.instant + float(np.dot([self.fast, self.slow], grown))


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureFactors:
    """Factors relative to 25 degC on ``TEMPERATURE_GRID_DEGC``. Shape (n,). [-]"""

    ohmic: FloatArray
    relaxing: FloatArray
    """Of both RC elements."""
    transfer: FloatArray


@functools.cache
def resistance_split() -> ResistanceSplit:
    """Divide the 10 s resistance into instant, faster and slower part.

    Returns
    -------
    ResistanceSplit
        Non-negative parts that reproduce the 10 s reading.

    Notes
    -----
    Least squares over the pulse lengths read. A long pulse also moves the state of charge; that
    part, the slope of the open-circuit voltage times the charge moved, is taken out first, because
    the model moves the charge itself. A second published cell shows more resistance under a long
    load (1.65 against 1.43 times the 10 s figure); the slower part is set half way between them.
    """
    chemistry = load_chemistry(Family.NCA)
    read = chemistry.resistance_pulse
    slope_v = float(chemistry.ocv.at(0.55) - chemistry.ocv.at(0.45)) / 0.1
    drift_ohm = slope_v * read.pulse_s / (constants.hour * _READ_CELL_AH)
    rows, wanted = [], []
    for degc, ratios in zip(read.temperature_degc, read.ratio, strict=True):
        ten_s_ohm = _READ_10_S_OHM[float(degc)]
        clean_ohm = ratios * ten_s_ohm - drift_ohm
        wanted.append(clean_ohm / np.interp(10.0, read.pulse_s, clean_ohm))
        grown = 1.0 - np.exp(-read.pulse_s[:, None] / np.asarray(RC_TIME_S)[None, :])
        rows.append(np.column_stack([np.ones(read.pulse_s.size), grown]))
    parts, _ = optimize.nnls(np.concatenate(rows), np.concatenate(wanted))
    split = ResistanceSplit(instant=float(parts[0]), fast=float(parts[1]), slow=float(parts[2]))
    other_ten_s_ohm = _OTHER_INSTANT_OHM + _OTHER_SLOW_OHM * (1.0 - np.exp(-10.0 / 97.0))
    other_settled = (_OTHER_INSTANT_OHM + _OTHER_SLOW_OHM) / other_ten_s_ohm
    settled = (split.instant + split.fast + split.slow) / split.at(10.0)
    grown = 1.0 - np.exp(-10.0 / np.asarray(RC_TIME_S))
    slow = split.slow / split.at(10.0)
    slow += (other_settled - settled) / 2 / (1.0 - float(grown[1]))
    fast = split.fast / split.at(10.0)
    instant = 1.0 - float(np.dot([fast, slow], grown))
    return ResistanceSplit(instant=instant, fast=fast, slow=slow)


@functools.cache
def temperature_factors(family: Family) -> TemperatureFactors:
    """Divide the measured factor of the 10 s resistance into those of its parts.

    Parameters
    ----------
    family : Family
        Whose table is used.

    Notes
    -----
    Below 25 degC the ohmic factor follows the electrolyte, and the transfer factor is what is left
    of the reading, brought to small current by the Butler-Volmer equation: the reading at 1C
    already shows a transfer resistance that its own drop has made smaller. It never falls as it
    gets colder, also where the reading ends. What 10 s show of the slow part is the same at every
    temperature: it drops more, and later, in the cold. The RC elements are the electrolyte's at
    every temperature; above 25 degC the instant parts share what the reading leaves for them.
    """
    table = load_chemistry(family).resistance_temperature
    grid = TEMPERATURE_GRID_DEGC
    total = np.interp(grid, table.at, table.mid)
    split = resistance_split()
    ten_s_ohm = float(np.interp(READ_AT_DEGC, [0.0, 30.0], list(_READ_10_S_OHM.values())))
    ohmic_share = _ohmic_share()
    cold = grid < READ_AT_DEGC
    electrolyte = arrhenius_factor(_ELECTROLYTE_J_PER_MOL, grid)
    relaxing = np.where(cold, np.minimum(electrolyte, total), electrolyte)
    fast_share = split.fast * (1.0 - float(np.exp(-10.0 / RC_TIME_S[0])))
    slow_share = split.slow * (1.0 - float(np.exp(-10.0 / RC_TIME_S[1])))
    instant = np.maximum(total - slow_share - fast_share * relaxing, 1e-3) / split.instant
    ohmic = np.where(cold, relaxing, instant)
    rest = np.maximum(split.instant * instant - ohmic_share * ohmic, 1e-3)
    current_a = _READ_CELL_AH * _READ_CRATE
    small = small_current_ohm(effective_ohm=rest * ten_s_ohm, current_a=current_a, degc=grid)
    relative = small / np.interp(READ_AT_DEGC, grid, small)
    steepest = arrhenius_factor(_STEEPEST_TRANSFER_J_PER_MOL, grid)
    held = np.clip(relative, 1.0, steepest)
    transfer = np.where(cold, np.maximum.accumulate(held[::-1])[::-1], instant)
    return TemperatureFactors(ohmic=ohmic, relaxing=relaxing, transfer=transfer)


def small_current_ohm(
    *, effective_ohm: FloatArray, current_a: float, degc: FloatArray
) -> FloatArray:
    r"""Bring a transfer resistance read at some current to small current. [ohm]

    Parameters
    ----------
    effective_ohm : array
        Drop over current as read. [ohm]
    current_a : float
        Current of the reading. [A]
    degc : array
        Temperature of the reading. [degC]

    Notes
    -----
    The drop is :math:`u\,\operatorname{asinh}(R I/u)` with :math:`u = 4RT/F`, so
    :math:`R = u \sinh(\mathrm{drop}/u)/I`.

    Examples
    --------
    >>> found = small_current_ohm(
    ...     effective_ohm=np.array([0.01]), current_a=5.0, degc=np.array([25.0])
    ... )
    >>> found.round(5).tolist()
    [0.0104]
    """
    scale_v = thermal_voltage_v(degc)
    return np.asarray(scale_v * np.sinh(effective_ohm * current_a / scale_v) / current_a)


def transfer_rise(
    soc_factor: FloatArray, *, ohmic_ohm: float, transfer_ohm: float, current_a: float
) -> FloatArray:
    """What charge transfer adds away from half charge, relative to its own level there. [-]

    Parameters
    ----------
    soc_factor : array
        Instant resistance as read at 1C, relative to half charge. Shape (n,). [-]
    ohmic_ohm, transfer_ohm : float
        Its two parts at half charge, the second at small current. [ohm]
    current_a : float
        Current of the reading. [A]

    Returns
    -------
    array
        Shape (n,).

    Notes
    -----
    Foils, tabs and electrolyte do not know the charge of the electrodes: the whole change with
    charge is put on charge transfer, brought to small current by the Butler-Volmer equation.
    """
    degc = np.array(READ_AT_DEGC)
    scale_v = float(thermal_voltage_v(degc))
    read_ohm = scale_v * np.arcsinh(transfer_ohm * current_a / scale_v) / current_a
    wanted_ohm = np.maximum(soc_factor * (ohmic_ohm + read_ohm) - ohmic_ohm, 0.0)
    held_ohm = np.minimum(wanted_ohm, _MOST_REDUCED * scale_v / current_a)
    return (
        small_current_ohm(effective_ohm=held_ohm, current_a=current_a, degc=degc) / transfer_ohm - 1
    )


@functools.cache
def _ohmic_share() -> float:
    """Share of the 10 s resistance that a 1 kHz impedance shows."""
    return 1.0 / load_chemistry(Family.NCA).ac_to_dc_ratio.mid
