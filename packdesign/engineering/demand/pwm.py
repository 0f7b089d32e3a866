"""Chopped voltage: average, ripple, and what the battery sees of the motor's current."""

from __future__ import annotations

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["battery_current_a", "fast_decay_duty", "mean_motor_v", "ripple_peak_to_peak_a"]


def _checked_duty(duty: float) -> float:
    if not 0 <= duty <= 1:
        msg = f"duty is {duty}; it must lie between 0 and 1"
        raise OutOfRangeError(msg)
    return duty


def mean_motor_v(*, duty: float, supply_v: float) -> float:
    """Mean voltage at the motor while its current never breaks off, duty times supply. [V]

    Parameters
    ----------
    duty : float
        Share of the time the switch is on. [-]
    supply_v : float
        Voltage at the driver. [V]

    Examples
    --------
    >>> mean_motor_v(duty=0.5, supply_v=12.0)
    6.0
    """
    return _checked_duty(duty) * supply_v


def battery_current_a(*, duty: float, motor_a: float) -> float:
    """Mean current from the battery: duty times motor current. [A]

    Parameters
    ----------
    duty : float
        Share of the time the switch is on. [-]
    motor_a : float
        Mean current in the motor. [A]

    Notes
    -----
    Between pulses the motor's current runs on through diode or switch, not through the battery.

    Examples
    --------
    A motor controller maker's own figures (roboteq.freshdesk.com, article 70000628006):

    >>> battery_current_a(duty=0.2, motor_a=10), battery_current_a(duty=0.95, motor_a=2)
    (2.0, 1.9)
    """
    return _checked_duty(duty) * motor_a


def fast_decay_duty(*, duty: float) -> float:
    """Duty of slow decay that gives the same mean voltage as fast decay does, 2 D - 1. [-]

    Parameters
    ----------
    duty : float
        Share of the time the bridge drives forward; the rest it drives backward. [-]

    Examples
    --------
    >>> fast_decay_duty(duty=0.75)
    0.5
    """
    return 2 * _checked_duty(duty) - 1


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
