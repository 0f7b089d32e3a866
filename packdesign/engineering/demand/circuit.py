"""What is joined together in a transient: the pack and its wires, and the machine on them."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Circuit", "Clamp", "Machine"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp:
    """A resistor that the device switches across its supply above a voltage."""

    above_v: float
    """Voltage at which it begins to draw. [V]"""
    resistance_ohm: float
    """Its resistance; it draws (voltage - above_v) / resistance. [ohm]"""

    def __post_init__(self) -> None:
        if self.above_v <= 0 or self.resistance_ohm <= 0:
            msg = (
                "a clamp needs a voltage above 0 V and a resistance above 0 ohm; "
                f"got {self.above_v} and {self.resistance_ohm}"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Pack, wires, the capacitor at the driver, and everything else that is fed there."""

    source: PackSource
    parallel_count: int = 1
    """Cells in parallel, to share the pack's current. [-]"""
    wiring_ohm: float = 0.0
    """Wires and contacts between the pack's terminals and the driver, both ways. [ohm]"""
    capacitor_f: float = 0.0
    """Capacitor at the driver; 0 is none. [F]"""
    rails_w: float = 0.0
    """Power that converters draw at the driver's supply. [W]"""
    rails_a: float = 0.0
    """Current that linear regulators and plain loads draw there. [A]"""
    accepts_charge: bool = True
    """False: the protection board lets current out but none in."""
    clamp: Clamp | None = None

    def __post_init__(self) -> None:
        for what in ("wiring_ohm", "capacitor_f", "rails_w", "rails_a"):
            if not getattr(self, what) >= 0:
                msg = f"{what} is {getattr(self, what)}; it must be 0 or more"
                raise OutOfRangeError(msg)
        if self.parallel_count < 1:
            msg = f"parallel_count is {self.parallel_count}; it must be 1 or more"
            raise OutOfRangeError(msg)
        if self.capacitor_f == 0 and (self.clamp is not None or not self.accepts_charge):
            msg = (
                "a clamp, or a protection board that blocks charge, needs a capacitor at the "
                "driver to set the voltage; capacitor_f is 0"
            )
            raise OutOfRangeError(msg)

        if self.capacitor_f > 0 and self.series_ohm <= 0:
            msg = "a capacitor on a pack without any resistance has no voltage of its own"
            raise OutOfRangeError(msg)

    @property
    def series_ohm(self) -> float:
        """Resistance without delay from the cells to the driver. [ohm]"""
        return self.source.instant_ohm + self.wiring_ohm


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A motor and what it turns, once or several times over."""

    motor: MotorCase
    inertia_kg_m2: float = 0.0
    """Inertia behind the gear, for each motor. [kg m2]"""
    load: LoadTorque = LoadTorque()  # noqa: RUF009  frozen, no parts that change
    count: int = 1
    """Like motors on like loads, switched together. [-]"""

    def __post_init__(self) -> None:
        if not self.inertia_kg_m2 >= 0:
            msg = f"inertia_kg_m2 is {self.inertia_kg_m2}; it must be 0 or more"
            raise OutOfRangeError(msg)
        if self.count < 1:
            msg = f"count is {self.count}; it must be 1 or more"
            raise OutOfRangeError(msg)

    @property
    def output_inertia_kg_m2(self) -> float:
        """Everything that spins with one motor, referred to its output, without loss. [kg m2]"""
        return self.inertia_kg_m2 + self.motor.rotor_inertia_kg_m2 * self.motor.gear_ratio**2
