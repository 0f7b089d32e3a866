"""The hardest stretch of the work: what each part carries over the time in which it warms up."""

from __future__ import annotations

from typing import Final

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.demand.worst_window import worst_window_rms_a
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.loading import Loading
from packdesign.planning.verdicts.judge import spoken

__all__ = ["CONTACT_SETTLES_S", "hardest_a", "peak_lasts_s", "stretch_words"]

CONTACT_SETTLES_S: Final = 10.0
"""Time in which contacts and boards are taken to warm up: they have no data to compute it from, and
a short time is the careful side; own choice. [s]"""
_NEAR_PEAK: Final = 0.8
"""Share of the peak from which a current counts as the peak; own choice. [-]"""
_SAME: Final = 0.02
"""Stretch and whole run that differ by less need no words. [-]"""


def hardest_a(
    design: PackDesign, loading: Loading, outcome: DischargeOutcome, *, at_least_s: float
) -> float:
    """Largest rms current of the pack over any stretch of the work this long or longer. [A]

    Parameters
    ----------
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.
    at_least_s : float
        Time in which the part warms up. [s]

    Notes
    -----
    What is asked as power is taken at the lowest voltage of the run, for the stretch may be its
    last. Never below the rms current of the whole run.
    """
    demand = loading.demand
    found_a = worst_window_rms_a(
        duration_s=demand.duration_s,
        current_a=_lowest_voltage_a(design, loading, outcome),
        at_least_s=at_least_s,
        repeats=demand.repeats,
    )
    return max(found_a, outcome.summary.rms_current_a)


def stretch_words(
    stretch_a: float, whole_a: float, *, at_least_s: float, is_told: bool = True
) -> str:
    """Say over which stretch a part carries so much; empty where the whole run is as hard.

    Parameters
    ----------
    stretch_a : float
        Current of the part over its hardest stretch. [A]
    whole_a : float
        The same over the whole run. [A]
    at_least_s : float
        Least length of the stretch. [s]
    is_told : bool
        Whether the sentence before has told that current.

    Examples
    --------
    >>> stretch_words(3.18, 1.74, at_least_s=10.0)
    'That is its hardest 10 s; over the whole run it carries 1.74 A.'
    """
    if stretch_a <= whole_a * (1 + _SAME):
        return ""
    at = "" if is_told else f"at {spoken(stretch_a, 'A')}, "
    return (
        f"That is {at}its hardest {spoken(at_least_s, 's', digits=2)}; over the whole run it "
        f"carries {spoken(whole_a, 'A')}."
    )


def peak_lasts_s(
    design: PackDesign, loading: Loading, outcome: DischargeOutcome, *, peak_a: float
) -> float:
    """Longest run of neighbouring pieces that draw over 80 % of the peak. [s]

    Parameters
    ----------
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does; a peak that never ends lasts as long as its run.
    peak_a : float
        Largest current of the pack. [A]
    """
    demand = loading.demand
    amps = _lowest_voltage_a(design, loading, outcome)
    high = amps >= _NEAR_PEAK * min(peak_a, float(amps.max()))
    if demand.repeats and high.all():
        return max(outcome.summary.run_time_s, demand.period_s)
    longest = run = 0.0
    turns = 2 if demand.repeats else 1
    for is_high, length_s in zip(
        high.tolist() * turns, demand.duration_s.tolist() * turns, strict=True
    ):
        run = run + length_s if is_high else 0.0
        longest = max(longest, run)
    return longest


def _lowest_voltage_a(
    design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> FloatArray:
    """Current of each piece of the demand at the lowest voltage of the run. [A]"""
    demand = loading.demand
    lowest_v = max(outcome.summary.min_voltage_v, demand.minimum_v, design.cutoff_v)
    return demand.current_at_a(voltage_v=lowest_v)
