"""The resistance of a pack from its voltage under a light and a heavy load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NoReturn

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.upkeep_sections import TwoLoadReading

__all__ = [
    "PackReading",
    "cells_share_ohm",
    "pack_reading",
    "reading_spread_fraction",
    "refuse_impossible",
    "standard_cell_ohm",
]

_READING_V: Final = 0.02
"""How far the difference of two voltages of a hand meter may be off; own choice. [V]"""
_USUAL_PULSE_S: Final = 10.0
_USUAL_DEGC: Final = 20.0
_LEAST_SHARE: Final = 0.2
"""Joints and leads never leave the cells less than this of what was read; own choice. [-]"""
_LEAST_SPREAD: Final = 0.03
"""A reading of one day is no surer than this of another day; own choice. [-]"""
_LEAST_REST_SHARE: Final = 0.5
_MOST_REST_SHARE: Final = 1.1
"""Shares of cut-off and full outside which a rested voltage is of another pack: own choice. [-]"""
_LEAST_LOADED_SHARE: Final = 0.5
"""Below this share of the cut-off a loaded cell has collapsed, or its board has cut off: then a
straight line through the reading says nothing. Own choice. [-]"""
_MOST_CRATE: Final = 200.0
"""No cell of the table bears near as much. [1/h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackReading:
    """What two loads tell of a pack."""

    resistance_ohm: Band
    """Between the connectors, after the length of the heavy load. [ohm]"""
    at_rest_v: float
    """Voltage without load, by a straight line through both readings. [V]"""
    pulse_s: float
    temperature_degc: float
    heavy_a: float


def pack_reading(reading: TwoLoadReading) -> PackReading:
    r"""Work out resistance and resting voltage.

    Parameters
    ----------
    reading : TwoLoadReading
        Both loads with their voltages.

    Returns
    -------
    PackReading
        Where length or temperature were not noted, 10 s and 20 degC.

    Raises
    ------
    BriefError
        If a current or a voltage is missing.

    Notes
    -----
    .. math:: R = (U_l - U_h) / (I_h - I_l)

    Ohm's law twice. The band is the error of a hand meter, 0.02 V in the difference.

    Examples
    --------
    >>> found = pack_reading(TwoLoadReading(light_current_a=0.5, light_v=11.9,
    ...                                     heavy_current_a=8.5, heavy_v=11.1))
    >>> round(found.resistance_ohm.mid, 3), round(found.at_rest_v, 2)
    (0.1, 11.95)
    """
    light_a, light_v = reading.light_current_a, reading.light_v
    heavy_a, heavy_v = reading.heavy_current_a, reading.heavy_v
    if light_a is None or light_v is None or heavy_a is None or heavy_v is None:
        msg = "measured.two_load needs light_current, light_voltage, heavy_current, heavy_voltage"
        raise BriefError(msg)
    drop_v, more_a = light_v - heavy_v, heavy_a - light_a
    mid = drop_v / more_a
    return PackReading(
        resistance_ohm=Band(
            max(drop_v - _READING_V, 0.0) / more_a, mid, (drop_v + _READING_V) / more_a
        ),
        at_rest_v=light_v + light_a * mid,
        pulse_s=_USUAL_PULSE_S if reading.duration_s is None else reading.duration_s,
        temperature_degc=(
            _USUAL_DEGC if reading.temperature_degc is None else reading.temperature_degc
        ),
        heavy_a=heavy_a,
    )


def refuse_impossible(reading: TwoLoadReading, cell: Cell, *, series: int, parallel: int) -> None:
    """Refuse a reading that no such pack gives, before anything is reckoned with it.

    Parameters
    ----------
    reading : TwoLoadReading
        Both loads with their voltages.
    cell : Cell
        The cell.
    series, parallel : int
        Groups in series, and cells in each. [-]

    Raises
    ------
    BriefError
        If the voltages or the current cannot be of this pack, or tell less than a meter errs.
    """
    found = pack_reading(reading)
    each_v = found.at_rest_v / series
    of_each = f"for each of {series} in series"
    if not _LEAST_REST_SHARE * cell.cutoff_v <= each_v <= _MOST_REST_SHARE * cell.full_v:
        _refuse(
            f"at rest it makes {found.at_rest_v:.4g} V, {each_v:.3g} V {of_each}; such a cell "
            f"stands between {cell.cutoff_v:g} and {cell.full_v:g} V; read the whole pack, and "
            "check pack.series"
        )
    heavy_v, light_v = reading.heavy_v or 0.0, reading.light_v or 0.0
    if heavy_v / series < _LEAST_LOADED_SHARE * cell.cutoff_v:
        _refuse(
            f"heavy_voltage is {heavy_v:g} V, {heavy_v / series:.3g} V {of_each}; the pack has "
            "collapsed or its board has cut off; read it again with a smaller heavy load"
        )
    if light_v - heavy_v <= _READING_V:
        _refuse(
            f"light_voltage and heavy_voltage are {1000 * (light_v - heavy_v):.3g} mV apart, and "
            f"a hand meter errs by {1000 * _READING_V:g} mV; take a larger heavy load"
        )
    capacity_ah = cell.capacity_ah * parallel
    if found.heavy_a > _MOST_CRATE * capacity_ah:
        _refuse(
            f"heavy_current is {found.heavy_a:g} A, {found.heavy_a / capacity_ah:.0f} times the "
            f"capacity of the pack ({capacity_ah:.3g} Ah); no cell gives that; look at the unit"
        )


def _refuse(text: str) -> NoReturn:
    msg = f"measured.two_load: {text}"
    raise BriefError(msg)


def cells_share_ohm(read_ohm: float, *, path_ohm: float) -> float:
    """Give what the cells of a pack take of a resistance read at its connectors. [ohm]

    Parameters
    ----------
    read_ohm : float
        What was read. [ohm]
    path_ohm : float
        Joints, leads and devices between the connectors. [ohm]
    """
    return max(read_ohm - path_ohm, _LEAST_SHARE * read_ohm)


def reading_spread_fraction(read: Band, *, path_ohm: float) -> float:
    """Give how sure a reading is of the cells, one side, as a fraction. [-]

    Parameters
    ----------
    read : Band
        What was read at the connectors. [ohm]
    path_ohm : float
        Joints, leads and devices between the connectors. [ohm]
    """
    low, mid, high = (
        cells_share_ohm(ohm, path_ohm=path_ohm) for ohm in (read.low, read.mid, read.high)
    )
    return min(max((high - low) / (2 * mid), _LEAST_SPREAD), 1.0)


def standard_cell_ohm(
    found: PackReading, model: CellModel, *, series: int, parallel: int, path_ohm: float
) -> Band:
    """Bring a reading to one cell, half charged, at 20 degC, after 10 s. [ohm]

    Parameters
    ----------
    found : PackReading
        The reading.
    model : CellModel
        The cell by its sheet or its kind; it tells how resistance goes with charge, temperature and
        length of load.
    series, parallel : int
        Groups in series, and cells in each. [-]
    path_ohm : float
        Joints, leads and devices between the connectors. [ohm]

    Returns
    -------
    Band
        As ``measured.cell_resistance`` of a brief takes it. [ohm]
    """
    soc = model.soc_at(found.at_rest_v / series)
    read_at = model.pulse_ohm(
        soc=min(max(soc, 0.05), 1.0),
        temperature_degc=found.temperature_degc,
        current_a=found.heavy_a / parallel,
        pulse_s=found.pulse_s,
    )
    standard = model.pulse_ohm(
        soc=0.5,
        temperature_degc=_USUAL_DEGC,
        current_a=model.capacity_ah,
        pulse_s=_USUAL_PULSE_S,
    )
    to_cell = parallel / series * standard / read_at

    read = found.resistance_ohm
    low, mid, high = (
        to_cell * cells_share_ohm(ohm, path_ohm=path_ohm) for ohm in (read.low, read.mid, read.high)
    )
    return Band(low, mid, high)
