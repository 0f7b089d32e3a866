"""The multimeter readings that narrow a motor most, in words, with how to take them safely."""

from __future__ import annotations

from typing import Final

__all__ = ["LOCKED_ROTOR", "NO_LOAD_CURRENT", "NO_LOAD_SPEED", "RUNNING_CURRENT"]

LOCKED_ROTOR: Final = (
    "Locked-rotor reading: hold the shaft in a vice or clamp, never by hand; feed a quarter of the "
    "motor's voltage or less from a bench supply with its current limit set; wait one second, read "
    "voltage at the motor's terminals and current together, switch off. Repeat at three shaft "
    "positions, with a minute to cool in between. Stop if it smells or is hot to touch. Do not use "
    "a lithium pack as the supply."
)
NO_LOAD_SPEED: Final = (
    "No-load speed: let the shaft turn freely with nothing on it, fixed so that it cannot jump, at "
    "the motor's voltage from a bench supply with its current limit set; read the speed with an "
    "optical tachometer or a strobe, or the voltage of the motor when another drill turns it at a "
    "known speed (volts per speed is the torque constant). Wear eye protection; keep hair and "
    "sleeves away."
)
NO_LOAD_CURRENT: Final = (
    "No-load current: let the shaft turn freely with nothing on it, at the motor's voltage from a "
    "bench supply; meter in series on its 10 A socket, read after ten seconds. Never put a meter "
    "set to amperes across a battery."
)
RUNNING_CURRENT: Final = (
    "Current at full work: run the finished device on a bench supply, or on its pack with a fuse "
    "fitted, with the meter in series on its 10 A socket, and read voltage and current while it "
    "works. A clamp meter for direct current is safer. For a brushless motor measure in the "
    "battery lead, not in a phase."
)
