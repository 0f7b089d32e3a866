"""The pack as a load sees it at one moment: an open-circuit voltage behind resistances.

Frozen at one state of charge, temperature and age, for transients of milliseconds to seconds. The
full discharge, in which all of these move, belongs to ``engineering/discharge``.
"""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["PackSource"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSource:
    """A pack at its terminals: open-circuit voltage, instant resistance, slower RC elements."""

    open_circuit_v: float
    """Open-circuit voltage of the whole pack. [V]"""
    instant_ohm: float
    """Resistance without delay: cells, joints, strips, leads, fuse, connector, switch. [ohm]"""
    rc_ohm: tuple[float, ...] = ()
    """Resistance of each RC element, fastest first. [ohm]"""
    rc_time_s: tuple[float, ...] = ()
    """Time constant of each RC element. [s]"""
    full_v: float | None = None
    """Voltage of the full pack, for judging regeneration. [V]"""

    def __post_init__(self) -> None:
        if self.open_circuit_v <= 0 or self.instant_ohm < 0:
            msg = (
                "a pack needs an open-circuit voltage above 0 V and a resistance of 0 ohm or more; "
                f"got {self.open_circuit_v} V and {self.instant_ohm} ohm"
            )
            raise OutOfRangeError(msg)
        if len(self.rc_ohm) != len(self.rc_time_s) or any(time <= 0 for time in self.rc_time_s):
            msg = f"each RC element needs a time constant above 0 s; got {self.rc_time_s}"
            raise OutOfRangeError(msg)

    @property
    def settled_ohm(self) -> float:
        """Resistance once every RC element has settled. [ohm]"""
        return self.instant_ohm + sum(self.rc_ohm)
