"""How far a reading of the pack's voltage may be off, worst case and root-sum-square."""

from __future__ import annotations

import math
from dataclasses import dataclass

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider

__all__ = ["ErrorBudget", "error_budget"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorBudget:
    """Errors of one reading at one pack voltage, each at the pack."""

    pack_v: float
    lsb_v: float
    """One step of the converter, at the pack. [V]"""
    divider_v: float
    """Both resistors off to the bad side. [V]"""
    divider_rss_v: float
    reference_v: float
    converter_v: float
    """The converter's own error and half a step. [V]"""
    loading_v: float
    """Leakage into the pin and the pin's own resistance. [V]"""

    @property
    def worst_v(self) -> float:
        """All errors to the same side. [V]"""
        return self.divider_v + self.reference_v + self.converter_v + self.loading_v

    @property
    def rss_v(self) -> float:
        """Root-sum-square, for errors that have nothing to do with each other. [V]"""
        return math.hypot(self.divider_rss_v, self.reference_v, self.converter_v, self.loading_v)

    @property
    def worst_fraction(self) -> float:
        """Worst case as a fraction of the voltage. [-]"""
        return self.worst_v / self.pack_v


def error_budget(
    *, divider: Divider, adc: Adc, pack_v: float, calibrated_fraction: float | None = None
) -> ErrorBudget:
    r"""Add up the errors of a reading.

    Parameters
    ----------
    divider : Divider
        The resistors.
    adc : Adc
        The input.
    pack_v : float
        Voltage of the pack. [V]
    calibrated_fraction : float, optional
        If every device is calibrated once against a meter: what is left of the errors of resistors,
        reference and loading together, as a fraction of the voltage. [-]

    Returns
    -------
    ErrorBudget
        The errors.

    Notes
    -----
    With :math:`k` the ratio of the divider and :math:`t` the tolerance of each resistor, to first
    order the divider is off by :math:`2(1-k)t` at worst and :math:`\sqrt 2 (1-k)t` root-sum-square.

    Examples
    --------
    >>> adc = Adc(name="x", bits=12, reference_v=3.3, reference_tolerance_fraction=0.0,
    ...     input_max_v=3.3)
    >>> pair = Divider(r_top_ohm=33e3, r_bottom_ohm=10e3)
    >>> round(1000 * error_budget(divider=pair, adc=adc, pack_v=12.6).lsb_v, 2)
    3.47
    """
    ratio, tolerance = divider.ratio_fraction, divider.tolerance_fraction
    lsb_v = adc.lsb_v / ratio
    converter_v = (adc.error_lsb + 0.5) * lsb_v
    if calibrated_fraction is not None:
        left_v = calibrated_fraction * pack_v
        return ErrorBudget(
            pack_v=pack_v, lsb_v=lsb_v, divider_v=0.0, divider_rss_v=0.0, reference_v=left_v,
            converter_v=converter_v, loading_v=0.0,
        )  # fmt: skip
    loaded = divider.source_ohm / (divider.source_ohm + adc.input_ohm)
    return ErrorBudget(
        pack_v=pack_v,
        lsb_v=lsb_v,
        divider_v=2 * (1 - ratio) * tolerance * pack_v,
        divider_rss_v=math.sqrt(2) * (1 - ratio) * tolerance * pack_v,
        reference_v=adc.reference_tolerance_fraction * pack_v,
        converter_v=converter_v,
        loading_v=adc.leakage_a * divider.source_ohm / ratio + loaded * pack_v,
    )
