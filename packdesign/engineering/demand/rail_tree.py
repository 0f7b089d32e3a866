"""Rails and their loads referred to the battery at its actual voltage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packdesign.engineering.demand.loads import BATTERY, RailLoad
from packdesign.engineering.demand.rails import Draw, Regulator
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = ["Rail", "RailTree", "SupplyWindow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """A regulator and what feeds it."""

    name: str
    regulator: Regulator
    fed_by: str = BATTERY
    """Rail that feeds it, or the pack itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyWindow:
    """The battery voltages at which everything works, and who sets them."""

    lowest_v: float
    """[V]"""
    lowest_device: str
    highest_v: float
    """[V]"""
    highest_device: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RailTree:
    """All rails and loads of a device."""

    rails: tuple[Rail, ...] = ()
    loads: tuple[RailLoad, ...] = ()

    def __post_init__(self) -> None:
        names = [rail.name for rail in self.rails]
        known = (BATTERY, *names)
        if len(set(known)) != len(known):
            msg = f"rails need different names, none of them '{BATTERY}'; got {names}"
            raise OutOfRangeError(msg)
        for feeder in (*(rail.fed_by for rail in self.rails), *(each.rail for each in self.loads)):
            if feeder not in known:
                raise UnknownNameError(kind="rail", name=feeder, known=known)
        self._from_far_end()

    def _from_far_end(self) -> tuple[Rail, ...]:
        """Order the rails so that each comes before the one that feeds it."""
        left, ordered = list(self.rails), []
        while left:
            feeders = {rail.fed_by for rail in left}
            ends = [rail for rail in left if rail.name not in feeders]
            if not ends:
                msg = f"the rails {[rail.name for rail in left]} feed each other in a circle"
                raise OutOfRangeError(msg)
            ordered += ends
            left = [rail for rail in left if rail.name in feeders]
        return tuple(ordered)

    def draw(self, *, battery_v: float, peak: bool = False, off: Sequence[str] = ()) -> Draw:
        """What all rails and loads take from the battery.

        Parameters
        ----------
        battery_v : float
            Voltage of the battery. [V]
        peak : bool
            Every load at its worst at once, instead of the averages.
        off : sequence of str
            Loads that are switched off.

        Returns
        -------
        Draw
            Current and power at the battery.

        Raises
        ------
        OutOfRangeError
            If a regulator cannot work from its input, or gives less than is asked.

        Notes
        -----
        Efficiency is taken at the current of the moment; the average of a load that pulses is a
        little dearer than this shows where the efficiency falls with the current.

        Examples
        --------
        >>> from packdesign.engineering.demand.loads import light_watts
        >>> from packdesign.engineering.demand.rails import RegulatorKind
        >>> buck = Regulator(name="5 V", kind=RegulatorKind.BUCK, output_v=5.0,
        ...                  efficiency_points=((1.0, 0.8),))
        >>> tree = RailTree(rails=(Rail(name="5 V", regulator=buck),),
        ...                 loads=(light_watts(name="lamp", power_w=5.0, rail="5 V"),))
        >>> tree.draw(battery_v=12.0).power_w
        6.25
        """
        asked = {BATTERY: Draw()} | {rail.name: Draw() for rail in self.rails}
        for load in self.loads:
            if load.name not in off:
                asked[load.rail] += load.peak if peak else load.mean
        voltages = {BATTERY: battery_v}
        voltages |= {rail.name: rail.regulator.output_v for rail in self.rails}
        for rail in self._from_far_end():
            output_a = asked[rail.name].at_a(voltage_v=voltages[rail.name])
            input_v = voltages[rail.fed_by]
            asked[rail.fed_by] += rail.regulator.draw(output_a=output_a, input_v=input_v)
        return asked[BATTERY]

    def window(self) -> SupplyWindow:
        """Battery voltages at which every regulator and every load on the battery works."""
        lowest = [(0.0, "")]
        highest = [(float("inf"), "")]
        for rail in self.rails:
            if rail.fed_by == BATTERY:
                lowest.append((rail.regulator.needed_input_v, rail.name))
                highest.append((rail.regulator.allowed_input_v, rail.name))
        lowest += [(load.lowest_v, load.name) for load in self.loads if load.rail == BATTERY]
        low, low_device = max(lowest)
        high, high_device = min(highest)
        return SupplyWindow(
            lowest_v=low, lowest_device=low_device, highest_v=high, highest_device=high_device
        )
