"""A fuse against its pack: it must hold the work, open the short, before the wire, and for good.

The records are those of ``data.fuses``; the heating of pulses is in ``pulse``, the melting of wire
in ``fusing``. What the figures mean for the builder is for the verdicts.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse
from packdesign.engineering.electrical.fusing import time_melting_wire_onderdonk
from packdesign.engineering.electrical.pulse import pulse_withstand_fraction
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "STEADY_LOAD_FRACTION",
    "OpeningTime",
    "ShortCircuit",
    "allowed_steady_a",
    "opening_time",
    "pulse_margin_fraction",
    "rerating_fraction",
    "short_circuit_a",
    "wire_margin_fraction",
]

STEADY_LOAD_FRACTION: Final = 0.75
"""Share of the rating that a fuse of the UL kind should carry for good at 25 degC. [-]

ibex.tech fuse page; the 25 % of the Littelfuse guide from memory.
"""

_BLADE_RERATING: Final = ((20.0, 1.0), (65.0, 0.85), (85.0, 0.75), (110.0, 0.625), (125.0, 0.55))
"""40 A blade fuse of the MAXI 299 series: 40, 34, 30, 25, 22 A; second hand from its sheet."""

_CARRIED_TO: Final = 1.5  # a gate up to here without a longest time is one of carrying
_FAST_PER_K: Final = 0.0015
_SLOW_PER_K: Final = 0.003
_COOL_DEGC: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTime:
    """How long a fuse lasts at a current; infinite where no gate makes it open."""

    shortest_s: float
    """It opens no sooner; 0 where the sheet promises nothing. [s]"""
    longest_s: float
    """It opens no later. [s]"""


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


def opening_time(fuse: Fuse, *, current_a: float) -> OpeningTime:
    """How soon and how late a fuse opens at a steady current.

    Parameters
    ----------
    fuse : Fuse
        With its opening gates.
    current_a : float
        Current, zero or more. [A]

    Returns
    -------
    OpeningTime
        Between gates straight in log-log; below the first gate no promise to open, above the last
        one with its I2t kept.

    Raises
    ------
    OutOfRangeError
        If the current is negative.

    Notes
    -----
    Each edge of the band is drawn through its own gates, so a gate with one edge only moves that
    edge. A gate of carrying alone ("4 hours at 100 %") holds up to its own current and is not
    joined to the next one, for the true curve bends below that line. Above the highest gate the
    longest time is safe, for I2t only falls; the shortest may be a little less.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> at_twice = opening_time(blade, current_a=20.0)
    >>> round(at_twice.shortest_s, 3), round(at_twice.longest_s, 3)
    (0.15, 5.0)
    """
    if current_a < 0:
        msg = f"current_a is {current_a}; it must be 0 or more"
        raise OutOfRangeError(msg)
    ratio = current_a / fuse.rated_a
    longest = [(g.rating_fraction, g.longest_s) for g in fuse.gates if g.longest_s]
    return OpeningTime(
        shortest_s=_shortest_s(fuse, ratio), longest_s=_on_edge(longest, ratio, before=math.inf)
    )


def rerating_fraction(fuse: Fuse, *, ambient_degc: float) -> float:
    """Share of its rating that a fuse keeps in warm surroundings. [-]

    Parameters
    ----------
    fuse : Fuse
        Its body and speed decide the law.
    ambient_degc : float
        Air beside the fuse. [degC]

    Returns
    -------
    float
        Share, 1 up to 25 degC. [-]

    Raises
    ------
    OutOfRangeError
        If the temperature is above 125 degC, where no figure reaches.

    Notes
    -----
    Blade fuses: steps printed for a 40 A MAXI blade (second hand). Others: 0.15 % per kelvin for
    fast ones and 0.3 % for slow ones above 25 degC, makers' guides from memory.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "MAXI 299 40 A")
    >>> round(rerating_fraction(blade, ambient_degc=65.0), 3)
    0.85
    """
    degc, share = zip(*_BLADE_RERATING, strict=True)
    if ambient_degc > degc[-1]:
        msg = f"ambient_degc is {ambient_degc}; fuse figures end at {degc[-1]:g} degC"
        raise OutOfRangeError(msg)
    if "blade" in fuse.body:
        return float(np.interp(ambient_degc, degc, share))
    slope = _SLOW_PER_K if "slow" in fuse.speed or "lag" in fuse.speed else _FAST_PER_K
    return 1 - slope * max(ambient_degc - _COOL_DEGC, 0.0)


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
    fuse: Fuse, *, peak_a: float, i2t_a2s: float, pulses: float
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
        melting = peak_a**2 * opening_time(fuse, current_a=peak_a).shortest_s
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


def _shortest_s(fuse: Fuse, ratio: float) -> float:
    """Longest time that the gates promise the fuse to last."""
    promised = [gate for gate in fuse.gates if gate.shortest_s]
    carrying = [g for g in promised if g.longest_s is None and g.rating_fraction <= _CARRIED_TO]
    carried = [g.shortest_s or 0.0 for g in carrying if g.rating_fraction >= ratio]
    opening = [(g.rating_fraction, g.shortest_s or 0.0) for g in promised if g not in carrying]
    if carried:
        return max(carried)
    return _on_edge(opening, ratio, before=opening[0][1]) if opening else 0.0


def _on_edge(edge: list[tuple[float, float]], ratio: float, *, before: float) -> float:
    """Read one edge of the band; below its first gate ``before``, above its last its I2t."""
    if not edge or ratio < edge[0][0]:
        return before
    ratios, times = np.array(edge).T
    if ratio >= ratios[-1]:
        return float(times[-1] * (ratios[-1] / ratio) ** 2)
    return float(np.exp(np.interp(np.log(ratio), np.log(ratios), np.log(times))))
