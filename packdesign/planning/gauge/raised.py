"""Thresholds as the firmware is given them: raised by what a reading may be off, meaning kept.

A device that reads high sees its pack fuller than it is, so its hard cut has to be raised by that
much. What rests on the hard cut goes up with it: each threshold as far as it needs to keep its
distance, counted in readings, and no further than its own distance allows. What stands high enough
stays where it was.
"""

from __future__ import annotations

from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.thresholds import (
    Thresholds,
    reserve_v,
    room_above,
    thresholds_at,
)

__all__ = ["raised_thresholds"]


def raised_thresholds(
    pack: GaugePack,
    plain: Thresholds,
    *,
    high_v: float,
    error_v: float = 0.0,
) -> Thresholds:
    """Raise the hard cut by what a reading may be off, and what rests on it with it.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    plain : Thresholds
        Those of a device that reads true.
    high_v : float
        How much too high a reading at the hard cut may be. [V]
    error_v : float
        Share of that which is the converter's, and differs from reading to reading. [V]

    Returns
    -------
    Thresholds
        Readings of the pack's voltage below which the firmware acts.

    Notes
    -----
    With :math:`g` how much larger a device that reads high finds a difference, a threshold goes to
    ``max(itself, raised lower one + g min(its distance, the distance that it needs))``.
    """
    cut_v = plain.hard_cut.loaded_v + high_v
    gain = 1.0 + max(high_v - error_v, 0.0) / plain.hard_cut.loaded_v
    curve = pack.curve
    room = room_above(pack, curve, hard_cut_v=cut_v, error_v=error_v)

    def above(lower: tuple[float, float], upper_v: float, needed_v: float) -> float:
        plain_v, raised_v = lower
        if raised_v <= plain_v:
            return upper_v
        return max(upper_v, raised_v + gain * min(upper_v - plain_v, needed_v))

    cut = (plain.hard_cut.loaded_v, cut_v)
    stop = (plain.stop.loaded_v, above(cut, plain.stop.loaded_v, room.stop_v))
    limit_v = plain.limit.loaded_v
    limit = (
        limit_v,
        max(above(cut, limit_v, room.limit_v), above(stop, limit_v, room.step_v)),
    )
    reserve = max(room.step_v, reserve_v(curve, limit_v=limit[1]) - limit[1])
    warn_v = above(limit, plain.warn.loaded_v, reserve)
    levels_v = (warn_v, limit[1], stop[1], cut_v)
    return thresholds_at(pack, levels_v, curve=curve, step_v=room.step_v, gain=gain)
