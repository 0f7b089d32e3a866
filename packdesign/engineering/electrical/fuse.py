"""A fuse against its pack: it must hold the work, open the short, before the wire, and for good.

The records are those of ``data.fuses``; opening times are in ``fuse_opening``, the heating of
pulses in ``pulse``, the melting of wire in ``fusing``. What the figures mean for the builder is for
the verdicts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from packdesign.data.fuses import Fuse
from packdesign.engineering.electrical.fuse_opening import opening_time, rerating_fraction
from packdesign.engineering.electrical.fusing import time_melting_wire_onderdonk
from packdesign.engineering.electrical.pulse import pulse_withstand_fraction
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "STEADY_LOAD_FRACTION",
    "STEADY_LOAD_SOURCE",
    "ShortCircuit",
    "allowed_steady_a",
    "pulse_margin_fraction",
    "short_circuit_a",
    "wire_margin_fraction",
]

STEADY_LOAD_FRACTION: Final = 0.75
"""Share of the rating that a fuse of the UL kind should carry for good at 25 degC. [-]

The one such figure for every fuse, that of a charge port too. ibex.tech fuse page; the 25 % of the
Littelfuse guide from memory.
"""

STEADY_LOAD_SOURCE: Final = "fuse page of ibex.tech; the makers' 25 % of reserve from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortCircuit:
    """What a pack can drive through a dead short behind its fuse."""

    least_a: float
    """Empty, cold and old pack: what the fuse must still open on. [A]"""
    most_a: float
    """Full, warm and new pack: what the fuse must be able to break. [A]"""


def short_circuit_a(
    *, lowest_v: float, highest_v: float, highest_ohm: float, lowest_ohm: float
) -> ShortCircuit:
    """Smallest and largest short-circuit current of a pack.

    Parameters
    ----------
    lowest_v, highest_v : float
        Open-circuit voltage of the nearly empty and of the full pack. [V]
    highest_ohm, lowest_ohm : float
        Resistance of cells and path at their worst and at their best. [ohm]

    Returns
    -------
    ShortCircuit
        Both currents.

    Raises
    ------
    OutOfRangeError
        If the ends are the wrong way round or a resistance is not above zero.

    Notes
    -----
    Ohm's law. Within milliseconds a cell gives more than its resistance of seconds says, so the
    largest should be taken from its AC resistance.

    Examples
    --------
    >>> short_circuit_a(lowest_v=9.0, highest_v=12.6, highest_ohm=0.15, lowest_ohm=0.06)
    ShortCircuit(least_a=60.0, most_a=210.0)
    """
    if not (0 < lowest_v <= highest_v and 0 < lowest_ohm <= highest_ohm):
        msg = (
            "a short circuit needs 0 < lowest_v <= highest_v and 0 < lowest_ohm <= highest_ohm; "
            f"got {lowest_v}, {highest_v} V and {lowest_ohm}, {highest_ohm} ohm"
        )
        raise OutOfRangeError(msg)
    return ShortCircuit(least_a=lowest_v / highest_ohm, most_a=highest_v / lowest_ohm)


def allowed_steady_a(fuse: Fuse, *, ambient_degc: float = 25.0) -> float:
    """Rms current that a fuse should carry for good. [A]

    Parameters
    ----------
    fuse : Fuse
        The fuse.
    ambient_degc : float
        Air beside it. [degC]

    Returns
    -------
    float
        Rating times `STEADY_LOAD_FRACTION` times `rerating_fraction`. [A]

    Raises
    ------
    OutOfRangeError
        If the temperature is above 125 degC.

    Notes
    -----
    A fuse of the IEC kind holds 150 % for an hour and is judged too low by this, on the safe side.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "MAXI 299 40 A")
    >>> allowed_steady_a(blade, ambient_degc=20.0)
    30.0
    """
    return fuse.rated_a * STEADY_LOAD_FRACTION * rerating_fraction(fuse, ambient_degc=ambient_degc)


def pulse_margin_fraction(
    fuse: Fuse, *, peak_a: float, i2t_a2s: float, pulses: float, ambient_degc: float = 25.0
) -> float | None:
    """Room that a fuse leaves above one pulse, as a fraction of what it may have. [-]

    Parameters
    ----------
    fuse : Fuse
        The fuse.
    peak_a : float
        Largest current of the pulse. [A]
    i2t_a2s : float
        Heating of the pulse, from ``pulse``. [A2 s]
    pulses : float
        Pulses over its life. [-]
    ambient_degc : float
        Air beside the fuse, for the shortest time. [degC]

    Returns
    -------
    float or None
        1 - pulse / allowed: negative is beyond. None where the sheet gives neither a melting I2t
        nor a shortest time at the peak. [-]

    Raises
    ------
    OutOfRangeError
        If there is less than one pulse.

    Notes
    -----
    Allowed is `pulse_withstand_fraction` of the nominal melting I2t. Where the sheet prints none,
    the I2t at the peak for the shortest opening time stands for it: at that time no fuse of the
    series has melted.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> round(pulse_margin_fraction(blade, peak_a=20.0, i2t_a2s=10.0, pulses=1000), 2)
    0.56
    """
    melting = fuse.melting_i2t_a2s
    if melting is None:
        opens = opening_time(fuse, current_a=peak_a, ambient_degc=ambient_degc)
        melting = peak_a**2 * opens.shortest_s
    if not melting:
        return None
    return 1 - i2t_a2s / (melting * pulse_withstand_fraction(pulses=pulses))


def wire_margin_fraction(
    fuse: Fuse, *, area_m2: float, currents_a: Iterable[float], wire_degc: float = 40.0
) -> float:
    """Room between the fuse opening and the copper behind it melting. [-]

    Parameters
    ----------
    fuse : Fuse
        The fuse.
    area_m2 : float
        Cross section of the thinnest copper that the fuse must guard. [m2]
    currents_a : iterable of float
        Short-circuit currents to try, the smallest and the largest among them. [A]
    wire_degc : float
        Temperature of the wire before the short. [degC]

    Returns
    -------
    float
        1 - longest opening time / melting time at the worst of the currents; minus infinity where
        the fuse need not open at one of them at all. [-]

    Raises
    ------
    OutOfRangeError
        If an area or current is not above zero.

    Notes
    -----
    Onderdonk's time, all heat kept in the copper: for openings beyond some 10 s the wire lasts
    longer than that and the margin is on the safe side. Insulation suffers long before copper
    melts; a fair margin is 0.9 and more.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> round(wire_margin_fraction(blade, area_m2=1.3e-6, currents_a=[60.0, 210.0]), 3)
    0.997
    """
    margins = []
    for current in currents_a:
        melts = time_melting_wire_onderdonk(
            area_m2=area_m2, current_a=current, ambient_degc=wire_degc
        )
        margins.append(1 - opening_time(fuse, current_a=current).longest_s / melts)
    return min(margins)
