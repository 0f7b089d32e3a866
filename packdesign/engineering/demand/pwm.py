"""Chopped voltage: the ripple on the motor's current."""

from __future__ import annotations

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["ripple_peak_to_peak_a"]


def _checked_duty(duty: float) -> float:
    if not 0 <= duty <= 1:
        msg = f"duty is {duty}; it must lie between 0 and 1"
        raise OutOfRangeError(msg)
    return duty


def ripple_peak_to_peak_a(
    *,
    duty: float,
    supply_v: float,
    frequency_hz: float,
    inductance_h: float,
    fast_decay: bool = False,
) -> float:
    """Swing of the motor's current within one period. [A]

    Parameters
    ----------
    duty : float
        Share of the time the switch is on. [-]
    supply_v : float
        Voltage at the driver. [V]
    frequency_hz : float
        Chopping frequency. [Hz]
    inductance_h : float
        Inductance of the motor. [H]
    fast_decay : bool
        The bridge reverses instead of freewheeling.

    Notes
    -----
    V D (1 - D) / (f L), twice that with fast decay: straight slopes, true while the period is
    short beside L / R and the current never breaks off.

    Examples
    --------
    >>> round(ripple_peak_to_peak_a(
    ...     duty=0.5, supply_v=12.0, frequency_hz=20e3, inductance_h=300e-6), 6)
    0.5
    """
    if frequency_hz <= 0 or inductance_h <= 0:
        msg = (
            "ripple needs a frequency above 0 Hz and an inductance above 0 H; "
            f"got {frequency_hz} and {inductance_h}"
        )
        raise OutOfRangeError(msg)
    share = _checked_duty(duty) * (1 - duty)
    swing_v = supply_v * (2 if fast_decay else 1)
    return swing_v * share / (frequency_hz * inductance_h)
