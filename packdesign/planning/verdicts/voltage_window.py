"""Verdicts on each device's supply range against the worst sag and the full charge of the pack."""

from __future__ import annotations

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least, at_most, slug
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["device_maximum", "device_minimum"]


def device_minimum(
    *,
    device: str,
    worst_v: Figure,
    minimum_v: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    called: str = "",
    note: str = "",
) -> Verdict:
    """Whether a device still works at the lowest voltage the pack gives it.

    Parameters
    ----------
    device : str
        Name of the device.
    worst_v : Band or float or None
        Lowest voltage at the device: deepest sag, near the end of the discharge. [V]
    minimum_v : float or None
        Least voltage at which the device works. [V]
    basis : Basis
        Weakest basis of the two.
    source : str
        Where the device's minimum comes from.
    called : str
        What the device is called in the reason, where its name alone would not do.
    note : str
        What is said of the moment of the lowest voltage; whole sentences.

    Returns
    -------
    Verdict
        "voltage_min_" and the device, in volts.
    """
    return at_least(
        Check(
            id=f"voltage_min_{slug(device)}",
            what=f"the lowest voltage at {called or device}",
            value=worst_v,
            against="its minimum",
            limit=minimum_v,
            unit="V",
            fix="Use more cells in series, cells of lower resistance, thicker wire, or a softer "
            "start.",
            find_out=f"Find the least supply voltage of {called or device} on its datasheet.",
            basis=basis,
            source=source,
            note=note,
        )
    )


def device_maximum(
    *,
    device: str,
    full_v: Figure,
    maximum_v: float | None,
    basis: Basis = Basis.ASSUMED,
    source: str = "",
    called: str = "",
) -> Verdict:
    """Whether a device survives the pack just off the charger.

    Parameters
    ----------
    device : str
        Name of the device.
    full_v : Band or float or None
        Voltage of the full pack, with what braking or switching adds to it. [V]
    maximum_v : float or None
        Highest voltage that the device allows. [V]
    basis : Basis
        Weakest basis of the two.
    source : str
        Where the device's maximum comes from.

    called : str
        What the device is called in the reason, where its name alone would not do.

    Returns
    -------
    Verdict
        "voltage_max_" and the device, in volts.
    """
    return at_most(
        Check(
            id=f"voltage_max_{slug(device)}",
            what=f"the highest voltage at {called or device}",
            value=full_v,
            against="its maximum",
            limit=maximum_v,
            unit="V",
            fix="Use fewer cells in series, or a regulator ahead of the device.",
            find_out=f"Find the highest supply voltage of {called or device} on its datasheet.",
            basis=basis,
            source=source,
        )
    )
