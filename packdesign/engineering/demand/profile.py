"""The demand record: what the device asks of the pack over time, in pieces of constant demand.

This is the one form in which motors, rails, lights, missions and logs reach the discharge engines.
How each of them becomes a demand is in the modules beside this one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Demand", "FloatArray"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Pieces of constant demand at the terminals of the pack, one after the other.

    In piece ``k`` the device draws ``current_a[k] + power_w[k] / terminal voltage``: a motor on a
    duty is a current, a converter is a power. Discharge is positive.
    """

    duration_s: FloatArray
    """Length of each piece, above zero. Shape (n,). [s]"""
    current_a: FloatArray
    """Current asked for whatever the voltage. Shape (n,). [A]"""
    power_w: FloatArray
    """Power asked for whatever the voltage. Shape (n,). [W]"""
    label: tuple[str, ...]
    """What happens in each piece ("start", "hold", "rest"). Length n."""
    minimum_v: float = 0.0
    """Lowest terminal voltage at which everything on the pack still works. [V]"""
    minimum_v_device: str = ""
    """The device that sets ``minimum_v``."""
    repeats: bool = True
    """Whether the pieces start again from the first until a limit is reached."""

    def __post_init__(self) -> None:
        sizes = {len(self.duration_s), len(self.current_a), len(self.power_w), len(self.label)}
        if len(sizes) != 1 or 0 in sizes:
            msg = f"a demand needs the same number of entries, at least 1, everywhere; got {sizes}"
            raise OutOfRangeError(msg)
        together = np.stack([self.duration_s, self.current_a, self.power_w])
        if not np.all(np.isfinite(together)):
            msg = "a demand must be finite everywhere"
            raise OutOfRangeError(msg)
        if np.min(self.duration_s) <= 0:
            msg = f"each piece must last longer than 0 s; got {np.min(self.duration_s)}"
            raise OutOfRangeError(msg)

    @property
    def period_s(self) -> float:
        """Time from the first piece to the end of the last. [s]"""
        return float(np.sum(self.duration_s))

    def pieces(self, *, longest_s: float) -> Iterator[tuple[float, float, float]]:
        """Give the pieces one by one, over and over where the demand repeats.

        Parameters
        ----------
        longest_s : float
            Where it is given up. [s]

        Yields
        ------
        tuple of float
            Current [A], power on top [W] and length [s].
        """
        columns = (self.current_a, self.power_w, self.duration_s)
        once = list(zip(*(column.tolist() for column in columns), strict=True))
        elapsed_s = 0.0
        while True:
            for current_a, power_w, duration_s in once:
                if elapsed_s >= longest_s:
                    return
                yield current_a, power_w, min(duration_s, longest_s - elapsed_s)
                elapsed_s += duration_s
            if not self.repeats:
                return

    def averaged(self, *, lasting_s: float) -> Demand:
        """Give one piece with the mean current and the mean power of a period.

        Parameters
        ----------
        lasting_s : float
            Length of the piece. [s]
        """
        mean_a, mean_w = (
            np.average(each, weights=self.duration_s, keepdims=True)
            for each in (self.current_a, self.power_w)
        )
        return replace(
            self,
            duration_s=np.array([lasting_s]),
            current_a=mean_a,
            power_w=mean_w,
            label=("mean",),
        )

    def current_at_a(self, *, voltage_v: float | FloatArray) -> FloatArray:
        """Current of each piece at a terminal voltage. Shape (n,). [A]

        Parameters
        ----------
        voltage_v : float or array
            Terminal voltage, one for all or one a piece. Shape () or (n,). [V]
        """
        return self.current_a + self.power_w / voltage_v

    def mean_current_a(self, *, voltage_v: float) -> float:
        """Mean current over one period at one terminal voltage. [A]

        Parameters
        ----------
        voltage_v : float
            Terminal voltage. [V]
        """
        return float(np.average(self.current_at_a(voltage_v=voltage_v), weights=self.duration_s))

    def rms_current_a(self, *, voltage_v: float) -> float:
        """Root-mean-square current over one period at one terminal voltage. [A]

        Parameters
        ----------
        voltage_v : float
            Terminal voltage. [V]
        """
        squared = self.current_at_a(voltage_v=voltage_v) ** 2
        return float(np.sqrt(np.average(squared, weights=self.duration_s)))

    def peak_current_a(self, *, voltage_v: float) -> float:
        """Largest current of any piece at one terminal voltage. [A]

        Parameters
        ----------
        voltage_v : float
            Terminal voltage. [V]
        """
        return float(np.max(self.current_at_a(voltage_v=voltage_v)))
