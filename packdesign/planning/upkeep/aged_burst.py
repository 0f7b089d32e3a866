"""What age does to a burst and to run time: the temperature below which the device resets."""

from __future__ import annotations

from dataclasses import dataclass, replace

from packdesign.engineering.ageing.estimate import AgeingEstimate
from packdesign.engineering.ageing.resistance_growth import coldest_burst
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["AgedBurst", "Burst", "aged_burst", "aged_pack"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """The hardest moment of a mission."""

    current_a: float
    """Height at pack level. [A]"""
    length_s: float
    soc: float
    """State of charge at which it must still work. [-]"""
    needed_v: float
    """Pack voltage below which the device resets. [V]"""
    coldest_degc: float = -20.0
    """Down to where it is tried. [degC]"""

    def __post_init__(self) -> None:
        if min(self.current_a, self.length_s, self.needed_v) <= 0 or not 0 < self.soc <= 1:
            msg = (
                "a burst needs current, length and voltage above 0 and a charge above 0 up to 1; "
                f"got {self.current_a} A, {self.length_s} s, {self.needed_v} V and {self.soc}"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class AgedBurst:
    """When the burst fails, new and aged. None: it holds even at ``coldest_degc``."""

    coldest_degc: float
    """Down to where it was tried. [degC]"""
    new_degc: float | None
    aged_degc: float | None
    fails_everywhere: bool
    """Whether the aged pack fails even at 40 degC."""
    sentence: str


def aged_pack(pack: PackModel, estimate: AgeingEstimate) -> PackModel:
    """Make the pack after use, for the engines: less capacity, more resistance.

    Parameters
    ----------
    pack : PackModel
        The new pack.
    estimate : AgeingEstimate
        What is left; the middle of its bands is used.

    Raises
    ------
    OutOfRangeError
        If the estimate is unknown.
    """
    if estimate.capacity_fraction is None or estimate.resistance_ratio is None:
        msg = f"ageing is not known for {pack.cell.name}; nothing can be said of the aged pack"
        raise OutOfRangeError(msg)
    cell = pack.cell.aged(
        capacity_fraction=max(estimate.capacity_fraction.mid, 0.01),
        resistance_factor=estimate.resistance_ratio.mid,
    )
    return replace(pack, cell=cell)


def _lowest_v(pack: PackModel, burst: Burst, degc: float) -> float:
    cell_ohm = pack.cell.pulse_ohm(
        soc=burst.soc,
        temperature_degc=degc,
        current_a=burst.current_a / pack.parallel,
        pulse_s=burst.length_s,
    )
    total_ohm = cell_ohm * pack.series / pack.parallel + pack.path_ohm
    return pack.series * pack.cell.ocv_at(burst.soc) - burst.current_a * total_ohm


def aged_burst(
    pack: PackModel, burst: Burst, *, estimate: AgeingEstimate, years: float
) -> AgedBurst:
    """Say below which temperature a burst resets the device, new and after years.

    Parameters
    ----------
    pack : PackModel
        The new pack.
    burst : Burst
        The hardest moment.
    estimate : AgeingEstimate
        What is left after the years.
    years : float
        For the sentence. [a]

    Returns
    -------
    AgedBurst
        Temperatures and one plain sentence.

    Raises
    ------
    OutOfRangeError
        If ageing is unknown, or the new pack fails at any temperature.
    """
    coldest_degc = burst.coldest_degc
    new_degc = coldest_burst(
        lambda degc: _lowest_v(pack, burst, degc),
        needed_v=burst.needed_v,
        coldest_degc=coldest_degc,
    )
    old = aged_pack(pack, estimate)
    when = f"after {years:g} year{'' if years == 1 else 's'}"
    try:
        old_degc = coldest_burst(
            lambda degc: _lowest_v(old, burst, degc),
            needed_v=burst.needed_v,
            coldest_degc=coldest_degc,
        )
    except OutOfRangeError:
        return AgedBurst(
            coldest_degc=coldest_degc,
            new_degc=new_degc,
            aged_degc=None,
            fails_everywhere=True,
            sentence=f"{when} it resets at any temperature",
        )
    sentence = (
        f"{when} it still works at {coldest_degc:.0f} degC"
        if old_degc is None
        else f"{when} it resets below {old_degc:.0f} degC"
    )
    return AgedBurst(
        coldest_degc=coldest_degc,
        new_degc=new_degc,
        aged_degc=old_degc,
        fails_everywhere=False,
        sentence=sentence,
    )
